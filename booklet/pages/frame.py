"""The frame of a page: header and footer, inside what printers can reach.

In: composed pages and the model. Out: the same pages with the project's name, the page number and
the designer on each, so that a loose sheet finds its way back. A cover has none.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from booklet.draw.typeface import Faces
from booklet.pages import type as scale
from booklet.pages.flow import clipped
from booklet.pages.grid import SAFE, Paper, corrected
from booklet.pages.page import Document, Element, Line, Page, Role, Rule
from booklet.stages import Model

FOOTER: Final = SAFE + 1.5
"""Where the footer's line of words stands, in mm above the paper's edge."""
TITLE_SHARE: Final = 0.45
"""The share of the footer that a title may take: a personal copy's name stands beside it."""


def framed(
    pages: Sequence[Page],
    model: Model,
    papers: Sequence[Paper],
    faces: Faces,
    *,
    covered: bool = True,
) -> tuple[Page, ...]:
    """All pages with header and footer, each on that of the papers that it has.

    Where the first page is a cover (`covered`) it has none.
    """
    of = len(pages)
    full = [corrected(paper) for paper in papers]
    frames = {(paper.width, paper.height): paper for paper in (*full, *papers)}
    return tuple(
        page
        if covered and number == 1
        else _framed(page, f"{number} / {of}", model, frames[page.width, page.height], faces)
        for number, page in enumerate(pages, 1)
    )


def framed_apart(
    pages: Sequence[Page], part: str, head: str, model: Model, paper: Paper, faces: Faces
) -> tuple[Page, ...]:
    """Pages of a part that counts for itself ("teacher 1 / 4"), each headed with its words."""
    line = Line(paper.left, paper.height - SAFE - 5, head, scale.SMALL_STRONG)
    headed = [
        replace(p, elements=(Element(Role("decoration"), (line,)), *p.elements)) for p in pages
    ]
    return tuple(
        _framed(page, f"{part} {number} / {len(pages)}", model, paper, faces)
        for number, page in enumerate(headed, 1)
    )


def _framed(page: Page, number: str, model: Model, paper: Paper, faces: Faces) -> Page:
    project = model.project.project
    lines: list[Line] = []
    if page.headed and project.designer:
        text = clipped(project.designer, scale.SMALL, paper.measure - 30, faces)
        lines.append(Line(paper.right, paper.height - SAFE - 5, text, scale.SMALL, "end", "grey"))
    title = clipped(project.title, scale.SMALL, paper.measure * TITLE_SHARE, faces)
    lines.append(Line(paper.left, FOOTER, title, scale.SMALL, "start", "grey"))
    lines.append(Line(paper.right, FOOTER, number, scale.SMALL, "end", "grey"))
    frame = Element(Role("decoration"), tuple(lines))
    return replace(page, elements=(*page.elements, frame))


def name_line(page: Page, paper: Paper, faces: Faces) -> Page:
    """The cover with a line to write a name on, above the title."""
    y = paper.height - SAFE - 4
    words = "Name"
    start = paper.right - min(70.0, paper.measure * 0.55)
    inks = (
        Line(start, y, words, scale.SMALL, "start", "grey"),
        Rule(start + faces.width(words, scale.SMALL) + 2, y - 0.8, paper.right, y - 0.8),
    )
    line = Element(Role("paragraph"), inks)
    return replace(page, elements=(line, *page.elements))


def footer_room(title: str, paper: Paper, faces: Faces) -> tuple[float, float]:
    """Left and right end (mm) of what the footer leaves between title and page number."""
    shown = clipped(title, scale.SMALL, paper.measure * TITLE_SHARE, faces)
    number = faces.width("000 / 000", scale.SMALL)
    return paper.left + faces.width(shown, scale.SMALL) + 5, paper.right - number - 3


def as_document(model: Model, pages: Sequence[Page], edition: str) -> Document:
    """Finished pages and what the file says of itself."""
    project = model.project.project
    return Document(
        title=project.title,
        designer=project.designer,
        subject=project.summary,
        language=project.language,
        accent=model.project.look.accent,
        pages=tuple(pages),
        edition=edition,
    )

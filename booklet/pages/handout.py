"""The handout: the order of pages, with headers, footers and page numbers.

In: a model, a paper and the faces. Out: a `Document`.
"""

from __future__ import annotations

from dataclasses import replace

from booklet.draw.typeface import Faces
from booklet.pages import type as scale
from booklet.pages.chart import charts
from booklet.pages.cover import cover
from booklet.pages.flow import clipped
from booklet.pages.fold_order import fold_order
from booklet.pages.grid import SAFE, Paper
from booklet.pages.page import Document, Element, Line, Page, Role
from booklet.pages.safety import safety_and_last
from booklet.pages.staging import set_stage
from booklet.pages.steps import step_pages
from booklet.pages.supplies import supplies
from booklet.pages.template import template_pages
from booklet.pages.wording import planned_steps
from booklet.stages import Model


def handout(model: Model, paper: Paper, faces: Faces) -> Document:
    """The whole booklet."""
    steps = planned_steps(model)
    stage = set_stage(model, steps)
    pages = [
        *cover(model, stage, paper, faces),
        *supplies(model, paper, faces),
        *charts(model, paper, faces),
        *template_pages(model, paper, faces),
        *step_pages(stage, steps, paper, faces),
        *fold_order(model, steps, paper, faces),
        *safety_and_last(model, paper, faces),
    ]
    project = model.project.project
    numbered = [
        page if number == 1 else _framed(page, number, len(pages), model, paper, faces)
        for number, page in enumerate(pages, 1)
    ]
    return Document(
        title=project.title,
        designer=project.designer,
        subject=project.summary,
        language=project.language,
        accent=model.project.look.accent,
        pages=tuple(numbered),
    )


def _framed(page: Page, number: int, of: int, model: Model, paper: Paper, faces: Faces) -> Page:
    """The page with its header and footer, inside what printers can reach.

    The header names the project and the designer where a template leaves it room; the footer has
    the project and the page number on every page, so that a loose sheet finds its way back.
    """
    project = model.project.project
    lines: list[Line] = []
    room = paper.measure - 30
    if page.headed and project.designer:
        text = clipped(project.designer, scale.SMALL, room, faces)
        lines.append(Line(paper.right, paper.height - SAFE - 5, text, scale.SMALL, "end", "grey"))
    y = SAFE + 1.5
    title = clipped(project.title, scale.SMALL, room, faces)
    lines.append(Line(paper.left, y, title, scale.SMALL, "start", "grey"))
    lines.append(Line(paper.right, y, f"{number} / {of}", scale.SMALL, "end", "grey"))
    frame = Element(Role("decoration"), tuple(lines))
    return replace(page, elements=(*page.elements, frame))

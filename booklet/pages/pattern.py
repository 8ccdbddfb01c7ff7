"""The pattern: what a designer sells. The order of its pages, and its template alone.

In: a model, a paper and the faces. Out: `Document` values.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from booklet.draw.typeface import Faces
from booklet.pages import type as scale
from booklet.pages.cover import cover
from booklet.pages.flow import Composer
from booklet.pages.fold_order import fold_order
from booklet.pages.frame import as_document, framed
from booklet.pages.grid import Paper, corrected
from booklet.pages.page import Document, Page
from booklet.pages.planned import PlannedStep
from booklet.pages.prepared import prepared
from booklet.pages.print_page import print_page
from booklet.pages.safety import about
from booklet.pages.shot import Stage
from booklet.pages.staging import set_stage
from booklet.pages.steps import set_steps
from booklet.pages.supplies import supplies
from booklet.pages.template import template_pages
from booklet.pages.wording import planned_steps
from booklet.stages import Model

PURPOSE = "Pattern with templates at full size. Page 2 tells how to print them."
NO_LICENCE = (
    "The designer has given no licence. Make it for yourself, and ask the designer before you "
    "share the pattern or sell what you make from it."
)


@dataclass(frozen=True)
class SoldFile:
    """A file of the pattern's folder: its name there, and what it is for."""

    name: str
    words: str


def pattern(model: Model, files: Sequence[SoldFile], paper: Paper, faces: Faces) -> Document:
    """The whole pattern; `files` is what lies in the folder with it."""
    steps = planned_steps(model)
    stage = set_stage(model, steps)
    front = cover(model, stage, paper, faces, purpose=PURPOSE)
    ready = Composer(paper, faces)
    supplies(model, ready)
    prepared(model, ready)
    before = ready.pages()
    templates = template_pages(model, paper, faces)
    # The print page names the numbers of pages behind it, and is one page itself.
    first = len(front) + 1 + len(before) + 1
    pages = [
        *front,
        *print_page(_full_size(templates, first), paper, faces),
        *before,
        *templates,
        *_making(model, stage, steps, paper, faces),
        *licence_page(model, files, paper, faces),
    ]
    return as_document(model, framed(pages, model, (paper,), faces), "pattern")


def _making(
    model: Model, stage: Stage, steps: Sequence[PlannedStep], paper: Paper, faces: Faces
) -> list[Page]:
    """The steps and what follows them; the licence has a page of its own, as buyers look for it."""
    sheet = Composer(paper, faces, "Steps")
    set_steps(stage, steps, sheet)
    fold_order(model, stage.parts(steps), sheet)
    about(model, sheet)
    return sheet.pages()


def template_only(
    model: Model, paper: Paper, faces: Faces, edition: str = "pattern", folding: bool = False
) -> Document:
    """The print page and the full-size pages: what goes to the printer.

    With `folding`, the print page also says how to print and fold the booklet beside it.
    """
    templates = template_pages(model, paper, faces)
    first = print_page(_full_size(templates, 2), corrected(paper), faces, folding)
    pages = [*first, *templates]
    return as_document(model, framed(pages, model, (paper,), faces, covered=False), edition)


def _full_size(templates: Sequence[Page], first: int) -> list[tuple[int, int, str]]:
    """First and last page and the name of each template; its tiles, and their map, count as one."""
    starts = [
        (at, page.bookmark)
        for at, page in enumerate(templates)
        if page.bookmark is not None and page.bookmark_level == 0
    ]
    ends = [at - 1 for at, _ in starts[1:]] + [len(templates) - 1]
    return [(first + at, first + end, name) for (at, name), end in zip(starts, ends, strict=True)]


def licence_page(model: Model, files: Sequence[SoldFile], paper: Paper, faces: Faces) -> list[Page]:
    """What the buyer may do, who made the pattern, and what came with it."""
    project = model.project.project
    sheet = Composer(paper, faces, "Licence")
    sheet.title("Licence")
    sheet.words(project.licence or NO_LICENCE, scale.LEAD)
    sheet.skip()
    sheet.heading("This pattern")
    made = [("Title", project.title), ("Design", project.designer), ("Version", project.version)]
    widths = (36.0, paper.measure - 36.0)
    rows = [row for row in made if row[1]]
    sheet.table(("What", "As printed here"), rows, widths, name="pattern")
    sheet.skip()
    sheet.heading("What came with it")
    widths = (paper.measure * 0.42, paper.measure * 0.58)
    listed = [(file.name, file.words) for file in files]
    sheet.table(("File", "What it is for"), listed, widths, name="files")
    return sheet.pages()

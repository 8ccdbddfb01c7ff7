"""The binder edition: a project's pages with room for holes, the project sheet first.

In: a model, a paper and the faces. Out: pages, or a `Document` of one project. Pages are printed on
one side: the holes are at the left of each.
"""

from __future__ import annotations

from dataclasses import replace

from booklet.draw.typeface import Faces
from booklet.pages.flow import Composer
from booklet.pages.fold_order import fold_order
from booklet.pages.frame import as_document, framed
from booklet.pages.grid import Paper, bound
from booklet.pages.holes import drill_marks
from booklet.pages.page import Document, Page
from booklet.pages.prepared import prepared
from booklet.pages.project_sheet import project_sheet
from booklet.pages.staging import set_stage
from booklet.pages.steps import set_steps
from booklet.pages.template import template_pages
from booklet.pages.wording import planned_steps
from booklet.stages import Model


def project_pages(model: Model, paper: Paper, faces: Faces) -> list[Page]:
    """The project's section, holes marked, without footers."""
    frame = bound(paper)
    steps = planned_steps(model)
    stage = set_stage(model, steps)
    ready, end = Composer(frame, faces), Composer(frame, faces, "Steps")
    prepared(model, ready)
    set_steps(stage, steps, end)
    fold_order(model, stage.parts(steps), end)
    pages = [
        *project_sheet(model, stage, frame, faces),
        *ready.pages(),
        *template_pages(model, frame, faces),
        *end.pages(),
    ]
    return [drilled(page, paper) for page in pages]


def drilled(page: Page, paper: Paper) -> Page:
    """The page with its drill marks."""
    return replace(page, elements=(*page.elements, drill_marks(paper)))


def binder(model: Model, paper: Paper, faces: Faces) -> Document:
    """One project for a binder."""
    pages = project_pages(model, paper, faces)
    dressed = framed(pages, model, (bound(paper),), faces, covered=False)
    return as_document(model, dressed, "binder")

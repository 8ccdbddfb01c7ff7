"""The handout: the order of pages, with headers, footers and page numbers.

In: a model, a paper and the faces. Out: a `Document`.
"""

from __future__ import annotations

from booklet.draw.typeface import Faces
from booklet.pages.class_part import teacher_pages
from booklet.pages.cover import cover
from booklet.pages.flow import Composer
from booklet.pages.fold_order import fold_order
from booklet.pages.frame import as_document, framed, framed_apart, name_line
from booklet.pages.grid import Paper, folded_half, large_print
from booklet.pages.page import Document, Page
from booklet.pages.prepared import prepared
from booklet.pages.safety import about, notes_page
from booklet.pages.staging import set_stage
from booklet.pages.steps import set_steps
from booklet.pages.supplies import supplies
from booklet.pages.template import template_pages
from booklet.pages.wording import planned_steps
from booklet.stages import Model

TEACHER = "Teacher’s page: not for the students’ booklets"


def handout(model: Model, paper: Paper, faces: Faces, *, large: bool = False) -> Document:
    """The whole booklet; in `large` print the reading pages flow anew, the full-size pages stay."""
    reading = large_print(paper) if large else paper
    front, back = _reading_pages(model, reading, faces)
    pages = [*front, *template_pages(model, paper, faces), *back]
    students = framed(pages, model, (reading, paper), faces)
    if large:  # for students who need it: the teacher's pages come with the usual print
        return as_document(model, students, "handout in large print")
    return as_document(model, (*students, *_teacher_part(model, paper, faces)), "handout")


def teacher_only(model: Model, paper: Paper, faces: Faces) -> Document | None:
    """The teacher's pages alone, beside a booklet to fold; None without a class."""
    pages = _teacher_part(model, paper, faces)
    return as_document(model, pages, "teacher’s pages") if pages else None


def _teacher_part(model: Model, paper: Paper, faces: Faces) -> tuple[Page, ...]:
    """The teacher's pages count for themselves: a student's booklet is whole without them."""
    apart = teacher_pages(model, paper, faces)
    return framed_apart(apart, "teacher", TEACHER, model, paper, faces)


def folded(model: Model, paper: Paper, faces: Faces) -> Document:
    """The reading pages on halves of the paper, filled up to a multiple of four for folding."""
    half = folded_half(paper)
    front, back = _reading_pages(model, half, faces)
    pages = [*front, *back]
    while len(pages) % 4:
        pages += notes_page(half, faces)
    return as_document(model, framed(pages, model, (half,), faces), "booklet to fold")


def _reading_pages(model: Model, paper: Paper, faces: Faces) -> tuple[list[Page], list[Page]]:
    """All pages but the full-size ones: those before them, and those behind."""
    steps = planned_steps(model)
    stage = set_stage(model, steps)
    purpose = "In large print" if paper.zoom > 1 else ""
    front, *more = cover(model, stage, paper, faces, handed=True, purpose=purpose)
    ready = Composer(paper, faces)
    supplies(model, ready, handed=True)
    prepared(model, ready)
    end = Composer(paper, faces, "Steps")
    set_steps(stage, steps, end)
    fold_order(model, stage.parts(steps), end)
    about(model, end)
    before = [name_line(front, paper, faces), *more, *ready.pages()]
    return before, end.pages()

"""The teacher's pages: what to buy, how to cut, what to prepare, what it costs.

In: a model with a class. Out: pages of a part of their own, each headed so that none of them gets
into a student's booklet. Without a class there are none.
"""

from __future__ import annotations

from dataclasses import replace

from booklet.draw.typeface import Faces
from booklet.pages.class_cutting import cutting_pages
from booklet.pages.class_money import money_pages
from booklet.pages.class_overview import overview
from booklet.pages.class_prep import prep_pages
from booklet.pages.grid import Paper
from booklet.pages.page import Page
from booklet.stages import Model


def teacher_pages(model: Model, paper: Paper, faces: Faces) -> list[Page]:
    """Overview, shopping list with cost, cutting plan, prep sheet."""
    course = model.project.course
    if course is None:
        return []
    first = overview(model, course, paper, faces)
    rest = [
        *money_pages(model, paper, faces),
        *cutting_pages(model, paper, faces),
        *prep_pages(model, paper, faces),
    ]
    return [*first, *(replace(page, bookmark_level=1) for page in rest)]

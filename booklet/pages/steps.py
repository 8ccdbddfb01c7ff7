"""Step pages: four to a page, one diagram and a few words each, all diagrams on one scale.

In: planned steps and the stage with their pictures. Out: pages.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from booklet.draw.mark import Drawing
from booklet.draw.typeface import Faces
from booklet.pages import type as scale
from booklet.pages.flow import Composer, leading, wrap
from booklet.pages.grid import Paper
from booklet.pages.page import Line, Page, Picture, Role
from booklet.pages.staging import Stage
from booklet.pages.step_picture import step_pictures
from booklet.pages.wording import PlannedStep

INDENT = 11.0
"""How far a step's words stand right of its number, in mm."""
SMALLEST = 36.0
LARGEST = 92.0
"""Heights between which the pictures of steps keep, in mm."""


def step_pages(
    stage: Stage, steps: Sequence[PlannedStep], paper: Paper, faces: Faces
) -> list[Page]:
    """All steps, two by two; where a cell is left over it shows the finished piece."""
    sheet = Composer(paper, faces, "Steps")
    sheet.title("Step by step")
    of = paper.columns
    _, width = paper.column(0, of)
    titles = [wrap(step.title, scale.HEADING, width - INDENT, faces) for step in steps]
    words = [wrap(step.text, scale.TEXT, width - INDENT, faces) for step in steps]
    rows = [range(first, min(first + of, len(steps))) for first in range(0, len(steps), of)]
    heights = [max(_text_height(titles[i], words[i]) for i in row) for row in rows]
    pages, picture = shared_out(heights, sheet.y - paper.bottom, paper.top - paper.bottom)
    drawings = step_pictures(stage, width, picture, faces)
    for count, page in enumerate(pages):
        if count:
            sheet.turn()
        for row in page:
            for place in range(of):
                index = row * of + place
                x, _ = paper.column(place, of)
                if index < len(steps):
                    cell = Cell(index + 1, titles[index], words[index], drawings[index])
                    _set_cell(sheet, cell, x, width, picture)
                elif len(drawings) > len(steps):
                    _finished(sheet, drawings[-1], x, width, picture)
            sheet.y -= picture + heights[row]
    return sheet.pages()


def shared_out(
    heights: Sequence[float], first: float, other: float
) -> tuple[list[list[int]], float]:
    """Rows shared out on pages, and the height of every picture (mm).

    Two rows a page; a row that would stand alone on the last page joins the two before it if the
    pictures stay at least SMALLEST high.
    """
    numbers = list(range(len(heights)))
    pairs = [numbers[k : k + 2] for k in range(0, len(numbers), 2)]
    choices = [pairs]
    if len(pairs) > 1 and len(pairs[-1]) == 1:
        choices.insert(0, [*pairs[:-2], pairs[-2] + pairs[-1]])
    for pages in choices:
        picture = min(
            ((first if k == 0 else other) - sum(heights[i] for i in page)) / len(page)
            for k, page in enumerate(pages)
        )
        if picture >= SMALLEST:
            return pages, min(picture, LARGEST)
    alone = [[number] for number in numbers]
    picture = min(first, other) - max(heights, default=0.0)
    return alone, max(20.0, min(picture, LARGEST))


def _text_height(title: Sequence[str], words: Sequence[str]) -> float:
    return leading(scale.HEADING) * len(title) + leading(scale.TEXT) * len(words) + 11.0


def _finished(
    sheet: Composer, drawing: Drawing | None, x: float, width: float, height: float
) -> None:
    if drawing is None:
        return
    w, h = drawing.size
    left, bottom = x + (width - w) / 2, sheet.y - height + (height - h) / 2
    sheet.add(Role("figure", alt=drawing.alt), Picture(left, bottom, drawing))
    heading = sheet.set(["Done"], scale.HEADING, x + INDENT, sheet.y - height - 4)
    sheet.add(Role("heading", 2), *heading)


@dataclass(frozen=True)
class Cell:
    """A step as it is set: number, title and text in lines, and its picture."""

    number: int
    title: Sequence[str]
    words: Sequence[str]
    drawing: Drawing | None


def _set_cell(sheet: Composer, cell: Cell, x: float, width: float, height: float) -> None:
    top = sheet.y
    drawing = cell.drawing
    if drawing is not None:
        w, h = drawing.size
        left = x + (width - w) / 2
        bottom = top - height + (height - h) / 2
        sheet.add(Role("figure", alt=drawing.alt), Picture(left, bottom, drawing))
    y = top - height - 3
    number = Line(x, y - 6.6, str(cell.number), scale.NUMBER, "start", "accent")
    heading = sheet.set(cell.title, scale.HEADING, x + INDENT, y - 1)
    sheet.add(Role("heading", 2), number, *heading)
    below = y - 1.8 - leading(scale.HEADING) * len(cell.title)
    sheet.add(Role("paragraph"), *sheet.set(cell.words, scale.TEXT, x + INDENT, below))

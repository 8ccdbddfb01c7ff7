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
from booklet.pages.staging import Stage, Staged
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
    cells = _cells(stage, steps, width, faces)
    if len(cells) % of and stage.end is not None:
        cells.append(Cell(None, ["Done"], [], stage.end))
    rows = [cells[first : first + of] for first in range(0, len(cells), of)]
    heights = [max(_text_height(cell.title, cell.words) for cell in row) for row in rows]
    pages, picture = shared_out(heights, sheet.y - paper.bottom, paper.top - paper.bottom)
    drawings = step_pictures([cell.picture for cell in cells], width, picture, faces)
    for count, page in enumerate(pages):
        if count:
            sheet.turn()
        for row in page:
            for place, cell in enumerate(rows[row]):
                x, _ = paper.column(place, of)
                _set_cell(sheet, cell, drawings[row * of + place], x, width, picture)
            sheet.y -= picture + heights[row]
    return sheet.pages()


def _cells(stage: Stage, steps: Sequence[PlannedStep], width: float, faces: Faces) -> list[Cell]:
    """Each step with its picture; where contents go in first, it has two."""
    cells: list[Cell] = []
    for index, (step, picture) in enumerate(zip(steps, stage.steps, strict=True)):
        title = wrap(step.title, scale.HEADING, width - INDENT, faces)
        words = wrap(step.text, scale.TEXT, width - INDENT, faces)
        before = stage.going_in.get(index)
        cells.append(Cell(index + 1, title, words, before or picture))
        if before is not None:
            cells.append(Cell(None, ["Then"], [], picture))
    return cells


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


@dataclass(frozen=True)
class Cell:
    """A step as it is set: number if it begins one, title and text in lines, and its picture."""

    number: int | None
    title: Sequence[str]
    words: Sequence[str]
    picture: Staged


def _set_cell(
    sheet: Composer, cell: Cell, drawing: Drawing | None, x: float, width: float, height: float
) -> None:
    top = sheet.y
    if drawing is not None:
        w, h = drawing.size
        left = x + (width - w) / 2
        bottom = top - height + (height - h) / 2
        sheet.add(Role("figure", alt=drawing.alt), Picture(left, bottom, drawing))
    y = top - height - 3
    heading = sheet.set(cell.title, scale.HEADING, x + INDENT, y - 1)
    if cell.number is not None:
        number = Line(x, y - 6.6, str(cell.number), scale.NUMBER, "start", "accent")
        heading = [number, *heading]
    sheet.add(Role("heading", 2), *heading)
    if not cell.words:
        return
    below = y - 1.8 - leading(scale.HEADING) * len(cell.title)
    sheet.add(Role("paragraph"), *sheet.set(cell.words, scale.TEXT, x + INDENT, below))

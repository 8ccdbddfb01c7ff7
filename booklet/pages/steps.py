"""Step pages: four to a page, one diagram and a few words each, all diagrams on one scale.

In: a model and its planned steps. Out: pages.
"""

from __future__ import annotations

from collections.abc import Sequence

from booklet.draw.mark import Drawing
from booklet.draw.typeface import Faces
from booklet.pages import type as scale
from booklet.pages.flow import Composer, leading, wrap
from booklet.pages.grid import Paper
from booklet.pages.page import Line, Page, Picture, Role
from booklet.pages.step_picture import step_pictures
from booklet.pages.wording import PlannedStep
from booklet.stages import Model


def step_pages(
    model: Model, steps: Sequence[PlannedStep], paper: Paper, faces: Faces
) -> list[Page]:
    """All steps, two by two; where a cell is left over it shows the finished piece."""
    sheet = Composer(paper, faces, "Steps")
    sheet.title("Step by step")
    _, width = paper.column(0, 2)
    words = [_lines(step, width, faces) for step in steps]
    text_height = max((leading(scale.TEXT) * len(lines) for lines in words), default=0.0) + 15
    room = sheet.y - paper.bottom
    rows = (len(steps) + 1) // 2
    # An odd row more would stand alone on the last page: three rows fit where words are few.
    three = rows % 2 == 1 and rows > 1 and room / 3 >= text_height + 40
    cell = max(text_height + 55.0, room / 2) if not three else room / 3
    picture = cell - text_height - 6
    drawings = step_pictures(model, steps, width, picture, faces)
    for index in range(0, len(steps), 2):
        if index:
            sheet.need(cell - 1.0)
        for place in (0, 1):
            number = index + place + 1
            x, _ = paper.column(place, 2)
            if number <= len(steps):
                step, drawing = steps[number - 1], drawings[number - 1]
                _cell(sheet, number, step, words[number - 1], drawing, x, width, picture)
            elif len(drawings) > len(steps):
                _finished(sheet, drawings[-1], x, width, picture)
        sheet.y -= cell
    return sheet.pages()


def _finished(
    sheet: Composer, drawing: Drawing | None, x: float, width: float, height: float
) -> None:
    if drawing is None:
        return
    left = x + (width - drawing.box[2]) / 2
    bottom = sheet.y - height + (height - drawing.box[3]) / 2
    sheet.add(Role("figure", alt=drawing.alt), Picture(left, bottom, drawing))
    heading = sheet.set(["Done"], scale.HEADING, x + 11, sheet.y - height - 4)
    sheet.add(Role("heading", 2), *heading)


def _lines(step: PlannedStep, width: float, faces: Faces) -> list[str]:
    return wrap(step.text, scale.TEXT, width - 11, faces)


def _cell(
    sheet: Composer,
    number: int,
    step: PlannedStep,
    lines: Sequence[str],
    drawing: Drawing | None,
    x: float,
    width: float,
    height: float,
) -> None:
    top = sheet.y
    if drawing is not None:
        w, h = drawing.box[2], drawing.box[3]
        left = x + (width - w) / 2
        bottom = top - height + (height - h) / 2
        sheet.add(Role("figure", alt=drawing.alt), Picture(left, bottom, drawing))
    y = top - height - 3
    number_line = Line(x, y - 6.6, str(number), scale.NUMBER, "start", "accent")
    heading = sheet.set([step.title], scale.HEADING, x + 11, y - 1)
    sheet.add(Role("heading", 2), number_line, *heading)
    body = sheet.set(lines, scale.TEXT, x + 11, y - 9)
    sheet.add(Role("paragraph"), *body)

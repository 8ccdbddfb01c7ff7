"""The contents at a glance: one wide page that shows every page of a pattern, small.

In: a model and how many pages it has on each paper. Out: a page value with words, and the places
that the small pages take. The picture of it is for the page where a pattern is offered.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from booklet.draw.typeface import Faces
from booklet.pages import type as scale
from booklet.pages.flow import Composer, clipped
from booklet.pages.grid import Paper
from booklet.pages.page import Page, Role, Rule
from booklet.stages import Model

WIDTH: Final = 240.0
HEIGHT: Final = 180.0
"""A page of 4 to 3, in mm: a common shape of pictures (no source)."""
MARGIN: Final = 14.0
SIDE: Final = 62.0
"""Width of the words at the left."""
GAP: Final = 3.5
MOST: Final = 24
"""Small pages that can still be told from each other."""


@dataclass(frozen=True)
class Cell:
    """Where page `number` (1 first) is shown: lower left corner, width and height in mm."""

    number: int
    x: float
    y: float
    width: float
    height: float


@dataclass(frozen=True)
class Glance:
    """The page and the places of the small pages on it."""

    page: Page
    cells: tuple[Cell, ...]


def glance(model: Model, pages: Mapping[str, int], paper: Paper, faces: Faces) -> Glance:
    """The overview of a pattern of so many `pages` by the name of the paper; shown on `paper`."""
    column = Paper("glance", WIDTH, HEIGHT, MARGIN, MARGIN, WIDTH - MARGIN - SIDE, MARGIN)
    sheet = Composer(column, faces, "At a glance")
    project = model.project.project
    rule = Rule(MARGIN, sheet.y, MARGIN + 24, sheet.y, "accent", "accent")
    sheet.add(Role("decoration"), rule)
    sheet.y -= 4
    sheet.words(project.title, scale.TITLE, Role("title", 1))
    sheet.skip(0.4)
    designer = clipped(project.designer, scale.LEAD, SIDE, faces)
    sheet.words(designer, scale.LEAD, colour="grey")
    sheet.skip()
    for words in _facts(model, pages):
        if sheet.y < MARGIN + 14:
            break
        sheet.words(words, scale.LEAD)
        sheet.skip(0.3)
    return Glance(sheet.pages()[0], _cells(min(pages[paper.name], MOST), paper))


def _facts(model: Model, pages: Mapping[str, int]) -> list[str]:
    project = model.project.project
    letter, a4 = pages["letter"], pages["a4"]
    same = f"{letter} pages, on Letter and on A4"
    facts = [same if letter == a4 else f"{letter} pages on Letter, {a4} on A4"]
    facts.append("Template at full size, with layers")
    facts.append("Each piece as SVG, in real units")
    if model.project.contents:
        names = [contents.name for contents in model.project.contents]
        facts.append(f"Holds: {', '.join(names)}")
    if project.minutes:
        facts.append(f"About {project.minutes} minutes")
    if project.level:
        facts.append(f"Level: {project.level}")
    return facts


def _cells(count: int, paper: Paper) -> tuple[Cell, ...]:
    """The small pages in rows, as large as the room allows."""
    left = MARGIN + SIDE + 10
    room_w, room_h = WIDTH - MARGIN - left, HEIGHT - 2 * MARGIN
    shape = paper.width / paper.height
    best = (0.0, 1)
    for columns in range(1, count + 1):
        rows = math.ceil(count / columns)
        w = (room_w - GAP * (columns - 1)) / columns
        h = min(w / shape, (room_h - GAP * (rows - 1)) / rows)
        best = max(best, (h, columns))
    h, columns = best
    w = h * shape
    cells: list[Cell] = []
    for index in range(count):
        row, column = divmod(index, columns)
        x = left + column * (w + GAP)
        y = HEIGHT - MARGIN - h - row * (h + GAP)
        cells.append(Cell(index + 1, x, y, w, h))
    return tuple(cells)

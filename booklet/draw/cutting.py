"""The picture of a cutting layout: blanks and leftovers on their sheet, the cuts with numbers.

In: a layout, its sheet, names and a scale. Out: a drawing in page mm; its box has room for the
numbers outside the sheet. Cuts are heavy solid lines, each with the number of its setting.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from shapely.geometry import box

from booklet.draw.label import CAP, LABEL, fitted, words_area
from booklet.draw.mark import Area, Drawing, Label, Mark, Stroke, move
from booklet.draw.skin import coloured, shade
from booklet.draw.typeface import Faces
from booklet.flat.arcs import circle
from booklet.flat.path import Point, rectangle, segment
from booklet.measure.rounding import Printer
from booklet.measure.tolerance import TOUCH_MM
from booklet.stock.cut_line import CutLine, cut_lines
from booklet.stock.instruction import plain_size
from booklet.stock.plan_value import Layout, Leftover, Placement, Size

EDGE = 6.0
"""Room for the numbers left of the sheet and below it, in mm; above and right of it as needed."""
RADIUS = 2.4
"""Radius of a number's disc in mm."""

Bounds = tuple[float, float, float, float]


@dataclass(frozen=True)
class Look:
    """How layouts are drawn: page mm for a mm of sheet, the stock's colour, the words."""

    scale: float
    colour: str | None
    names: Mapping[str, str]
    printer: Printer
    faces: Faces


def cutting_picture(layout: Layout, sheet: Size, look: Look, alt: str) -> Drawing:
    """The sheet as it is bought, its lower left corner EDGE from that of the box."""
    k = look.scale
    width, height = float(sheet[0]) * k, float(sheet[1]) * k
    marks: list[Mark] = [Area(rectangle(0, 0, width, height), "white")]
    fill = shade(coloured(look.colour)["outside"], (0.0, 0.0, 1.0))
    marks += [Area(rectangle(*_scaled(one, k)), fill) for one in layout.placements]
    marks.append(Stroke(rectangle(0, 0, width, height), "medium"))
    lines = cut_lines(layout, sheet)
    marks += [Stroke(segment(*_ends(line, k)), "heavy", "cut") for line in lines]
    words = list(_words(layout, look))
    marks += words
    taken = [words_area([word], look.faces).bounds for word in words]
    words_taken = len(taken)
    marks += _numbers(lines, k, (width, height), taken)
    discs = taken[words_taken:]
    right = max([width, *(disc[2] for disc in discs)])
    top = max([height, *(disc[3] for disc in discs)])
    drawing = Drawing(tuple(marks), (-EDGE, -EDGE, right, top), alt)
    return move(drawing, EDGE, EDGE)


def _scaled(one: Placement | Leftover, k: float) -> Bounds:
    return float(one.x) * k, float(one.y) * k, float(one.w) * k, float(one.h) * k


def _words(layout: Layout, look: Look) -> Iterator[Label]:
    """Name and size in each blank, the size in each leftover, as far as they fit."""
    rooms: list[tuple[list[str], Placement | Leftover]] = []
    for placed in layout.placements:
        size = plain_size((placed.w, placed.h), look.printer)
        rooms.append(([look.names[placed.piece], size], placed))
    for left in layout.leftovers:
        rooms.append((["left over", plain_size((left.w, left.h), look.printer)], left))
    for lines, one in rooms:
        x, y, w, h = _scaled(one, look.scale)
        yield from fitted(lines, box(x, y, x + w, y + h), look.faces)


def _ends(line: CutLine, k: float) -> tuple[Point, Point]:
    (x0, y0), (x1, y1) = line.start, line.end
    return (float(x0) * k, float(y0) * k), (float(x1) * k, float(y1) * k)


def _numbers(
    lines: Sequence[CutLine], k: float, sheet: tuple[float, float], taken: list[Bounds]
) -> Iterator[Mark]:
    """A disc with its number on each line, where it hides no word and no other number."""
    done: set[int] = set()
    for line in lines:
        spots = list(_spots(*_ends(line, k), sheet))
        at = next((spot for spot in spots if _free(spot, taken)), None)
        if at is None:
            if line.number in done:
                continue
            at = spots[0]
        done.add(line.number)
        taken.append((at[0] - RADIUS, at[1] - RADIUS, at[0] + RADIUS, at[1] + RADIUS))
        disc = circle(at, RADIUS)
        yield Area(disc, "white")
        yield Stroke(disc, "medium", "labels")
        yield Label((at[0], at[1] - CAP / 2), str(line.number), LABEL.name)


def _spots(start: Point, end: Point, sheet: tuple[float, float]) -> Iterator[Point]:
    """Places for a number: outside the sheet at an end that reaches its edge, else on the line."""
    (x0, y0), (x1, y1) = start, end
    out = RADIUS + 0.8
    upright = x0 == x1
    if upright and y0 < TOUCH_MM:
        yield x0, -out
    if upright and y1 > sheet[1] - TOUCH_MM:
        yield x0, sheet[1] + out
    if not upright and x0 < TOUCH_MM:
        yield -out, y0
    if not upright and x1 > sheet[0] - TOUCH_MM:
        yield sheet[0] + out, y0
    for part in (0.5, 0.3, 0.7, 0.15, 0.85, 0.4, 0.6):
        yield x0 + (x1 - x0) * part, y0 + (y1 - y0) * part


def _free(at: Point, taken: Sequence[Bounds]) -> bool:
    x, y = at
    r = RADIUS + 0.2
    return all(x + r <= x0 or x - r >= x1 or y + r <= y0 or y - r >= y1 for x0, y0, x1, y1 in taken)

"""Where the cuts of a layout run on the sheet.

In: a layout and the size of its sheet. Out: a line for every cut, with the number of its setting;
made by cutting the sheet as the instructions say, so that picture and instructions cannot differ.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from booklet.stock.plan_value import Cut, Layout, Size

Point = tuple[Fraction, Fraction]
Rectangle = tuple[Fraction, Fraction, Fraction, Fraction]
"""Left, bottom, width, height in mm, on the sheet as it is bought."""


@dataclass(frozen=True)
class CutLine:
    """One cut on the sheet, from its lower or left end."""

    number: int
    start: Point
    end: Point


def cut_lines(layout: Layout, sheet: Size) -> tuple[CutLine, ...]:
    """All lines in the order in which they are cut."""
    stacks: dict[str, list[Rectangle]] = {"A": [(Fraction(0), Fraction(0), *sheet)]}
    lines: list[CutLine] = []
    for cut in layout.cuts:
        for rectangle in stacks.pop(cut.stack):
            lines += _apart(cut, rectangle, stacks)
    return tuple(lines)


def _apart(cut: Cut, rectangle: Rectangle, stacks: dict[str, list[Rectangle]]) -> list[CutLine]:
    """Cut one part, and put what comes of it on the stacks."""
    x, y, w, h = rectangle
    along = w if cut.upright else h
    lines = []
    for k in range(1, cut.times + 1):
        # Turned end for end, the far edge lies against the fence.
        at = along - cut.fence * k if cut.turn == 2 else cut.fence * k
        low = at if cut.turn == 2 else at - cut.fence
        stacks.setdefault(cut.gives, []).append(_slice(rectangle, cut, low, cut.fence))
        if cut.upright:
            lines.append(CutLine(cut.number, (x + at, y), (x + at, y + h)))
        else:
            lines.append(CutLine(cut.number, (x, y + at), (x + w, y + at)))
    used = cut.fence * cut.times
    low = Fraction(0) if cut.turn == 2 else used
    stacks.setdefault(cut.rest, []).append(_slice(rectangle, cut, low, along - used))
    return lines


def _slice(rectangle: Rectangle, cut: Cut, low: Fraction, length: Fraction) -> Rectangle:
    x, y, w, h = rectangle
    return (x + low, y, length, h) if cut.upright else (x, y + low, w, length)

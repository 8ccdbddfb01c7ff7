"""Callouts: names of panels beside a picture, with leader lines that never cross.

In: words with the point each belongs to, and the picture's box (print mm). Out: marks in two
columns, left and right of the picture, each at a fair distance from the next.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from math import dist
from typing import Literal

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from booklet.draw.label import CAP, LABEL, LINE
from booklet.draw.mark import Area, Label, Mark, Stroke
from booklet.flat.arcs import circle
from booklet.flat.path import Point, segment

OFF = 4.5
"""From the picture to a column of words, in print mm."""
GAP = 0.9
"""From words to their leader line, in print mm."""
MOVED = 9
"""Up to so many callouts are moved out of the way of arrows."""
SPAN = 0.35
"""The share of the picture's width that a leader may run without being in the way itself."""
DOT = 0.45
"""Radius of the dot at the end of a leader, in print mm."""


_Line = tuple[Point, Point]
"""A leader from its words to its panel, in print mm."""


@dataclass(frozen=True)
class Callout:
    """Words and the point of the picture that they name; `others` would do as well."""

    text: str
    at: Point
    others: tuple[Point, ...] = ()


def callouts(
    items: Sequence[Callout],
    box: tuple[float, float, float, float],
    taken: Sequence[BaseGeometry] = (),
) -> list[Mark]:
    """The marks of all callouts round a picture with that box; leaders keep off what is `taken`.

    A leader that would cross an arrow ends elsewhere on its panel, or comes from the other side.
    """
    left, right = _sides(items, (box[0] + box[2]) / 2)
    plan = _Plan(tuple(left), tuple(right))
    if taken and 0 < len(items) <= MOVED:
        plan = _clear(plan, box, shapely.union_all(list(taken)))
    marks: list[Mark] = []
    for item, (x, y), way in plan.placed(box):
        marks.append(Stroke(segment((x, y), item.at), "hair", "labels"))
        marks.append(Area(circle(item.at, DOT), "ink", "labels"))
        at = (x + way * GAP, y - CAP / 2)
        marks.append(Label(at, item.text, LABEL.name, "start" if way > 0 else "end"))
    return marks


@dataclass(frozen=True)
class _Plan:
    """Which callouts stand in the left and the right column."""

    left: tuple[Callout, ...]
    right: tuple[Callout, ...]

    def placed(
        self, box: tuple[float, float, float, float]
    ) -> list[tuple[Callout, Point, Literal[-1, 1]]]:
        """Each callout with the outer end of its leader and the way its words go."""
        x0, y0, x1, y1 = box
        reach = (y0, y1)
        found: list[tuple[Callout, Point, Literal[-1, 1]]] = []
        found += [(i, (x0 - OFF, y), -1) for i, y in _uncrossed(list(self.left), x0 - OFF, reach)]
        found += [(i, (x1 + OFF, y), 1) for i, y in _uncrossed(list(self.right), x1 + OFF, reach)]
        return found

    def changes(self) -> Iterator[_Plan]:
        """Every plan with one callout elsewhere: another point of its panel, or the other side."""
        for here, on_left in ((self.left, True), (self.right, False)):
            for item in here:
                rest = tuple(one for one in here if one is not item)
                for at in (item.at, *item.others):
                    moved = replace(item, at=at, others=tuple({item.at, *item.others} - {at}))
                    if at != item.at:
                        new = (*rest, moved)
                        yield _Plan(new, self.right) if on_left else _Plan(self.left, new)
                    if on_left:
                        yield _Plan(rest, (*self.right, moved))
                    else:
                        yield _Plan((*self.left, moved), rest)


def _clear(plan: _Plan, box: tuple[float, float, float, float], full: BaseGeometry) -> _Plan:
    """The plan changed one callout at a time as long as that clears leaders."""
    shapely.prepare(full)
    (least,) = _troubles([plan], box, full)
    for _ in range(MOVED):
        if least < 1.0:  # nothing is crossed
            break
        others = list(plan.changes())
        costs = _troubles(others, box, full)
        best = min(range(len(others)), key=lambda n: (costs[n], n), default=None)
        if best is None or costs[best] >= least:
            break
        plan, least = others[best], costs[best]
    return plan


def _troubles(
    plans: Sequence[_Plan], box: tuple[float, float, float, float], full: BaseGeometry
) -> list[float]:
    """For each plan one for each leader in the way or across the picture, a little for lengths."""
    if not plans:
        return []
    leaders = [[(end, item.at) for item, end, _ in plan.placed(box)] for plan in plans]
    # One call for the leaders of all plans: a call for each costs more than what it finds out.
    every = shapely.linestrings(np.array([line for lines in leaders for line in lines]))
    hit = shapely.intersects(full, every).reshape(len(plans), -1).sum(axis=1)
    size = max(1.0, box[2] - box[0])
    return [_trouble(lines, int(n), size) for lines, n in zip(leaders, hit, strict=True)]


def _trouble(lines: Sequence[_Line], hit: int, size: float) -> float:
    """The trouble of one plan: `hit` of its leaders cross an arrow of a picture `size` wide."""
    crossed = hit + sum(_cross(a, b) for a, b in combinations(lines, 2))
    spans = [dist(*line) / size for line in lines]
    across = sum(max(0.0, span - SPAN) for span in spans) / (1 - SPAN)
    return crossed + 2.5 * across + 0.1 * sum(spans) / max(1, len(spans))


def _cross(one: _Line, two: _Line) -> bool:
    """Whether two leaders meet, ends included; leaders on one line count as apart."""
    (a, b), (c, d) = one, two
    first = _turn(a, b, c) * _turn(a, b, d)
    if first > 0:
        return False
    second = _turn(c, d, a) * _turn(c, d, b)
    return second <= 0 and (first < 0 or second < 0)


def _turn(a: Point, b: Point, c: Point) -> float:
    """Twice the area of a triangle, above 0 where it turns left."""
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _sides(items: Sequence[Callout], middle: float) -> tuple[list[Callout], list[Callout]]:
    """Each to its nearer side; those next to the middle go over while one side has far more."""
    ordered = sorted(items, key=lambda item: (item.at[0], -item.at[1], item.text))
    cut = sum(item.at[0] < middle for item in ordered)
    even = len(ordered) // 2
    cut = min(max(cut, even - 1), len(ordered) - even + 1)
    return ordered[:cut], ordered[cut:]


def _uncrossed(
    column: list[Callout], x: float, reach: tuple[float, float]
) -> list[tuple[Callout, float]]:
    """Heights for one column; two leaders that cross change places, which shortens both."""
    order = sorted(column, key=lambda item: (-item.at[1], item.text))
    heights = _spread([item.at[1] for item in order], reach)
    # Each round compares all pairs: hundreds of names, which no reader follows, stay as they are.
    pairs = max(1, len(order) ** 2)
    for _ in range(min(pairs, 100_000 // pairs)):
        lines = [((x, y), item.at) for item, y in zip(order, heights, strict=True)]
        pair = next(
            (
                (i, j)
                for i in range(len(lines))
                for j in range(i + 1, len(lines))
                if _cross(lines[i], lines[j])
            ),
            None,
        )
        if pair is None:
            break
        i, j = pair
        order[i], order[j] = order[j], order[i]
    return list(zip(order, heights, strict=True))


def _spread(wanted: Sequence[float], reach: tuple[float, float]) -> list[float]:
    """Falling heights at least a line apart, nearest to those wanted in least squares.

    Pool adjacent violators, the method for monotone regression (from memory).
    """
    blocks: list[tuple[float, int]] = []
    for index, y in enumerate(wanted):
        total, count = y + index * LINE, 1
        while blocks and blocks[-1][0] / blocks[-1][1] < total / count:
            total, count = total + blocks[-1][0], count + blocks[-1][1]
            blocks.pop()
        blocks.append((total, count))
    level = [total / count for total, count in blocks for _ in range(count)]
    heights = [y - index * LINE for index, y in enumerate(level)]
    if not heights:
        return heights
    low, high = reach
    # A column that hangs over the picture's end is pushed back as far as it fits.
    push = max(0.0, low - heights[-1])
    push -= max(0.0, heights[0] + push - max(high, low + (len(heights) - 1) * LINE))
    return [y + push for y in heights]

"""Callouts: names of panels beside a picture, with leader lines that never cross.

In: words with the point each belongs to, and the picture's box (print mm). Out: marks in two
columns, left and right of the picture, each at a fair distance from the next.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import accumulate, pairwise
from typing import Literal, TypeAlias

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from booklet.draw.closer import Segments, reaches
from booklet.draw.label import CAP, LABEL, LINE
from booklet.draw.mark import Area, Label, Mark, Stroke
from booklet.flat.arcs import circle
from booklet.flat.path import Point, segment
from booklet.measure.tolerance import SAME_MM

OFF = 4.5
"""From the picture to a column of words, in print mm."""
GAP = 0.9
"""From words to their leader line, in print mm."""
MOVED = 9
"""Up to so many callouts are moved out of the way of arrows."""
SPAN = 0.35
"""The share of the picture's width that a leader may run without being in the way itself."""
LONG = 10
TORN = 3
"""Words of more letters are set in two lines, the angle alone where its name is not much longer."""
ASIDE = 1.0
"""White in mm that tells two lines of one callout from the next one."""
LEAST = 0.5
"""A column moves in toward the picture by so many mm or not at all,"""
IN = 0.35
"""and by no more than this share of the picture's width."""
DOT = 0.45
"""Radius of the dot at the end of a leader, in print mm."""
INSIDE = 0.7
"""How far from a panel's border and from arrows a leader ends, in print mm."""
PARTS = 3
"""A panel is looked through for such a place in so many columns and rows."""


Box: TypeAlias = tuple[float, float, float, float]
_Line: TypeAlias = tuple[Point, Point]
"""A leader from its words to its panel, in print mm."""


@dataclass(frozen=True)
class Callout:
    """Words and the point of the picture that they name; `others` would do as well.

    So would any point well inside the region that it lies `within`, if one is given.
    """

    text: str
    at: Point
    others: tuple[Point, ...] = ()
    within: BaseGeometry | None = None

    @cached_property
    def lines(self) -> tuple[str, ...]:
        """The words on one line, or on two where they would take much of the picture's room."""
        words = self.text.split(" ")
        if len(self.text) <= LONG or len(words) < 2:
            return (self.text,)
        pairs = ((" ".join(words[:k]), " ".join(words[k:])) for k in range(1, len(words)))
        return min(pairs, key=_raggedness)


def _raggedness(pair: tuple[str, str]) -> int:
    """How wide two lines are, in letters; a name is torn apart only where that saves some."""
    whole = pair[1][:1].isdigit() and " " not in pair[1]
    return max(map(len, pair)) + (0 if whole else TORN)


def callouts(
    items: Sequence[Callout],
    box: Box,
    taken: Sequence[BaseGeometry] = (),
    ink: Segments | None = None,
) -> list[Mark]:
    """The marks of all callouts round a picture with that box; leaders keep off what is `taken`.

    A leader that would cross an arrow ends elsewhere on its panel, or comes from the other side.
    Where the lines of the picture, its `ink`, leave its corners empty the columns move in there.
    """
    left, right = _sides(items, (box[0] + box[2]) / 2)
    plan = _Plan(tuple(left), tuple(right))
    full = shapely.union_all(list(taken))
    columns = _Columns(box)
    if taken and 0 < len(items) <= MOVED:
        plan = _clear(plan, columns, full)
    placed = columns.placed(plan)
    if ink is not None and placed:
        placed = _closer(plan, placed, box, ink, full)
    marks: list[Mark] = []
    for item, (x, y), way in placed:
        marks.append(Stroke(segment((x, y), item.at), "hair", "labels"))
        marks.append(Area(circle(item.at, DOT), "ink", "labels"))
        first = y - CAP / 2 + LINE * (len(item.lines) - 1) / 2
        for number, words in enumerate(item.lines):
            at = (x + way * GAP, first - number * LINE)
            marks.append(Label(at, words, LABEL.name, "start" if way > 0 else "end"))
    return marks


_Placed: TypeAlias = tuple[Callout, Point, Literal[-1, 1]]


@dataclass(frozen=True)
class _Plan:
    """Which callouts stand in the left and the right column."""

    left: tuple[Callout, ...]
    right: tuple[Callout, ...]

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


@dataclass(frozen=True)
class _Columns:
    """Where callouts stand round a picture with that box: a column is worked out once."""

    box: Box
    known: dict[tuple[bool, tuple[Callout, ...]], list[_Placed]] = field(default_factory=dict)

    def placed(self, plan: _Plan) -> list[_Placed]:
        """Each callout with the outer end of its leader and the way its words go."""
        return self._column(plan.left, True) + self._column(plan.right, False)

    def leaders(self, plan: _Plan) -> list[_Line]:
        """The leaders of all callouts."""
        return [(end, item.at) for item, end, _ in self.placed(plan)]

    def _column(self, items: tuple[Callout, ...], on_left: bool) -> list[_Placed]:
        if (on_left, items) not in self.known:
            x0, y0, x1, y1 = self.box
            x = x0 - OFF if on_left else x1 + OFF
            way: Literal[-1, 1] = -1 if on_left else 1
            found = _uncrossed(list(items), x, (y0, y1))
            self.known[on_left, items] = [(item, (x, y), way) for item, y in found]
        return self.known[on_left, items]


def _closer(
    plan: _Plan, placed: list[_Placed], box: Box, ink: Segments, full: BaseGeometry
) -> list[_Placed]:
    """The callouts in columns as near to the picture as all words of a column are clear of it."""
    x0, y0, x1, y1 = box
    left, right = _free(placed, box, ink)
    if max(left, right) < LEAST:
        return placed
    nearer = _Columns((x0 + left, y0, x1 - right, y1)).placed(plan)
    free = _free(nearer, box, ink)
    if free[0] < left - SAME_MM or free[1] < right - SAME_MM:
        return placed
    return nearer if _trouble(nearer, full) <= _trouble(placed, full) else placed


def _free(placed: Sequence[_Placed], box: Box, ink: Segments) -> tuple[float, float]:
    """The white in mm between the box and the picture beside the words left and right of it."""
    free = {-1: (box[2] - box[0]) * IN, 1: (box[2] - box[0]) * IN}
    halves = [LINE * len(item.lines) / 2 + ASIDE for item, _, _ in placed]
    bands = [(y - half, y + half) for half, (_, (_, y), _) in zip(halves, placed, strict=True)]
    ends = reaches(ink, np.array(bands)).tolist()
    for (low, high), (_, _, way) in zip(ends, placed, strict=True):
        free[way] = min(free[way], low - box[0] if way < 0 else box[2] - high)
    return max(0.0, free[-1]), max(0.0, free[1])


def _trouble(placed: Sequence[_Placed], full: BaseGeometry) -> int:
    """How often leaders cross arrows or each other."""
    lines = np.array([[end, item.at] for item, end, _ in placed])
    return int(shapely.intersects(full, shapely.linestrings(lines)).sum()) + int(
        _crossings(lines[None])[0]
    )


def _clear(plan: _Plan, columns: _Columns, full: BaseGeometry) -> _Plan:
    """The plan changed one callout at a time as long as that clears leaders."""
    shapely.prepare(full)
    (least,) = _troubles([plan], columns, full)
    if least < 1.0:  # nothing is crossed, as in most pictures
        return plan
    near = full.buffer(INSIDE)
    plan = _Plan(*(tuple(_looked_through(i, near) for i in c) for c in (plan.left, plan.right)))
    for _ in range(MOVED):
        if least < 1.0:
            break
        others = list(plan.changes())
        costs = _troubles(others, columns, full)
        best = min(range(len(others)), key=lambda n: (costs[n], n), default=None)
        if best is None or costs[best] >= least:
            break
        plan, least = others[best], costs[best]
    return plan


def _looked_through(item: Callout, near: BaseGeometry) -> Callout:
    """The callout with points of its region, well inside it and not `near` arrows, as `others`."""
    if item.within is None:
        return item
    free = item.within.buffer(-INSIDE).difference(near)
    if free.is_empty:
        return replace(item, within=None)
    x0, y0, x1, y1 = free.bounds
    u, v = (x1 - x0) / PARTS, (y1 - y0) / PARTS
    xs, ys = x0 + u * np.arange(PARTS), y0 + v * np.arange(PARTS)
    left, low = np.repeat(xs, PARTS), np.tile(ys, PARTS)
    cells = shapely.intersection(free, shapely.box(left, low, left + u, low + v))
    cells = cells[shapely.area(cells) > INSIDE * INSIDE]
    spots = shapely.get_coordinates(shapely.point_on_surface(cells)).tolist()
    return replace(item, others=tuple((x, y) for x, y in spots), within=None)


def _troubles(plans: Sequence[_Plan], columns: _Columns, full: BaseGeometry) -> list[float]:
    """For each plan one for each leader in the way or across the picture, a little for lengths."""
    if not plans:
        return []
    lines = np.array([columns.leaders(plan) for plan in plans])
    # One call for the leaders of all plans: a call for each costs more than what it finds out.
    hit = shapely.intersects(full, shapely.linestrings(lines.reshape(-1, 2, 2)))
    crossed = hit.reshape(len(plans), -1).sum(axis=1) + _crossings(lines)
    spans = np.hypot(*np.moveaxis(lines[:, :, 1] - lines[:, :, 0], -1, 0))
    spans /= max(1.0, columns.box[2] - columns.box[0])
    across = np.maximum(0.0, spans - SPAN).sum(axis=1) / (1 - SPAN)
    # Rounded, so that plans that are equally good keep their order on every machine.
    troubles: list[float] = np.round(crossed + 2.5 * across + 0.1 * spans.mean(axis=1), 9).tolist()
    return troubles


def _crossings(lines: NDArray[np.float64]) -> NDArray[np.int64]:
    """How many pairs of leaders meet in each plan, as `_cross` tells; lines: plan, leader, end."""
    i, j = np.triu_indices(lines.shape[1], k=1)
    a, b, c, d = lines[:, i, 0], lines[:, i, 1], lines[:, j, 0], lines[:, j, 1]
    first = _turns(a, b, c) * _turns(a, b, d)
    second = _turns(c, d, a) * _turns(c, d, b)
    meet = (first <= 0) & (second <= 0) & ((first < 0) | (second < 0))
    return np.asarray(meet.sum(axis=1))


def _turns(
    a: NDArray[np.float64], b: NDArray[np.float64], c: NDArray[np.float64]
) -> NDArray[np.float64]:
    """`_turn` of many triangles."""
    ab, ac = b - a, c - a
    return np.asarray(ab[..., 0] * ac[..., 1] - ab[..., 1] * ac[..., 0])


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
    wanted = [item.at[1] for item in order]
    heights = _spread(wanted, reach, [len(item.lines) for item in order])
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
        if len(order[i].lines) != len(order[j].lines):
            heights = _spread(wanted, reach, [len(item.lines) for item in order])
    return list(zip(order, heights, strict=True))


def _spread(
    wanted: Sequence[float], reach: tuple[float, float], lines: Sequence[int]
) -> list[float]:
    """Falling heights of words of so many `lines`, clear of each other, nearest to those wanted.

    Nearest in least squares: pool adjacent violators, the method for monotone regression (from
    memory).
    """
    if not wanted:
        return []
    # How far each stands below the first when all stand close.
    steps = (LINE * (a + b) / 2 + (ASIDE if a + b > 2 else 0.0) for a, b in pairwise(lines))
    below = list(accumulate(steps, initial=0.0))
    blocks: list[tuple[float, int]] = []
    for y, off in zip(wanted, below, strict=True):
        total, count = y + off, 1
        while blocks and blocks[-1][0] / blocks[-1][1] < total / count:
            total, count = total + blocks[-1][0], count + blocks[-1][1]
            blocks.pop()
        blocks.append((total, count))
    level = [total / count for total, count in blocks for _ in range(count)]
    heights = [y - off for y, off in zip(level, below, strict=True)]
    low, high = reach
    # A column that hangs over the picture's end is pushed back as far as it fits.
    push = max(0.0, low - heights[-1])
    push -= max(0.0, heights[0] + push - max(high, low + below[-1]))
    return [y + push for y in heights]

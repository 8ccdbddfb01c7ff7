"""Callouts: names of panels beside a picture, with leader lines that never cross.

In: words with the point each belongs to, and the picture's box (print mm). Out: marks in two
columns, left and right of the picture, each at a fair distance from the next.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from shapely.geometry import LineString

from booklet.draw.label import CAP, LABEL, LINE
from booklet.draw.mark import Area, Label, Mark, Stroke
from booklet.flat.arcs import circle
from booklet.flat.path import Point, segment

OFF = 4.5
"""From the picture to a column of words, in print mm."""
GAP = 0.9
"""From words to their leader line, in print mm."""
DOT = 0.45
"""Radius of the dot at the end of a leader, in print mm."""


@dataclass(frozen=True)
class Callout:
    """Words and the point of the picture that they name."""

    text: str
    at: Point


def callouts(items: Sequence[Callout], box: tuple[float, float, float, float]) -> list[Mark]:
    """The marks of all callouts round a picture with that box."""
    x0, y0, x1, y1 = box
    left, right = _sides(items, (x0 + x1) / 2)
    marks: list[Mark] = []
    for column, x, way in ((left, x0 - OFF, -1), (right, x1 + OFF, 1)):
        for item, y in _uncrossed(column, x, (y0, y1)):
            marks.append(Stroke(segment((x, y), item.at), "hair", "labels"))
            marks.append(Area(circle(item.at, DOT), "ink", "labels"))
            marks.append(
                Label(
                    (x + way * GAP, y - CAP / 2),
                    item.text,
                    LABEL.name,
                    "start" if way > 0 else "end",
                )
            )
    return marks


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
        lines = [LineString([(x, y), item.at]) for item, y in zip(order, heights, strict=True)]
        pair = next(
            (
                (i, j)
                for i in range(len(lines))
                for j in range(i + 1, len(lines))
                if lines[i].intersects(lines[j])
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

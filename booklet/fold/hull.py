"""The box that a folded piece takes up outside.

In: a piece in its final pose and the layers of its panels. Out: a `Hull` along the axes of the
root's frame. Panels are middle surfaces: where a panel lies square to an axis at the very end of
the piece, half a thickness is added there. Panels that lie on it from outside, such as a lid on
its front, add a whole one each; a glued tab inside adds nothing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from booklet.fold.face import Point3
from booklet.fold.pose import Floats, Posed
from booklet.measure.tolerance import HAND_MM


@dataclass(frozen=True, eq=False)
class Hull:
    """Two corners (x, y, z) in mm, over the outer faces of the paper.

    `points` (n, 3) are the corners of all panels, middle surfaces, `half` half the thickness.
    """

    low: Floats
    high: Floats
    points: Floats
    half: float

    @property
    def size(self) -> tuple[float, float, float]:
        """Wide, tall and deep outside, mm."""
        wide, tall, deep = (float(side) for side in self.high - self.low)
        return wide, tall, deep


def find_hull(
    posed: Posed, layers: Mapping[str, int], outlines: Mapping[str, Sequence[Point3]]
) -> Hull:
    """The outer box of one piece whose panels have these outlines in space."""
    points = {name: np.asarray(loop, dtype=np.float64) for name, loop in outlines.items()}
    every = np.concatenate(list(points.values()))
    low, high = every.min(axis=0), every.max(axis=0)
    home = posed.pattern.id
    tabs = {join.tab[1] for join in posed.pattern.joins if join.tab[0] == home}
    below, above = np.zeros(3), np.zeros(3)
    for axis in range(3):
        for end, extra, sign in ((low, below, -1), (high, above, 1)):
            there = _square_at(points, axis, float(end[axis]))
            if there and high[axis] - low[axis] <= HAND_MM:
                numbers = [layers[name] for name in there]
                extra[axis] = (max(numbers) - min(numbers) + 1) / 2 * posed.thickness
            elif there:
                extra[axis] = (0.5 + _outside(there, tabs, layers, sign)) * posed.thickness
    return Hull(low - below, high + above, every, posed.thickness / 2)


def _square_at(points: Mapping[str, Floats], axis: int, end: float) -> list[str]:
    """Panels that lie in the plane at one end of the piece."""
    return [
        name
        for name, corners in points.items()
        if float(np.abs(corners[:, axis] - end).max()) <= HAND_MM
    ]


def _outside(there: Sequence[str], tabs: set[str], layers: Mapping[str, int], sign: int) -> int:
    """Sheets that lie outside the wall itself, which is the innermost panel that is no tab."""
    heights = {name: sign * layers[name] for name in there}
    walls = [height for name, height in heights.items() if name not in tabs]
    return max(heights.values()) - min(walls) if walls else 0

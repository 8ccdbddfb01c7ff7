"""Does a flat polygon in space enter a box?

In: points of a polygon and two corners of a box, mm. Out: yes or no, by cutting the polygon along
the six sides in turn (Sutherland and Hodgman, Communications of the ACM 17, 1974; from memory).
"""

from __future__ import annotations

import numpy as np

from booklet.fold.pose import Floats


def enters(points: Floats, low: Floats, high: Floats, slack: float) -> bool:
    """Whether a part of the polygon lies deeper than `slack` mm inside the box."""
    rest = points
    for axis in range(3):
        for sign, limit in ((1.0, low[axis] + slack), (-1.0, -(high[axis] - slack))):
            rest = _cut(rest, sign * rest[:, axis] - limit) if len(rest) else rest
    return len(rest) > 0


def _cut(points: Floats, depth: Floats) -> Floats:
    """The part of a closed polygon where `depth` is positive."""
    kept: list[Floats] = []
    for i in range(len(points)):
        j = (i + 1) % len(points)
        if depth[i] > 0:
            kept.append(points[i])
        if (depth[i] > 0) != (depth[j] > 0):
            share = depth[i] / (depth[i] - depth[j])
            kept.append(points[i] + share * (points[j] - points[i]))
    return np.array(kept).reshape(-1, 3)

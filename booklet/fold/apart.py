"""Polygons that have nothing but a border in common, found out for many pairs at once.

In: polygons and pairs of them. Out: which pairs a straight line keeps apart (the theorem of the
separating axis; of directions only those are tried that the polygons' own edges have most often).
"""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Indices = NDArray[np.int64]
Flags = NDArray[np.bool_]

MOST = 24
"""Directions that are tried: folded paper has few, and curves have more than pay."""
ALIKE = 1e-3
"""Radians: of directions nearer to each other one is tried."""


def apart(areas: NDArray[np.object_], first: Indices, second: Indices, touch: float) -> Flags:
    """Whether a line keeps the polygons of each pair apart, or they reach `touch` mm beyond it.

    True only where that is so; what touches along an edge of a rare direction counts as False.
    """
    points, owner = shapely.get_coordinates(areas, return_index=True)
    if not len(points):
        return np.ones(len(first), dtype=bool)
    steps = np.diff(points, axis=0)[owner[1:] == owner[:-1]]
    angles = np.arctan2(steps[:, 1], steps[:, 0]) % np.pi
    _, at, counts = np.unique(np.round(angles / ALIKE), return_index=True, return_counts=True)
    tried = angles[at[np.argsort(-counts, kind="stable")[:MOST]]]
    along = points @ np.array([-np.sin(tried), np.cos(tried)])
    starts = np.flatnonzero(np.diff(owner, prepend=-1))
    low = np.full((len(areas), len(tried)), np.inf)
    high = np.full((len(areas), len(tried)), -np.inf)
    low[owner[starts]] = np.minimum.reduceat(along, starts)
    high[owner[starts]] = np.maximum.reduceat(along, starts)
    clear = low[first] > high[second] - touch
    clear |= low[second] > high[first] - touch
    return np.asarray(clear.any(axis=1))

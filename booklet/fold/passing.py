"""Passing: what a plate meets face on while it moves along a straight line.

In: plates in one frame, of which some move in one direction. Out: whether one of those would go
through one that stays. Seen along the direction both are areas, and over each point that they share
it is known how far they have to go until they meet: so nothing is missed between two places, as
with plates that are parallel or nearly so. Plates that stand along the direction are seen edge on
here; they cross what they go through for as long as they are, and are found there.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from booklet.fold.collide import in_place
from booklet.fold.plate import Shapes
from booklet.fold.pose import Floats
from booklet.measure.tolerance import ANGLE_DEG, HAND_MM


def passes(shapes: Shapes, home: Floats, own: int, toward: Floats) -> bool:
    """Whether one of the first `own` plates meets another one on its way from home.

    Those that lie on each other at home, within `HAND_MM`, may part.
    """
    side = np.cross(toward, np.eye(3)[int(np.argmin(np.abs(toward)))])
    frame = np.array([side / np.linalg.norm(side), np.cross(toward, side / np.linalg.norm(side))])
    slant = home[:, :3, 2] @ toward
    facing = np.flatnonzero((np.abs(slant) > math.sin(math.radians(ANGLE_DEG))) & shapes.solid)
    areas = np.empty(len(facing), dtype=np.object_)
    for row, i in enumerate(facing):
        areas[row] = _area([loop @ frame.T for loop in in_place(shapes.loops[i], home[i])])
    heights = _heights(home[facing], frame, slant[facing])
    moving, still = np.flatnonzero(facing < own), np.flatnonzero(facing >= own)
    pairs = shapely.STRtree(areas[still]).query(areas[moving], predicate="intersects")
    for i, j in zip(moving[pairs[0]], still[pairs[1]], strict=True):
        if _ahead(areas[i].intersection(areas[j]), heights[j] - heights[i]):
            return True
    return False


def _heights(home: Floats, frame: Floats, slant: Floats) -> Floats:
    """For each plate (c, a, b): over the point (x, y) it lies at c + a x + b y along the way."""
    normals, middles = home[:, :3, 2], home[:, :3, 3]
    level = np.einsum("ij,ij->i", normals, middles)
    result: Floats = np.column_stack([level, -(normals @ frame.T)]) / slant[:, None]
    return result


def _ahead(shared: BaseGeometry, rise: Floats) -> bool:
    """Whether over a part of what two plates share the second lies ahead of the first."""
    if shared.area <= HAND_MM**2:
        return False
    points = shapely.get_coordinates(shared)
    ahead = rise[0] + points @ rise[1:] - HAND_MM
    if ahead.max() <= 0 or ahead.min() >= 0:
        return bool(ahead.max() > 0)
    return bool(shared.intersection(_half(rise, points)).area > HAND_MM**2)


def _half(rise: Floats, points: Floats) -> Polygon:
    """Where c + a x + b y is more than `HAND_MM`, as far as the points reach."""
    slope = math.hypot(rise[1], rise[2])
    up = rise[1:] / slope
    beside = np.array([-up[1], up[0]])
    edge = up * (HAND_MM - rise[0]) / slope
    far = 2 * float(np.abs(points).max() + np.abs(edge).max())
    first, last = edge - far * beside, edge + far * beside
    return Polygon([first, first + far * up, last + far * up, last])


def _area(loops: Sequence[Floats]) -> BaseGeometry:
    """The area within loops in one plane, holes taken out as even and odd have it."""
    area: BaseGeometry = shapely.make_valid(Polygon(loops[0]))
    for loop in loops[1:]:
        area = area.symmetric_difference(shapely.make_valid(Polygon(loop)))
    return area

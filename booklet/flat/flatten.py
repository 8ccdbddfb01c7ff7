"""Curves become short chords, for areas and for folding only.

In: a `Path`. Out: points or a shapely polygon within `CURVE_MM` mm of the true curve, or within as
much as is asked for.
"""

from __future__ import annotations

import math

from shapely.geometry import Polygon

from booklet.flat.path import Path, Point
from booklet.measure.tolerance import CURVE_MM, SAME_MM


def points_of(path: Path, within: float = CURVE_MM) -> list[Point]:
    """The points of a single subpath, the closing point left out; curves are flattened to chords
    that stray by no more than `within` mm. A curve walked the other way gives the same points."""
    points: list[Point] = []
    for command in path.commands:
        if command[0] == "C":
            points.extend(_curve(points[-1], *command[1:], within))
        elif command[0] != "Z":
            points.append(command[1])
    if len(points) > 1 and math.dist(points[0], points[-1]) < 1e-9:
        points.pop()
    return points


def polygon_of(path: Path) -> Polygon:
    """The area inside a closed single subpath.

    Where the walk meets itself at a point, what it closes in becomes a hole that touches there.
    """
    area = Polygon(points_of(path))
    if not area.is_valid:
        cleaned = area.buffer(0)
        if isinstance(cleaned, Polygon) and abs(cleaned.area - area.area) < SAME_MM:
            return cleaned
    return area


def _curve(start: Point, a: Point, b: Point, end: Point, within: float) -> list[Point]:
    """Equal steps of a cubic, enough of them that no chord strays by more than `within` mm.

    The bound is n >= sqrt(3 d / (4 within)), d the largest second difference of the control
    points (the usual chord-error bound of a cubic: h^2/8 times the largest second derivative).
    """
    d = max(math.hypot(start[i] - 2 * a[i] + b[i], a[i] - 2 * b[i] + end[i]) for i in (0, 1))
    steps = max(1, min(256, math.ceil(math.sqrt(3 * d * math.sqrt(2) / (4 * within)))))
    result: list[Point] = []
    for k in range(1, steps + 1):
        t = k / steps
        u = 1 - t
        w = (u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t)
        result.append(
            (
                w[0] * start[0] + w[1] * a[0] + w[2] * b[0] + w[3] * end[0],
                w[0] * start[1] + w[1] * a[1] + w[2] * b[1] + w[3] * end[1],
            )
        )
    return result

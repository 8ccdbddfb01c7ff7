"""The exact box of a path, curves included.

In: paths (mm). Out: boxes (x0, y0, x1, y1), mm.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from booklet.flat.path import Path, Point

Bounds = tuple[float, float, float, float]


def path_bounds(path: Path) -> Bounds | None:
    """The exact box of a path, curves included; None for a path without points."""
    return box_of(_extremes(path))


def box_of(points: Iterable[Point]) -> Bounds | None:
    """The smallest box round the points; None for no points."""
    held = list(points)
    if not held:
        return None
    xs, ys = [p[0] for p in held], [p[1] for p in held]
    return (min(xs), min(ys), max(xs), max(ys))


def _extremes(path: Path) -> Iterator[Point]:
    """The points of a path, and those of its curves where they turn back in x or y."""
    pen: Point = (0.0, 0.0)
    for command in path.commands:
        if command[0] == "Z":
            continue
        if command[0] == "C":
            yield from _turning_points(pen, command[1], command[2], command[3])
        pen = command[-1]
        yield pen


def _turning_points(p0: Point, p1: Point, p2: Point, p3: Point) -> Iterator[Point]:
    """Where the derivative of a cubic curve is zero in x or in y (roots of a quadratic)."""
    for axis in (0, 1):
        a = p3[axis] - 3 * p2[axis] + 3 * p1[axis] - p0[axis]
        b = 2 * (p2[axis] - 2 * p1[axis] + p0[axis])
        c = p1[axis] - p0[axis]
        for t in _roots(a, b, c):
            if 0 < t < 1:
                u = 1 - t
                w = (u**3, 3 * t * u * u, 3 * t * t * u, t**3)
                yield (
                    w[0] * p0[0] + w[1] * p1[0] + w[2] * p2[0] + w[3] * p3[0],
                    w[0] * p0[1] + w[1] * p1[1] + w[2] * p2[1] + w[3] * p3[1],
                )


def _roots(a: float, b: float, c: float) -> tuple[float, ...]:
    """Real roots of a t^2 + b t + c, in the form that does not lose digits where a is small."""
    inside = b * b - 4 * a * c
    if inside < 0:
        return ()
    q = -(b + math.copysign(math.sqrt(inside), b)) / 2
    return tuple(top / bottom for top, bottom in ((q, a), (c, q)) if bottom)

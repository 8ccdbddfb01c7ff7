"""Views: parallel projection of folded paper onto the picture plane.

In: a direction toward the reader. Out: a frozen `View` that maps points in space (mm) to picture
points (mm, x right, y up) and depths (mm, larger is nearer). Which view suits a picture is
chosen in `best_view.py`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from booklet.flat.path import Point
from booklet.fold.face import Point3, cross, dot, unit
from booklet.measure.tolerance import ANGLE_DEG


@dataclass(frozen=True)
class View:
    """A right-handed orthonormal frame: picture axes `right` and `up`, and `toward` the reader."""

    right: Point3
    up: Point3
    toward: Point3

    def project(self, point: Point3) -> Point:
        """Where a point in space appears, in mm at full scale."""
        return dot(self.right, point), dot(self.up, point)

    def depth(self, point: Point3) -> float:
        """How near a point is, in mm; larger is nearer to the reader."""
        return dot(self.toward, point)

    def outline(self, points: Iterable[Point3]) -> tuple[Point, ...]:
        """The points of a loop as they appear."""
        return tuple(self.project(point) for point in points)


def looking(toward: Point3, upright: Point3 = (0.0, 0.0, 1.0)) -> View:
    """The view from that direction (any length but 0), with `upright` upright in the picture.

    Where one looks along `upright`, y is upright instead, so that a flat piece appears as on its
    map. Raises ValueError for a direction without length.
    """
    t = unit(toward)
    if t == (0.0, 0.0, 0.0):
        raise ValueError("a view needs a direction")
    side = cross(unit(upright), t)
    if math.sqrt(dot(side, side)) <= math.sin(math.radians(ANGLE_DEG)):
        side = cross((0.0, 1.0, 0.0) if abs(t[1]) < 1 else (0.0, 0.0, 1.0), t)
    right = unit(side)
    return View(right, cross(t, right), t)


def placed(azimuth: float, elevation: float) -> View:
    """The view of a reader who stands at the near edge of the table (toward -y).

    `azimuth` turns them to their right, counter-clockwise about z; `elevation` lifts their eyes
    above the table. Degrees. An elevation of 90 looks straight down with y upright at azimuth 0.
    """
    a, e = math.radians(azimuth), math.radians(elevation)
    right: Point3 = (math.cos(a), math.sin(a), 0.0)
    toward: Point3 = (math.sin(a) * math.cos(e), -math.cos(a) * math.cos(e), math.sin(e))
    return View(right, cross(toward, right), toward)


def turned_over(view: View) -> View:
    """The same reader's view of work that was turned over sideways, like the page of a book."""

    def turned(p: Point3) -> Point3:
        return -p[0], p[1], -p[2]

    return View(turned(view.right), turned(view.up), turned(view.toward))


FLAT = placed(0.0, 90.0)
"""From above, as the sheet lies on its map."""

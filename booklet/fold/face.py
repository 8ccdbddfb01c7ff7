"""Faces: flat parts of paper in space, as pictures see them.

In: nothing (pure definitions, and vectors). Out: frozen faces and hinges. Lengths are mm in the
folded frame: x right, y up the sheet, z toward the reader; the root panel lies at z = 0.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Final, TypeAlias

SMOOTH: Final = "smooth"
"""The style of a line between two strips of one bent panel."""

Point3: TypeAlias = tuple[float, float, float]
Loop: TypeAlias = tuple[Point3, ...]


@dataclass(frozen=True)
class Face:
    """A flat area: `points` run counter-clockwise as seen from the front (the inside of a panel).

    `holes` may run either way. `front` and `back` name how each side looks. `layer` decides which
    of two faces in one plane lies higher, where "higher" is along that plane's normal turned so
    that its z (where that is 0 its y, then its x) is positive.
    """

    id: str
    points: Loop
    holes: tuple[Loop, ...] = ()
    front: str = "inside"
    back: str = "outside"
    layer: int = 0

    @cached_property
    def normal(self) -> Point3:
        """The unit normal on the front; zero for a face without area."""
        return unit(_newell(self.points))

    @cached_property
    def area(self) -> float:
        """Area in mm², holes taken out."""
        return _size(self.points) - sum(_size(hole) for hole in self.holes)

    def raised(self, height: float) -> Face:
        """The face shifted by `height` mm along its front normal."""
        nx, ny, nz = self.normal
        x, y, z = nx * height, ny * height, nz * height

        def shifted(loop: Loop) -> Loop:
            return tuple((p[0] + x, p[1] + y, p[2] + z) for p in loop)

        holes = tuple(shifted(hole) for hole in self.holes)
        return Face(self.id, shifted(self.points), holes, self.front, self.back, self.layer)


@dataclass(frozen=True)
class Hinge:
    """A score between two faces, named by their ids; `style` is how its line is drawn if seen.

    `style` "fold" is a fold that is made; "valley" and "mountain" mark one that is to be made;
    `SMOOTH` joins two strips of a bent panel, between which there is no line.
    """

    first: str
    second: str
    style: str = "fold"


def _newell(loop: Loop) -> Point3:
    """The vector area of a loop, doubled (Newell's method)."""
    x = y = z = 0.0
    for a, b in zip(loop, (*loop[1:], *loop[:1]), strict=True):
        x += (a[1] - b[1]) * (a[2] + b[2])
        y += (a[2] - b[2]) * (a[0] + b[0])
        z += (a[0] - b[0]) * (a[1] + b[1])
    return x, y, z


def _size(loop: Loop) -> float:
    vector = _newell(loop)
    return math.sqrt(dot(vector, vector)) / 2


def dot(a: Point3, b: Point3) -> float:
    """The scalar product."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def cross(a: Point3, b: Point3) -> Point3:
    """The vector product."""
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])


def unit(a: Point3) -> Point3:
    """The vector at length 1; the zero vector stays as it is."""
    length = math.sqrt(dot(a, a))
    return (a[0] / length, a[1] / length, a[2] / length) if length > 0 else (0.0, 0.0, 0.0)


def turned_about(point: Point3, start: Point3, end: Point3, angle: float) -> Point3:
    """`point` turned by `angle` degrees about the line from `start` to `end`, right-handed.

    Rodrigues' rotation formula (from memory).
    """
    k = unit((end[0] - start[0], end[1] - start[1], end[2] - start[2]))
    v = (point[0] - start[0], point[1] - start[1], point[2] - start[2])
    cos, sin = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    along, across = dot(k, v) * (1 - cos), cross(k, v)
    return (
        start[0] + v[0] * cos + across[0] * sin + k[0] * along,
        start[1] + v[1] * cos + across[1] * sin + k[1] * along,
        start[2] + v[2] * cos + across[2] * sin + k[2] * along,
    )


def tuple3(values: Iterable[float]) -> Point3:
    """Three numbers as a point."""
    x, y, z = values
    return x, y, z

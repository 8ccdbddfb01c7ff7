"""Hidden surfaces: which part of each face a reader sees, as exact polygons.

In: flat faces in space and a view. Out: for each face the side that is seen and its visible region
in the picture plane (mm), and which face covers which.

The depth of a flat face is an affine function of the picture point, so two faces that overlap in
the picture are equally deep along one straight line at most. On each side of it the farther face
loses the overlap. What a face keeps is its own projection less all that was lost, which needs no
order of painting and also holds for faces that cover each other in a ring.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Literal, TypeAlias

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from booklet.fold.apart import apart
from booklet.fold.face import Face, dot
from booklet.fold.view import View
from booklet.measure.tolerance import ANGLE_DEG, SAME_MM, TOUCH_MM

Region: TypeAlias = Polygon | MultiPolygon
Floats: TypeAlias = NDArray[np.float64]
Indices: TypeAlias = NDArray[np.int64]
Flags: TypeAlias = NDArray[np.bool_]

NOTHING = Polygon()
POLYGON = int(shapely.GeometryType.POLYGON)
CRUMB = math.pi * (TOUCH_MM / 2) ** 2
"""What has no more area, in mm², is thinner than `TOUCH_MM`: no circle that wide lies in it."""


@dataclass(frozen=True)
class Surface:
    """A face as projected: its `area`, and its depth a*u + b*v + c as `slope` (a, b, c).

    `facing` is the cosine between front normal and reader: positive shows the front. A face seen
    edge-on has an empty area.
    """

    face: Face
    area: Polygon
    slope: tuple[float, float, float]
    facing: float

    @cached_property
    def edge_on(self) -> bool:
        """Whether the reader sees neither side."""
        return bool(self.area.is_empty)


@dataclass(frozen=True)
class Seen:
    """What is seen of one face: `region` is empty where it is wholly covered or edge-on."""

    surface: Surface
    region: Region

    @property
    def face(self) -> Face:
        """The face itself."""
        return self.surface.face

    @cached_property
    def whole(self) -> bool:
        """Whether nothing hides any of it, as is known without a look at its border."""
        return self.region is self.surface.area and not self.surface.edge_on

    @cached_property
    def empty(self) -> bool:
        """Whether nothing of it is seen."""
        return bool(self.region.is_empty)

    @property
    def side(self) -> Literal["front", "back"]:
        """The side toward the reader."""
        return "front" if self.surface.facing >= 0 else "back"

    @property
    def style(self) -> str:
        """How the seen side looks."""
        return self.face.front if self.side == "front" else self.face.back


@dataclass(frozen=True)
class Sight:
    """All faces in the order given, and the pairs (near, far) of ids where one covers the other."""

    view: View
    seen: tuple[Seen, ...]
    covers: frozenset[tuple[str, str]]

    def of(self, face: str) -> Seen | None:
        """What is seen of the face of that id; None if there is no such face."""
        return next((seen for seen in self.seen if seen.face.id == face), None)


def surfaces(faces: Sequence[Face], view: View) -> list[Surface]:
    """Faces projected. Turned to the reader by less than `ANGLE_DEG` one counts as edge-on."""
    facings = [dot(face.normal, view.toward) for face in faces]
    flattest = math.sin(math.radians(ANGLE_DEG))
    turned = [face for face, facing in zip(faces, facings, strict=True) if abs(facing) > flattest]
    areas = iter(_areas(turned, view))
    result: list[Surface] = []
    for face, facing in zip(faces, facings, strict=True):
        if abs(facing) <= flattest:
            result.append(Surface(face, NOTHING, (0.0, 0.0, 0.0), facing))
            continue
        normal = face.normal
        a, b = -dot(normal, view.right) / facing, -dot(normal, view.up) / facing
        u, v = view.project(face.points[0])
        slope = a, b, view.depth(face.points[0]) - a * u - b * v
        result.append(Surface(face, next(areas), slope, facing))
    return result


def _areas(faces: Sequence[Face], view: View) -> list[Polygon]:
    """The outlines of faces in the picture, all at once: far quicker than one by one."""
    if not faces:
        return []
    loops = [
        (index, loop) for index, face in enumerate(faces) for loop in (face.points, *face.holes)
    ]
    points = np.array([point for _, loop in loops for point in loop])
    # Sums in the order of `dot`, so that a point comes out alike however it is projected.
    u, v = (
        points[:, 0] * axis[0] + points[:, 1] * axis[1] + points[:, 2] * axis[2]
        for axis in (view.right, view.up)
    )
    ring_of = np.repeat(np.arange(len(loops)), [len(loop) for _, loop in loops])
    rings = np.asarray(shapely.linearrings(np.column_stack([u, v]), indices=ring_of))
    areas = np.asarray(shapely.polygons(rings, indices=[index for index, _ in loops]))
    # A cutout that touches the outline makes a ring that meets itself.
    for index in np.flatnonzero(~shapely.is_valid(areas)):
        areas[index] = _largest(areas[index].buffer(0))
    return list(areas)


def _largest(shape: BaseGeometry) -> Polygon:
    parts = [part for part in getattr(shape, "geoms", [shape]) if isinstance(part, Polygon)]
    return max(parts, key=lambda part: part.area, default=NOTHING)


def see(faces: Sequence[Face], view: View) -> Sight:
    """The visible regions of all faces.

    Faces in one plane (nowhere farther apart than `TOUCH_MM` where they overlap) are told apart by
    `layer`, then by depth, then by sequence (the later is nearer). No part of a region is thinner
    than `TOUCH_MM`.
    """
    return Glance(faces, view).sight()


class Glance:
    """What a reader sees from one view, worked out for each face only when it is asked for."""

    def __init__(self, faces: Sequence[Face], view: View) -> None:
        self.view = view
        self._surfaces = surfaces(faces, view)
        self._areas = np.array([s.area for s in self._surfaces], dtype=object)
        slopes = np.array([s.slope for s in self._surfaces], dtype=float).reshape(-1, 3)
        self._lost: list[list[BaseGeometry]] = [[] for _ in faces]
        self._covers: set[tuple[int, int]] = set()
        first, second, gaps = self._clear(slopes)
        self._first, self._second, self._gaps = first, second, gaps
        self._open = np.ones(len(first), dtype=bool)
        self._rest: dict[int, BaseGeometry] = {}
        self._regions: dict[int, Region] = {}

    def of(self, face: str) -> Seen | None:
        """What is seen of the face of that id; None if there is no such face."""
        at = next((i for i, s in enumerate(self._surfaces) if s.face.id == face), None)
        return None if at is None else Seen(self._surfaces[at], self.region(at))

    def region(self, index: int) -> Region:
        """The visible part of the face with that index."""
        if index not in self._regions:
            self._regions[index] = _tidy(self._left(index), self._surfaces[index].area)
        return self._regions[index]

    def area(self, index: int) -> float:
        """The area of that part in mm², slivers and all, which is quicker to find out."""
        return float(self._left(index).area)

    def _left(self, index: int) -> BaseGeometry:
        if index not in self._rest:
            self._settle(self._open & ((self._first == index) | (self._second == index)))
            self._rest[index] = _left(self._surfaces[index].area, self._lost[index])
        return self._rest[index]

    def sight(self) -> Sight:
        """All that is seen."""
        self._settle(self._open)
        seen = [Seen(surface, self.region(i)) for i, surface in enumerate(self._surfaces)]
        ids = [surface.face.id for surface in self._surfaces]
        covers = frozenset((ids[near], ids[far]) for near, far in self._covers)
        return Sight(self.view, tuple(seen), covers)

    def _hide(self, near: int, far: int, part: BaseGeometry) -> None:
        self._lost[far].append(part)
        self._covers.add((near, far))

    def _clear(self, slopes: Floats) -> tuple[Indices, Indices, Floats]:
        """Settles pairs of which one lies in front throughout; returns the others.

        With each pair the affine difference of depths, of the first less the second.
        """
        areas = self._areas
        if len(areas) < 2:
            return np.empty(0, dtype=int), np.empty(0, dtype=int), np.empty((0, 3))
        left, right = shapely.STRtree(areas).query(areas)
        pairs = left < right
        first, second = left[pairs], right[pairs]
        # Neighbours share an edge and no more: two of three overlaps need not be worked out.
        meet = ~apart(areas, first, second, SAME_MM)
        first, second = first[meet], second[meet]
        boxes = shapely.bounds(areas)
        low = np.maximum(boxes[first, :2], boxes[second, :2])
        high = np.minimum(boxes[first, 2:], boxes[second, 2:])
        gap = slopes[first] - slopes[second]
        # Extremes of the difference over the box that both share: most pairs are decided by them,
        # and their overlap need not be computed.
        ends = np.sort(np.stack([gap[:, :2] * low, gap[:, :2] * high]), axis=0)
        least, most = ends[0].sum(axis=1) + gap[:, 2], ends[1].sum(axis=1) + gap[:, 2]
        above, below = least > TOUCH_MM, most < -TOUCH_MM
        for i, j in zip(first[above].tolist(), second[above].tolist(), strict=True):
            self._hide(i, j, areas[i])
        for i, j in zip(first[below].tolist(), second[below].tolist(), strict=True):
            self._hide(j, i, areas[j])
        rest = ~(above | below)
        return first[rest], second[rest], gap[rest]

    def _settle(self, which: Flags) -> None:
        """Finds out who hides whom in these pairs of surfaces, and where."""
        at = np.flatnonzero(which)
        self._open[at] = False
        overlaps = shapely.intersection(self._areas[self._first[at]], self._areas[self._second[at]])
        real = shapely.area(overlaps) > TOUCH_MM**2
        at, overlaps = at[real], overlaps[real]
        if not len(at):
            return
        points, owner = shapely.get_coordinates(overlaps, return_index=True)
        gaps = self._gaps[at]
        heights = (points * gaps[owner, :2]).sum(axis=1) + gaps[owner, 2]
        starts = np.flatnonzero(np.diff(owner, prepend=-1))
        least, most = np.minimum.reduceat(heights, starts), np.maximum.reduceat(heights, starts)
        pairs = zip(self._first[at].tolist(), self._second[at].tolist(), strict=True)
        ends = zip(least.tolist(), most.tolist(), strict=True)
        for pair, span, gap, overlap in zip(pairs, ends, gaps, overlaps, strict=True):
            for near, far, part in _split(self._surfaces, pair, span, gap, overlap, self.view):
                self._hide(near, far, part)


Covering: TypeAlias = tuple[int, int, BaseGeometry]


def _split(
    surfaces: Sequence[Surface],
    pair: tuple[int, int],
    span: tuple[float, float],
    gap: Floats,
    overlap: BaseGeometry,
    view: View,
) -> list[Covering]:
    """Triples (near, far, part of the picture where the near one hides the far one).

    `gap` is depth of first less second, which goes over `span` in the overlap of both.
    """
    i, j = pair
    least, most = span
    if max(-least, most) <= TOUCH_MM:
        first_wins = _upper(surfaces[i], surfaces[j], (least + most) / 2, view)
        near, far = pair if first_wins else (j, i)
        return [(near, far, surfaces[near].area)]
    if least >= -SAME_MM:
        return [(i, j, surfaces[i].area)]
    if most <= SAME_MM:
        return [(j, i, surfaces[j].area)]
    half = _half_plane(gap, overlap)
    return [(i, j, overlap.intersection(half)), (j, i, overlap.difference(half))]


def _upper(first: Surface, second: Surface, gap: float, view: View) -> bool:
    """Whether the first of two faces in one plane is nearer."""
    difference = first.face.layer - second.face.layer
    if difference:
        normal = first.face.normal
        size = next((n for n in reversed(normal) if abs(n) > SAME_MM), 0.0)
        return difference * math.copysign(1.0, size) * first.facing > 0
    return gap > SAME_MM


def _half_plane(gap: Floats, around: BaseGeometry) -> Polygon:
    """The side of the line gap = 0 where gap is positive, as far as `around` reaches."""
    x0, y0, x1, y1 = around.bounds
    length = float(np.hypot(gap[0], gap[1]))
    nx, ny = float(gap[0]) / length, float(gap[1]) / length
    mx, my = (x0 + x1) / 2, (y0 + y1) / 2
    off = (float(gap[0]) * mx + float(gap[1]) * my + float(gap[2])) / length
    px, py = mx - nx * off, my - ny * off
    reach = 2 * (x1 - x0 + y1 - y0) + abs(off)
    ux, uy = -ny * reach, nx * reach
    wx, wy = nx * reach, ny * reach
    return Polygon(
        [
            (px - ux, py - uy),
            (px + ux, py + uy),
            (px + ux + wx, py + uy + wy),
            (px - ux + wx, py - uy + wy),
        ][::-1]
    )


def _without(area: Polygon, parts: Sequence[BaseGeometry]) -> Region:
    """The area less the parts, without slivers."""
    return _tidy(_left(area, parts), area)


def _left(area: Polygon, parts: Sequence[BaseGeometry]) -> BaseGeometry:
    """The area less the parts; the area itself where they take nothing."""
    if not parts or area.is_empty:
        return area
    over = np.array(parts, dtype=object)
    shapely.prepare(area)
    over = over[shapely.intersects(area, over)]
    if not len(over):
        return area
    if shapely.covers(over, area).any():
        return NOTHING  # by one face alone: the usual case, found out far quicker
    off = over[0] if len(over) == 1 else shapely.union_all(over)
    left: BaseGeometry = shapely.difference(area, off)
    if not left.is_valid:
        # Faces that share an edge but for the noise of floats come out with a border that crosses
        # itself, of an area that is far off.
        left = shapely.difference(area, off, grid_size=SAME_MM)
    return left


def _tidy(left: BaseGeometry, area: Polygon) -> Region:
    """What is left of the area, without slivers."""
    if left is area:
        return area
    parts = shapely.get_parts(left)
    kept = parts[shapely.area(parts) > CRUMB]
    if (shapely.minimum_clearance(kept) > TOUCH_MM).all():
        return _region(kept)  # nowhere that thin: found out far quicker than by buffers
    # Two corners that are one but for the noise of floats would throw off the mitres. Crumbs
    # that are nothing else keep enough points to be a ring.
    clean = shapely.simplify(kept, SAME_MM, preserve_topology=True)
    if (shapely.minimum_clearance(clean) > TOUCH_MM).all():
        return _region(clean)
    return _without_slivers(_region(clean))


def _without_slivers(left: Region) -> Region:
    """What is left within reach of its core keeps its exact border; spikes and slivers go."""
    core = left.buffer(-TOUCH_MM / 2, join_style="mitre")
    if core.is_empty:
        return NOTHING
    # Crumbs of slivers that only lie near the core go as well.
    near = core.buffer(TOUCH_MM, join_style="mitre")
    kept = left.intersection(near if near.is_valid else shapely.make_valid(near))
    parts = shapely.get_parts(kept)
    parts = parts[shapely.get_type_id(parts) == POLYGON]
    return _region(parts[shapely.intersects(parts, core)])


def _region(parts: NDArray[np.object_]) -> Region:
    """Polygons as one region."""
    if not len(parts):
        return NOTHING
    only: Polygon = parts[0]
    return only if len(parts) == 1 else MultiPolygon(parts.tolist())

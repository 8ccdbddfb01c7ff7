"""Bent panels as flat strips, for pictures and for the room inside.

In: a `BentPose`. Out: for each panel its strips as loops in space, cut along rulings; strips of
panels on both sides of a curved score meet at the same points.
"""

from __future__ import annotations

import functools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.affinity import affine_transform
from shapely.geometry import Polygon, box
from shapely.geometry.base import BaseGeometry

from booklet.flat.flatten import points_of
from booklet.flat.path import Path, Point
from booklet.flat.pattern import Panel
from booklet.fold.bend import BentPose
from booklet.fold.crease import Bend, samples
from booklet.fold.face import Loop
from booklet.fold.pose import Floats, Ints
from booklet.measure.tolerance import SAME_MM, TOUCH_MM

POLYGON = int(shapely.GeometryType.POLYGON)


def strips(bent: BentPose, name: str) -> list[tuple[Loop, ...]]:
    """Outer loop and holes of each strip of a panel, along `across`."""
    bend = bent.bends[name]
    curves = {frozenset(s.between): s.curve for s in bent.posed.pattern.scores if s.curve}
    cut = _cut(
        bent.posed.panels[name],
        tuple((between, curve) for between, curve in curves.items() if name in between),
        bend.origin,
        bend.across,
        tuple(bend.stations().tolist()),
    )
    if not cut.parts:
        return []
    placed = bent.place(name, cut.points, coarse=True).tolist()
    result: list[list[Loop]] = [[] for _ in range(cut.count)]
    for part, (first, last) in zip(cut.parts, cut.ends, strict=True):
        result[part].append(tuple((x, y, z) for x, y, z in placed[first:last]))
    return [tuple(loops) for loops in result]


@dataclass(frozen=True, eq=False)
class _Cut:
    """The strips of a panel in the flat: all points of their rings, (n, 2), the first and last row
    of each ring (without the point that closes it), and which of `count` strips it belongs to."""

    points: Floats
    ends: tuple[tuple[int, int], ...]
    parts: tuple[int, ...]
    count: int


@functools.lru_cache(maxsize=128)
def _cut(
    panel: Panel,
    curves: tuple[tuple[frozenset[str], Path], ...],
    origin: Point,
    across: Point,
    stations: tuple[float, ...],
) -> _Cut:
    """A panel cut along rulings at the stations; outer rings run counterclockwise.

    Its bend changes from picture to picture, where it is cut does not.
    """
    frame = Bend(origin, across, np.zeros(2), np.zeros(2), np.zeros(2))
    whole = _chorded(panel, dict(curves), frame, stations)
    parts, _ = bands(frame, whole, stations)
    rings, part_of = shapely.get_rings(parts, return_index=True)
    if not len(rings):
        return _Cut(np.empty((0, 2)), (), (), len(parts))
    outer = np.diff(part_of, prepend=-1) > 0
    rings = np.where(outer & ~shapely.is_ccw(rings), shapely.reverse(rings), rings)
    points, ring_of = shapely.get_coordinates(rings, return_index=True)
    points = points @ np.array([across, frame.along]) + np.asarray(origin)
    starts = np.flatnonzero(np.diff(ring_of, prepend=-1)).tolist()
    ends = tuple(zip(starts, [end - 1 for end in (*starts[1:], len(points))], strict=True))
    return _Cut(points, ends, tuple(part_of.tolist()), len(parts))


def bands(
    bend: Bend, whole: Polygon, stations: Sequence[float]
) -> tuple[NDArray[np.object_], Ints]:
    """A flat shape cut at the stations of a bend, in (u, v) along and beside `across`.

    The second array has the number of the station before each part.
    """
    (ox, oy), (ax, ay), (bx, by) = bend.origin, bend.across, bend.along
    turned = affine_transform(whole, [ax, ay, bx, by, -(ox * ax + oy * ay), -(ox * bx + oy * by)])
    low, high = turned.bounds[1] - 1, turned.bounds[3] + 1
    ends = pairwise(stations)
    clipped = np.array([_band(turned, left, low, right, high) for left, right in ends])
    cuts = shapely.set_precision(clipped, SAME_MM, mode="pointwise")
    cuts = shapely.remove_repeated_points(cuts, SAME_MM)
    parts, station = shapely.get_parts(cuts, return_index=True)
    kept = (shapely.get_type_id(parts) == POLYGON) & (shapely.area(parts) > TOUCH_MM)
    return parts[kept], station[kept]


def _band(shape: Polygon, left: float, low: float, right: float, high: float) -> BaseGeometry:
    """What of a shape lies in an upright rectangle."""
    part: BaseGeometry = shapely.clip_by_rect(shape, left, low, right, high)
    # Clipping is far quicker than an intersection, but not meant for what touches itself.
    return part if part.is_valid else shape.intersection(box(left, low, right, high))


def _chorded(
    panel: Panel,
    curves: Mapping[frozenset[str], Path],
    bend: Bend,
    stations: Sequence[float],
) -> Polygon:
    """The panel with its curved scores as chords between the stations of the strips."""
    points: list[tuple[float, float]] = []
    for edge in panel.edges:
        curve = curves.get(frozenset((panel.name, edge.beside or "")))
        if edge.kind == "score" and curve is not None:
            points += _at_stations(np.asarray(samples(edge.path)), bend, stations)
        else:
            points += points_of(edge.path)[:-1]
    whole = Polygon(points, [points_of(hole) for hole in panel.holes]).buffer(0)
    return whole if isinstance(whole, Polygon) else panel.shape


def _at_stations(
    points: Floats, bend: Bend, stations: Sequence[float]
) -> list[tuple[float, float]]:
    """A curve from its start to its end, without the end, with points at the stations only."""
    us = bend.u(points)
    backward = us[0] > us[-1]
    if backward:
        us, points = us[::-1], points[::-1]
    inner = [u for u in stations if us[0] + TOUCH_MM < u < us[-1] - TOUCH_MM]
    stops = np.array([us[0], *inner, us[-1]])
    line = np.column_stack([np.interp(stops, us, points[:, k]) for k in (0, 1)])
    line = line[::-1] if backward else line
    return [(float(x), float(y)) for x, y in line[:-1]]


def bent_outline(bent: BentPose, panel: Panel) -> Floats:
    """The panel's outer outline in the folded frame, (n, 3): bent sides with points on the way."""
    bend = bent.bends.get(panel.name)
    ring = panel.shape.exterior
    points = np.asarray(ring.coords, dtype=np.float64)[:, :2]
    if not ring.is_ccw:
        points = points[::-1]
    if bend is None:
        return bent.place(panel.name, points[:-1])
    dense: list[Floats] = []
    stations = bend.stations()
    for a, b in pairwise(points):
        ua, ub = bend.u(np.array([a, b]))
        inner = [u for u in stations if min(ua, ub) + TOUCH_MM < u < max(ua, ub) - TOUCH_MM]
        shares = sorted((u - ua) / (ub - ua) for u in inner)
        dense += [a, *(a + (b - a) * share for share in shares)]
    return bent.place(panel.name, np.array(dense))

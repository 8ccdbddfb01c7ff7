"""Bent panels as flat strips, for pictures and for the room inside.

In: a `BentPose`. Out: for each panel its strips as loops in space, cut along rulings; strips of
panels on both sides of a curved score meet at the same points.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.affinity import affine_transform
from shapely.geometry import Polygon, box
from shapely.geometry.base import BaseGeometry

from booklet.flat.flatten import points_of
from booklet.flat.pattern import Panel, Pattern
from booklet.fold.bend import BentPose
from booklet.fold.crease import Bend, samples
from booklet.fold.face import Loop
from booklet.fold.pose import Floats, Ints, as_points
from booklet.measure.tolerance import SAME_MM, TOUCH_MM

POLYGON = int(shapely.GeometryType.POLYGON)


def strips(bent: BentPose, name: str, shape: Polygon | None = None) -> list[tuple[Loop, ...]]:
    """Outer loop and holes of each strip of a panel (or of `shape` on it), along `across`."""
    bend = bent.bends[name]
    panel = bent.posed.panels[name]
    whole = shape if shape is not None else _chorded(bent.posed.pattern, panel, bend)
    parts, _ = bands(bend, whole)
    return _loops(bent, name, parts)


def bands(bend: Bend, whole: Polygon) -> tuple[NDArray[np.object_], Ints]:
    """A flat shape cut at the stations of a bend, in (u, v) along and beside `across`.

    The second array has the number of the station before each part.
    """
    (ox, oy), (ax, ay), (bx, by) = bend.origin, bend.across, bend.along
    turned = affine_transform(whole, [ax, ay, bx, by, -(ox * ax + oy * ay), -(ox * bx + oy * by)])
    low, high = turned.bounds[1] - 1, turned.bounds[3] + 1
    stations = bend.stations()
    ends = pairwise(stations.tolist())
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


def _loops(bent: BentPose, name: str, parts: NDArray[np.object_]) -> list[tuple[Loop, ...]]:
    """The rings of each part in space, all placed at once; outer rings run counterclockwise."""
    bend = bent.bends[name]
    rings, part_of = shapely.get_rings(parts, return_index=True)
    if not len(rings):
        return []
    outer = np.diff(part_of, prepend=-1) > 0
    rings = np.where(outer & ~shapely.is_ccw(rings), shapely.reverse(rings), rings)
    points, ring_of = shapely.get_coordinates(rings, return_index=True)
    frame = np.array([bend.across, bend.along])
    placed = bent.place(name, points @ frame + np.asarray(bend.origin), coarse=True)
    ends = np.flatnonzero(np.diff(ring_of)) + 1
    result: list[list[Loop]] = [[] for _ in parts]
    for part, loop in zip(part_of.tolist(), np.split(placed, ends), strict=True):
        result[part].append(as_points(loop[:-1]))
    return [tuple(loops) for loops in result]


def _chorded(pattern: Pattern, panel: Panel, bend: Bend) -> Polygon:
    """The panel with its curved scores as chords between the stations of the strips."""
    curves = {frozenset(s.between): s.curve for s in pattern.scores if s.curve is not None}
    points: list[tuple[float, float]] = []
    for edge in panel.edges:
        curve = curves.get(frozenset((panel.name, edge.beside or "")))
        if edge.kind == "score" and curve is not None:
            points += _at_stations(np.asarray(samples(edge.path)), bend)
        else:
            points += points_of(edge.path)[:-1]
    whole = Polygon(points, [points_of(hole) for hole in panel.holes]).buffer(0)
    return whole if isinstance(whole, Polygon) else panel.shape


def _at_stations(points: Floats, bend: Bend) -> list[tuple[float, float]]:
    """A curve from its start to its end, without the end, with points at the stations only."""
    us = bend.u(points)
    backward = us[0] > us[-1]
    if backward:
        us, points = us[::-1], points[::-1]
    inner = [u for u in bend.stations() if us[0] + TOUCH_MM < u < us[-1] - TOUCH_MM]
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

"""Details: what is small in a picture, drawn once more larger, with a circle where it is from.

In: a drawing of a scene, the faces that it is about, and the room for both. Out: the drawing with a
ring round the place and a larger ring that holds the enlarged view, or the drawing as it was.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TypeAlias

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import Point as Spot
from shapely.geometry import Polygon, box
from shapely.geometry.base import BaseGeometry

from booklet.draw.label import CAP, LABEL
from booklet.draw.mark import Area, Clip, Drawing, Label, Mark, Stroke, move
from booklet.draw.panel_name import points_of
from booklet.draw.solid import SeenScene, draw_seen
from booklet.draw.typeface import Faces
from booklet.flat.arcs import circle
from booklet.flat.path import Point, segment
from booklet.fold.face import Face

Floats: TypeAlias = NDArray[np.float64]

SMALL = 12.0
"""A panel no longer than this in print mm is small,"""
NARROW = 3.5
"""and so is one no wider than this."""
RINGS = (19.0, 16.5, 14.0, 12.0)
"""Radii of the enlarged view in print mm, the largest first."""
AROUND = 3.0
"""How much of what lies round a small panel is enlarged with it, in print mm."""
LONGEST = 5.5
"""The radius that is taken from the picture, in print mm, where a long tab is shown in part."""
LARGER = 1.6
"""What is drawn less than so many times as large is not worth a ring."""
APART = 1.2
"""White between the enlarged view and everything else, in print mm."""


@dataclass(frozen=True)
class _Place:
    """A ring of the picture and the ring of its enlargement, in print mm."""

    at: Point
    radius: float
    to: Point
    ring: float

    @property
    def leader(self) -> tuple[Point, Point]:
        """The line from ring to ring."""
        way = math.dist(self.at, self.to)
        ux, uy = (self.to[0] - self.at[0]) / way, (self.to[1] - self.at[1]) / way
        return (
            (self.at[0] + ux * self.radius, self.at[1] + uy * self.radius),
            (self.to[0] - ux * self.ring, self.to[1] - uy * self.ring),
        )


def detailed(
    drawing: Drawing,
    seen: SeenScene,
    scale: float,
    about: Sequence[str],
    room: tuple[float, float],
    letters: Faces,
) -> Drawing:
    """The drawing with an enlarged view if all that it is about is small and there is room."""
    spots = _small(seen, scale, about)
    if not spots:
        return drawing
    place = _placed(drawing, spots, room, letters)
    if place is None:
        return drawing
    times = place.ring / place.radius
    reach = place.radius / scale
    part = _part(seen, (place.at[0] / scale, place.at[1] / scale), reach)
    whole = draw_seen(part, scale * times, drawing.alt, letters)
    dx, dy = place.to[0] - place.at[0] * times, place.to[1] - place.at[1] * times
    ring = circle(place.to, place.ring)
    large = tuple(mark for mark in move(whole, dx, dy).marks if _near(mark, place.to, place.ring))
    marks: tuple[Mark, ...] = (
        *drawing.marks,
        Stroke(circle(place.at, place.radius), "medium"),
        Stroke(segment(*place.leader), "medium"),
        Area(ring, "white"),
        Clip(ring, large),
        Stroke(ring, "medium"),
    )
    x0, y0, x1, y1 = drawing.box
    r = place.ring + 0.2
    outer = (
        min(x0, place.to[0] - r),
        min(y0, place.to[1] - r),
        max(x1, place.to[0] + r),
        max(y1, place.to[1] + r),
    )
    return Drawing(marks, outer, f"{drawing.alt} A circle shows a part of it larger.")


def _part(seen: SeenScene, at: Point, reach: float) -> SeenScene:
    """The scene without names and without what lies off a ring of the picture plane (mm)."""
    low, high = np.subtract(at, reach), np.add(at, reach)
    areas = np.array([each.surface.area for each in seen.sight.seen], dtype=object)
    bounds = shapely.bounds(areas)
    near = np.all((bounds[:, :2] <= high) & (bounds[:, 2:] >= low), axis=1).tolist()
    kept = tuple(each for each, is_near in zip(seen.sight.seen, near, strict=True) if is_near)
    lines = tuple(
        line
        for line in seen.lines
        if np.less_equal(np.min(line.points, axis=0), high).all()
        and np.greater_equal(np.max(line.points, axis=0), low).all()
    )
    scene = replace(seen.scene, names=())
    return replace(seen, scene=scene, sight=replace(seen.sight, seen=kept), lines=lines)


def _small(seen: SeenScene, scale: float, about: Sequence[str]) -> list[tuple[Point, float]]:
    """Middle and radius of what is to be enlarged, best seen first; none if anything is large."""
    found: list[tuple[float, Point, float]] = []
    for name in about:
        # A bent panel is many strips, which are small only all together.
        parts = [each for each in seen.sight.seen if each.face.id.partition("~")[0] == name]
        long = _length([each.face for each in parts]) * scale
        area = sum(each.face.area for each in parts) * scale * scale
        if long > SMALL and area / long > NARROW:
            return []
        region = shapely.union_all([each.region for each in parts])
        if region.is_empty:
            continue
        u, v = shapely.get_coordinates(shapely.point_on_surface(region))[0]
        largest = max(getattr(region, "geoms", [region]), key=lambda part: part.area)
        if largest.centroid.within(largest):
            u, v = largest.centroid.x, largest.centroid.y
        # A panel without its edges says nothing: it is shown whole as far as it is small all round.
        radius = long / 2 + AROUND if long <= SMALL else LONGEST
        found.append((region.area, (u * scale, v * scale), radius))
    found.sort(key=lambda one: (-one[0], one[1]))
    return [(at, radius) for area, at, radius in found if area > found[0][0] / 2]


def _length(faces: Sequence[Face]) -> float:
    """The longest side of a flat panel, or the longest way across one in strips, mm."""
    points = np.array([point for face in faces for point in face.points]).reshape(-1, 3)
    if len(faces) == 1:
        return float(np.linalg.norm(np.roll(points, -1, axis=0) - points, axis=1).max())
    low, high = (points.min(axis=0), points.max(axis=0)) if len(points) else (0.0, 0.0)
    return float(np.linalg.norm(np.subtract(high, low)))


class _Full:
    """The places that a picture takes up."""

    def __init__(self, shapes: Sequence[BaseGeometry]) -> None:
        full = np.array(shapes, dtype=object)
        full = full[shapely.get_dimensions(full) > 0]
        closed = shapely.get_type_id(full) == shapely.GeometryType.POLYGON
        # To keep off one prepared line is far quicker than to keep off many shapes.
        self._lines = shapely.multilinestrings(
            np.where(closed, shapely.get_exterior_ring(full), full)
        )
        shapely.prepare(self._lines)
        self._areas = shapely.STRtree(full[closed])

    def off(self, points: Floats, reach: float) -> Floats:
        """Those of the points (n, 2) that lie farther away than `reach` mm."""
        points = points[~shapely.dwithin(self._lines, shapely.points(points), reach)]
        within = self._areas.query(shapely.points(points), "intersects")[0]
        return np.delete(points, within, axis=0)


def _placed(
    drawing: Drawing,
    spots: Sequence[tuple[Point, float]],
    room: tuple[float, float],
    letters: Faces,
) -> _Place | None:
    """The largest ring that stands clear of the picture, near a spot that it may show.

    Its leader runs through no words, if any place allows that.
    """
    full = _Full([shape for m in drawing.marks for shape in _ink(m, letters)])
    words = [b for m in drawing.marks if isinstance(m, Label) for b in _ink(m, letters)]
    x0, y0, x1, y1 = drawing.box
    # Picture and ring together keep to the room.
    left, right = x1 - room[0], x0 + room[0]
    low, high = y1 - room[1], y0 + room[1]
    for ring in RINGS:
        found: list[tuple[float, _Place]] = []
        xs = np.arange(left + ring, right - ring + 1e-6, 2.0)
        ys = np.arange(low + ring, high - ring + 1e-6, 2.0)
        if not len(xs) or not len(ys):
            continue
        grid = np.array([(x, y) for x in xs for y in ys])
        for x, y in full.off(grid, ring + APART).tolist():
            if max(x1, x + ring) - min(x0, x - ring) > room[0]:
                continue
            if max(y1, y + ring) - min(y0, y - ring) > room[1]:
                continue
            for at, radius in spots:
                if ring < LARGER * radius:
                    continue
                found.append((math.dist(at, (x, y)), _Place(at, radius, (x, y), ring)))
        if found:
            return _clear_of(words, [place for _, place in sorted(found, key=lambda one: one[0])])
    return None


def _clear_of(words: Sequence[BaseGeometry], places: Sequence[_Place]) -> _Place:
    """The first of the places whose leader runs through none of the words, else the first."""
    taken = shapely.union_all(list(words))
    clear = (one for one in places if not taken.intersects(shapely.linestrings(one.leader)))
    return next(clear, places[0])


def _ink(mark: Mark, letters: Faces) -> Iterator[BaseGeometry]:
    """About what a mark covers."""
    if isinstance(mark, Label):
        wide = letters.width(mark.text, LABEL)
        start = {"start": 0.0, "middle": -wide / 2, "end": -wide}[mark.anchor]
        x, y = mark.at
        yield box(x + start, y - CAP / 2, x + start + wide, y + CAP * 1.4)
    elif isinstance(mark, Stroke | Area):
        points = points_of(mark.path)
        if len(points) > 2 and isinstance(mark, Area):
            yield Polygon(points).convex_hull
        elif len(points) > 1:
            yield shapely.linestrings(points)


def _near(mark: Mark, at: Point, reach: float) -> bool:
    """Whether a mark may show inside the ring."""
    if not isinstance(mark, Stroke | Area):
        return True
    points = points_of(mark.path)
    if not points:
        return False
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    hull = box(min(xs), min(ys), max(xs), max(ys))
    return bool(hull.distance(Spot(at)) <= reach)

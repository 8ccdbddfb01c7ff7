"""Arrows: how a hand moves the paper, with the meanings of published folding notation.

In: motions in space and a view. Out: curves and marks in the picture (print mm).

A valley fold has a solid head with two sides, a mountain fold a hollow head with one side, turning
over a curve with a loop, folding and opening again a head at both ends, that of the way back hollow
(Yoshizawa-Randlett system, from memory). A fold's arrow is the true path
of the paper, a circle arc about the hinge, as it appears from the viewpoint.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Literal, TypeAlias

from shapely.geometry import MultiLineString
from shapely.geometry.base import BaseGeometry

from booklet.draw.mark import Area, Mark, Stroke
from booklet.flat.arcs import curves
from booklet.flat.path import Command, Path, Point, mapped, polyline
from booklet.fold.face import Point3, cross, dot, tuple3, unit
from booklet.fold.view import View

Head: TypeAlias = Literal["valley", "mountain"]

HEAD = 3.2
"""Length of a head in print mm."""
HALO = 0.55
"""White kept round an arrow, in print mm, so that it stands off the paper that it crosses."""
KEEP = 0.05
"""The share of the way that an arrow leaves free at its start."""
LEAST = 9.0
"""The shortest way that is drawn, in print mm: a small tab's starts where it is, and is longer."""
COMFORT = 16.0
"""A way up to this long, in print mm, is drawn at the paper's free edge, a longer one inside."""
SHORTEST = 0.05
"""A way shorter than this, in print mm, has no direction that could be drawn."""
FLAT_SHARE = 0.12
"""An arc that swells less than this share of its chord looks straight and is bent instead."""
STRAIGHT = 0.85
"""The last stretch of a way carries a head if its chord has this share of its length."""
SIGN_BELOW = 10.0
"""How far the sign for turning over lies off the figure's box, in print mm."""


@dataclass(frozen=True)
class FoldArrow:
    """The way of the point `start`, turned by `angle` degrees right-handed about the hinge.

    `reach` says how many times as far from the hinge the paper's free edge is, `slide` how far (mm
    along the hinge) the arrow may stand off its start where others are in its way. With `opens` the
    paper is folded back to where it was.
    """

    start: Point3
    hinge: tuple[Point3, Point3]
    angle: float
    head: Head = "valley"
    reach: float = 1.0
    slide: float = 0.0
    opens: bool = False


@dataclass(frozen=True)
class SlideArrow:
    """A straight way: paper that is put on, pushed in or drawn out."""

    start: Point3
    end: Point3


@dataclass(frozen=True)
class TurnOver:
    """Turn the work over; "sideways" like the page of a book, else "upward" like a block's."""

    way: Literal["sideways", "upward"] = "sideways"


Arrow: TypeAlias = FoldArrow | SlideArrow | TurnOver
Box: TypeAlias = tuple[float, float, float, float]


@dataclass(frozen=True)
class DrawnArrow:
    """An arrow's marks, and its curve and head as chains of points."""

    marks: tuple[Mark, ...]
    line: tuple[Point, ...]
    head: tuple[Point, ...]

    @functools.cached_property
    def room(self) -> BaseGeometry:
        """The room that it takes, with white round it."""
        return MultiLineString([self.line, (*self.head, self.head[0])]).buffer(HALO, quad_segs=2)

    @property
    def bounds(self) -> Box:
        """The box of that room."""
        xs, ys = zip(*self.line, *self.head, strict=True)
        return min(xs) - HALO, min(ys) - HALO, max(xs) + HALO, max(ys) + HALO


def draw_arrow(arrow: Arrow, view: View, scale: float, figure: Box) -> DrawnArrow | None:
    """The arrow in print mm; `figure` is the picture's box. None for a motion of no length."""
    if isinstance(arrow, TurnOver):
        return _drawn(_loop(arrow, figure), "valley")
    if isinstance(arrow, SlideArrow):
        start, end = (_scaled(view.project(p), scale) for p in (arrow.start, arrow.end))
        return _drawn(polyline((start, end)), "valley") if math.dist(start, end) > 1 else None
    path = _arc(arrow, view, scale)
    return _drawn(path, arrow.head, arrow.opens) if path else None


def bowed_arrow(start: Point, end: Point, head: Head, opens: bool = False) -> DrawnArrow | None:
    """A bowed arrow between two points of a flat drawing; with `opens` it leads there and back."""
    if math.dist(start, end) < 1:
        return None
    return _drawn(_bent(start, end), head, opens)


def beside(arrow: Arrow) -> Iterator[Arrow]:
    """The arrow, then the places along its hinge where it may stand instead."""
    yield arrow
    if not isinstance(arrow, FoldArrow) or not arrow.slide:
        return
    along = unit(tuple3(b - a for a, b in zip(*arrow.hinge, strict=True)))
    for share in (1.0, -1.0, 0.5, -0.5):
        start = tuple3(p + a * share * arrow.slide for p, a in zip(arrow.start, along, strict=True))
        yield replace(arrow, start=start, slide=0.0)


def _scaled(point: Point, scale: float) -> Point:
    return point[0] * scale, point[1] * scale


def _arc(arrow: FoldArrow, view: View, scale: float) -> Path | None:
    """The projected circle arc: an affine map sends its Bézier control points along exactly."""
    first, second = arrow.hinge
    along = (second[0] - first[0], second[1] - first[1], second[2] - first[2])
    square = dot(along, along)
    off = tuple(s - f for s, f in zip(arrow.start, first, strict=True))
    share = dot(along, (off[0], off[1], off[2])) / square if square else 0.0
    x, y, z = (f + a * share for f, a in zip(first, along, strict=True))
    out = (arrow.start[0] - x, arrow.start[1] - y, arrow.start[2] - z)
    length = math.sqrt(square)
    side = cross((along[0] / length, along[1] / length, along[2] / length), out) if length else out

    def placed(p: Point) -> Point:
        u, v = view.project(
            (
                x + out[0] * p[0] + side[0] * p[1],
                y + out[1] * p[0] + side[1] * p[1],
                z + out[2] * p[0] + side[2] * p[1],
            )
        )
        return u * scale, v * scale

    begin, end = arrow.angle * KEEP, arrow.angle
    radians = math.radians(begin)
    round_ = Path(
        (
            ("M", (math.cos(radians), math.sin(radians))),
            *curves((0.0, 0.0), (1.0, 1.0), begin, end),
        )
    )
    path = mapped(round_, placed)
    drawn = _length(_points(path))
    if drawn > SHORTEST:
        wide = min(arrow.reach, max(1.0, COMFORT / drawn))
        path = mapped(Path(round_.commands), lambda p: placed((p[0] * wide, p[1] * wide)))
        path = _grown_from_start(path, max(1.0, LEAST / (drawn * wide)))
    points = _points(path)
    if _swell(points) < FLAT_SHARE * math.dist(points[0], points[-1]):
        path = _bent(points[0], points[-1])
        points = _points(path)
    return path if _length(points) > 1 else None


def _grown_from_start(path: Path, share: float) -> Path:
    """The curve so many times as long, from the same point: it does not come off its paper."""
    x, y = _points(path)[0]
    return mapped(path, lambda p: (x + (p[0] - x) * share, y + (p[1] - y) * share))


def _length(points: Sequence[Point]) -> float:
    return sum(math.dist(a, b) for a, b in pairwise(points))


def _swell(points: Sequence[Point]) -> float:
    """How far the chain gets away from its chord."""
    (x0, y0), (x1, y1) = points[0], points[-1]
    chord = math.hypot(x1 - x0, y1 - y0)
    if chord < SHORTEST:
        return max(math.dist(points[0], point) for point in points)
    dx, dy = (x1 - x0) / chord, (y1 - y0) / chord
    off = 0.0
    for x, y in points:
        along = (x - x0) * dx + (y - y0) * dy
        past = max(0.0, -along, along - chord)
        off = max(off, math.hypot(past, (x - x0) * dy - (y - y0) * dx))
    return off


def _bent(start: Point, end: Point) -> Path:
    """A curve from start to end that swells to the upper side, as arrows on flat diagrams do."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    side = 0.3 if dx >= 0 else -0.3
    over = (-dy * side, dx * side)
    c1 = (start[0] + dx * 0.25 + over[0], start[1] + dy * 0.25 + over[1])
    c2 = (start[0] + dx * 0.75 + over[0], start[1] + dy * 0.75 + over[1])
    return Path((("M", start), ("C", c1, c2, end)))


def _loop(arrow: TurnOver, figure: Box) -> Path:
    """The curve with a loop, below the figure (sideways) or to its right (upward)."""
    commands: tuple[Command, ...] = (
        ("M", (-9.0, 0.0)),
        ("C", (-4.0, 0.2), (2.8, 0.8), (2.8, 3.6)),
        ("C", (2.8, 6.4), (-2.8, 6.4), (-2.8, 3.6)),
        ("C", (-2.8, 0.8), (4.0, 0.2), (9.0, 0.0)),
    )
    x0, y0, x1, y1 = figure
    if arrow.way == "sideways":
        return mapped(Path(commands), lambda p: (p[0] + (x0 + x1) / 2, p[1] + y0 - SIGN_BELOW))
    return mapped(Path(commands), lambda p: (x1 + SIGN_BELOW - p[1], p[0] + (y0 + y1) / 2))


def _drawn(path: Path, head: Head, opens: bool = False) -> DrawnArrow:
    """Shaft and head with a white halo; the shaft ends inside the head.

    With `opens` a hollow head at the start leads back.
    """
    points = _unhooked(_points(path))
    whole = _length(points)
    size = min(HEAD, whole * (0.34 if opens else 0.45))
    # The head points along the last stretch of the curve, not along its very last tangent.
    neck = _cut(points, whole - size)[-1]
    tip = points[-1]
    dx, dy = (tip[0] - neck[0]) / size, (tip[1] - neck[1]) / size
    wide = size * (0.36 if head == "valley" else 0.5)
    left = (neck[0] - dx * 0.25 * size - dy * wide, neck[1] - dy * 0.25 * size + dx * wide)
    right = (neck[0] - dx * 0.25 * size + dy * wide, neck[1] - dy * 0.25 * size - dx * wide)
    # A mountain's half head lies on the outer side of the curve, away from the paper.
    outer = left if _bends_right(points) else right
    corners = (tip, left, neck, right) if head == "valley" else (tip, outer, neck)
    shape = polyline(corners, closed=True)
    shaft = _cut(points, whole - size * 0.6 if head == "valley" else whole)
    marks: list[Mark] = [
        Area(_strip(shaft), "white"),
        Area(polyline(_grown(corners), closed=True), "white"),
        Stroke(polyline(shaft), "arrow"),
    ]
    if head == "valley":
        marks.append(Area(shape, "ink"))
    else:
        marks += [Area(shape, "white"), Stroke(shape, "arrow")]
    if opens:
        back = _way_back(points, size)
        shape = polyline(back, closed=True)
        halo = Area(polyline(_grown(back), closed=True), "white")
        marks = [halo, *marks, Area(shape, "white"), Stroke(shape, "arrow")]
        corners = (*corners, *back)
    return DrawnArrow(tuple(marks), tuple(points), corners)


def _unhooked(points: list[Point]) -> list[Point]:
    """The chain without an end that turns back within the length of a head, if it has one.

    A way seen nearly edge on ends in such a hook, on which a head points aside.
    """
    whole = _length(points)
    size = min(HEAD, whole * 0.45)
    for share in (0.0, 0.25, 0.5, 0.75, 1.0):
        length = whole - size * share
        chain = _cut(points, length) if share else points
        if math.dist(_cut(chain, length - size)[-1], chain[-1]) >= STRAIGHT * size:
            return chain
    return points


def _way_back(points: list[Point], size: float) -> tuple[Point, ...]:
    """The hollow head at the start of a chain, which says that the paper is opened again."""
    tip, neck = points[0], _cut(points, size)[-1]
    dx, dy = (tip[0] - neck[0]) / size, (tip[1] - neck[1]) / size
    wide = size * 0.42
    left = (neck[0] - dy * wide, neck[1] + dx * wide)
    right = (neck[0] + dy * wide, neck[1] - dx * wide)
    return tip, left, right


def _strip(points: Sequence[Point]) -> Path:
    """White on both sides of a chain of points that does not turn sharply."""
    few = [*points[:-1:2], points[-1]]
    left: list[Point] = []
    right: list[Point] = []
    for index, (x, y) in enumerate(few):
        (x0, y0), (x1, y1) = few[max(0, index - 1)], few[min(len(few) - 1, index + 1)]
        length = math.hypot(x1 - x0, y1 - y0) or 1.0
        u, v = (x1 - x0) / length * HALO, (y1 - y0) / length * HALO
        left.append((x - v, y + u))
        right.append((x + v, y - u))
    return polyline([*left, *reversed(right)], closed=True)


def _grown(corners: Sequence[Point]) -> list[Point]:
    """The corners moved away from their middle by the halo and half of that again."""
    x = sum(p[0] for p in corners) / len(corners)
    y = sum(p[1] for p in corners) / len(corners)
    grown = []
    for px, py in corners:
        off = math.hypot(px - x, py - y)
        share = 1 + 1.5 * HALO / off if off > 0 else 1.0
        grown.append((x + (px - x) * share, y + (py - y) * share))
    return grown


def _bends_right(points: list[Point]) -> bool:
    a, b, c = points[0], points[len(points) // 2], points[-1]
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]) < 0


def _cut(points: list[Point], length: float) -> list[Point]:
    """The first `length` mm of a chain of points."""
    kept, rest = [points[0]], length
    for a, b in pairwise(points):
        step = math.dist(a, b)
        if step >= rest:
            share = rest / step if step else 0.0
            return [*kept, (a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share)]
        kept.append(b)
        rest -= step
    return kept


def _points(path: Path, pieces: int = 24) -> list[Point]:
    """Points along a path of lines and cubics; 24 a quarter turn keep an arc within 0.02 mm."""
    points: list[Point] = []
    for command in path.commands:
        if command[0] == "C":
            p0, (p1, p2, p3) = points[-1], command[1:]
            for n in range(1, pieces + 1):
                t = n / pieces
                b = ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3)
                points.append(
                    (
                        b[0] * p0[0] + b[1] * p1[0] + b[2] * p2[0] + b[3] * p3[0],
                        b[0] * p0[1] + b[1] * p1[1] + b[2] * p2[1] + b[3] * p3[1],
                    )
                )
        elif command[0] != "Z":
            points.append(command[1])
    return points

"""Lines and curves of a free piece, cut at every point where they meet.

In: `Segment` values of outline, scores and cuts. Out: a `Network` of `Link` values which touch at
their ends (nodes) only. Line ends that miss another line by less than a hand can cut are carried
to it, and what hangs over by as little is dropped. Two straight lines meet in an exact point.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from shapely import STRtree
from shapely.geometry import LineString
from shapely.geometry import Point as PlanePoint
from shapely.geometry.base import BaseGeometry

from booklet.flat.path import Path, Point
from booklet.flat.path_length import path_length
from booklet.flat.segment import (
    XY,
    Cubic,
    Segment,
    as_point,
    at,
    part,
    path_of,
    steps_of,
    velocity,
)
from booklet.measure.tolerance import HAND_MM, SAME_MM, TOUCH_MM

STRENGTH = {"outline": 2, "cut": 1, "score": 0}
FINE = 10**6
"""Where curves meet, a coordinate is kept to the nearest fraction of this denominator."""


@dataclass(frozen=True)
class Link:
    """A line or curve from node to node; `source` is the segment that it is a part of."""

    first: int
    last: int
    path: Path
    source: Segment

    @property
    def kind(self) -> str:
        """outline, score or cut."""
        return self.source.kind

    @property
    def straight(self) -> bool:
        """Whether it is a line."""
        return self.source.bend is None


@dataclass(frozen=True)
class Network:
    """`nodes` are exact points by number; `links` touch at nodes only."""

    nodes: tuple[XY, ...]
    links: tuple[Link, ...]


class _Nodes:
    """Points that are one within TOUCH_MM; the first one known is kept."""

    def __init__(self) -> None:
        self.points: list[XY] = []
        self.cells: dict[tuple[int, int], list[int]] = {}

    def number(self, point: XY) -> int:
        x, y = as_point(point)
        column, row = math.floor(x / TOUCH_MM), math.floor(y / TOUCH_MM)
        for cell in ((column + i, row + j) for i in (0, -1, 1) for j in (0, -1, 1)):
            for index in self.cells.get(cell, ()):
                if math.dist(as_point(self.points[index]), (x, y)) <= TOUCH_MM:
                    return index
        self.points.append(point)
        self.cells.setdefault((column, row), []).append(len(self.points) - 1)
        return len(self.points) - 1


def connect(segments: Sequence[Segment]) -> Network:
    """The network of all segments."""
    carried = _carried(segments)
    nodes = _Nodes()
    cuts: list[list[tuple[float, int]]] = [
        [(0.0, nodes.number(s.start)), (1.0, nodes.number(s.end))] for s in carried
    ]
    lines = [flat_line(segment) for segment in carried]
    for i, j in _near_pairs(lines, TOUCH_MM):
        for t, s, point in _meetings(carried[i], carried[j], lines[i], lines[j]):
            node = nodes.number(point)
            cuts[i].append((t, node))
            cuts[j].append((s, node))
    links = [
        link
        for segment, marks in zip(carried, cuts, strict=True)
        for link in _links(segment, marks, nodes.points)
    ]
    return Network(tuple(nodes.points), tuple(_without_stubs(_once(links))))


def flat_line(segment: Segment) -> LineString:
    """A segment as chords within CURVE_MM."""
    cubic = segment.cubic
    steps = 1 if segment.bend is None else steps_of(cubic)
    return LineString([at(cubic, k / steps) for k in range(steps + 1)])


def _near_pairs(lines: Sequence[LineString], reach: float) -> list[tuple[int, int]]:
    tree = STRtree(lines)
    found = tree.query(lines, predicate="dwithin", distance=reach)
    return sorted((int(i), int(j)) for i, j in found.T if i < j)


def _carried(segments: Sequence[Segment]) -> list[Segment]:
    """Ends of scores and cuts that miss another line by up to HAND_MM carried to it."""
    lines = [flat_line(segment) for segment in segments]
    tree = STRtree(lines)

    def moved(index: int, which: str) -> Segment:
        segment = result[index]
        end = segment.start if which == "start" else segment.end
        spot = PlanePoint(as_point(end))
        near = [int(k) for k in tree.query(spot, "dwithin", HAND_MM) if int(k) != index]
        gaps = {k: lines[k].distance(spot) for k in near}
        if not gaps or min(gaps.values()) <= TOUCH_MM:
            return segment
        target = lines[min(gaps, key=lambda k: (gaps[k], k))]
        return _reaching(segment, which, target)

    result = list(segments)
    for index, segment in enumerate(segments):
        if segment.kind != "outline":
            result[index] = moved(index, "start")
            result[index] = moved(index, "end")
    return result


def _reaching(segment: Segment, which: str, target: LineString) -> Segment:
    """The segment with one end on `target`: along itself where it is straight, else across."""
    end = segment.start if which == "start" else segment.end
    other = segment.end if which == "start" else segment.start
    here, there = as_point(end), as_point(other)
    spot = target.interpolate(target.project(PlanePoint(here)))
    reached = (spot.x, spot.y)
    if segment.bend is None:
        far = math.dist(here, there)
        reach = 2 * HAND_MM / far
        beyond = tuple(h + (h - o) * reach for h, o in zip(here, there, strict=True))
        hit = target.intersection(LineString([here, beyond]))
        if not hit.is_empty:
            reached = min(_points(hit), key=lambda p: math.dist(p, here))
        x, y = (
            exact if exact == same else rational(new)
            for exact, same, new in zip(end, other, reached, strict=True)
        )
        return _with_end(segment, which, (x, y))
    shift = reached[0] - here[0], reached[1] - here[1]
    bend = list(segment.bend)
    k = 0 if which == "start" else 1
    bend[k] = (bend[k][0] + shift[0], bend[k][1] + shift[1])
    point = (rational(reached[0]), rational(reached[1]))
    return _with_end(replace(segment, bend=(bend[0], bend[1])), which, point)


def _with_end(segment: Segment, which: str, point: XY) -> Segment:
    return replace(segment, start=point) if which == "start" else replace(segment, end=point)


def rational(value: float) -> Fraction:
    """A float as a fraction of a small denominator, so that a half stays a half."""
    return Fraction(value).limit_denominator(FINE)


def _points(shape: BaseGeometry) -> list[Point]:
    """All points of an intersection; ends of stretches that two lines share."""
    if shape.is_empty:
        return []
    parts = getattr(shape, "geoms", [shape])
    return [(x, y) for piece in parts for x, y in (piece.coords[0], piece.coords[-1])]


Meeting = tuple[float, float, XY]


def _meetings(a: Segment, b: Segment, la: LineString, lb: LineString) -> Iterable[Meeting]:
    """Where two segments meet: the parameter on each, and the point."""
    for end in (a.start, a.end):
        if lb.distance(PlanePoint(as_point(end))) <= TOUCH_MM:
            t = 0.0 if end == a.start else 1.0
            yield t, _nearest(b, as_point(end)), end
    for end in (b.start, b.end):
        if la.distance(PlanePoint(as_point(end))) <= TOUCH_MM:
            s = 0.0 if end == b.start else 1.0
            yield _nearest(a, as_point(end)), s, end
    if a.bend is None and b.bend is None:
        yield from _line_crossing(a, b)
        return
    for point in _points(la.intersection(lb)):
        t, s, exact = _refined(a.cubic, b.cubic, _nearest(a, point), _nearest(b, point))
        yield t, s, (rational(exact[0]), rational(exact[1]))


def _line_crossing(a: Segment, b: Segment) -> Iterable[Meeting]:
    """The exact crossing of two lines that are not parallel, if it lies on both."""
    ax, ay = a.end[0] - a.start[0], a.end[1] - a.start[1]
    bx, by = b.end[0] - b.start[0], b.end[1] - b.start[1]
    turn = ax * by - ay * bx
    if turn == 0:
        return
    dx, dy = b.start[0] - a.start[0], b.start[1] - a.start[1]
    t, s = (dx * by - dy * bx) / turn, (dx * ay - dy * ax) / turn
    if 0 < t < 1 and 0 < s < 1:
        yield float(t), float(s), (a.start[0] + ax * t, a.start[1] + ay * t)


def _refined(a: Cubic, b: Cubic, t: float, s: float) -> tuple[float, float, Point]:
    """A crossing found on chords, carried to the true curves by Newton's method."""
    for _ in range(8):
        p, q = at(a, t), at(b, s)
        gap = q[0] - p[0], q[1] - p[1]
        if math.hypot(*gap) < SAME_MM:
            break
        u, v = velocity(a, t), velocity(b, s)
        turn = v[0] * u[1] - u[0] * v[1]
        if abs(turn) < SAME_MM * math.hypot(*u) * math.hypot(*v):
            break
        dt = (v[0] * gap[1] - v[1] * gap[0]) / turn
        ds = (u[0] * gap[1] - u[1] * gap[0]) / turn
        t, s = min(1.0, max(0.0, t + dt)), min(1.0, max(0.0, s + ds))
    return t, s, at(a, t)


def _nearest(segment: Segment, point: Point) -> float:
    """The parameter of the point of a segment that is nearest to `point`."""
    cubic = segment.cubic
    if segment.bend is None:
        (x0, y0), (x1, y1) = cubic[0], cubic[3]
        dx, dy = x1 - x0, y1 - y0
        share = ((point[0] - x0) * dx + (point[1] - y0) * dy) / (dx * dx + dy * dy)
        return min(1.0, max(0.0, share))
    # Most segments meet at their ends, and a search along a curve takes long.
    for t, end in ((0.0, cubic[0]), (1.0, cubic[3])):
        if math.dist(end, point) <= SAME_MM:
            return t
    steps = 4 * steps_of(cubic) + 8
    best = min(range(steps + 1), key=lambda k: math.dist(at(cubic, k / steps), point))
    low, high = max(0, best - 1) / steps, min(steps, best + 1) / steps
    for _ in range(40):
        a, b = low + (high - low) * 0.382, low + (high - low) * 0.618
        if math.dist(at(cubic, a), point) < math.dist(at(cubic, b), point):
            high = b
        else:
            low = a
    return (low + high) / 2


def _links(
    segment: Segment, marks: Sequence[tuple[float, int]], nodes: Sequence[XY]
) -> Iterable[Link]:
    """The parts of a segment between its nodes, in its direction."""
    ends = marks[0][1], marks[1][1]
    inner = sorted({(t, n) for t, n in marks[2:] if n not in ends})
    line = [(0.0, ends[0]), *inner, (1.0, ends[1])]
    kept = [line[0]]
    for t, node in line[1:]:
        if node != kept[-1][1] or (t == 1.0 and len(line) == 2):
            kept.append((t, node))
    for (low, first), (high, last) in itertools.pairwise(kept):
        cubic = segment.cubic if segment.bend is None else part(segment.cubic, low, high)
        cubic = (as_point(nodes[first]), cubic[1], cubic[2], as_point(nodes[last]))
        path = path_of(cubic, segment.bend is None)
        if first != last or path_length(path) > 4 * TOUCH_MM:
            yield Link(first, last, path, segment)


def _once(links: Iterable[Link]) -> list[Link]:
    """Links that lie on each other once, as the strongest: the outline, else a cut."""
    beside: dict[tuple[int, int], list[Link]] = {}
    for link in links:
        known = beside.setdefault((min(link.first, link.last), max(link.first, link.last)), [])
        spot = middle(link.path)
        same = [k for k, o in enumerate(known) if math.dist(middle(o.path), spot) <= 8 * TOUCH_MM]
        if not same:
            known.append(link)
        elif STRENGTH[link.kind] > STRENGTH[known[same[0]].kind]:
            known[same[0]] = link
    return [link for known in beside.values() for link in known]


def middle(path: Path) -> Point:
    """The point at half the parameter of a single line or curve."""
    start, last = path.commands[0], path.commands[-1]
    assert start[0] == "M"
    if last[0] == "C":
        return at((start[1], last[1], last[2], last[3]), 0.5)
    assert last[0] == "L"
    return (start[1][0] + last[1][0]) / 2, (start[1][1] + last[1][1]) / 2


def _without_stubs(links: list[Link]) -> list[Link]:
    """Scores and cuts that hang over the line at which they should end, taken out."""
    degree: dict[int, int] = {}
    for link in links:
        for node in (link.first, link.last):
            degree[node] = degree.get(node, 0) + 1
    return [
        link
        for link in links
        if link.kind == "outline"
        or min(degree[link.first], degree[link.last]) > 1
        or path_length(link.path) > HAND_MM
    ]

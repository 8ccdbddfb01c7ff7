"""Contours: the lines of folded paper as a reader sees them.

In: the visible regions of the faces and the hinges between them. Out: lines in the picture plane
(mm), each of one kind: silhouette (beyond it lies no paper), outline (an edge of paper in front of
other paper, or a fold of which only one side is seen), fold (both panels beside it are seen).
What is covered, and where a bent panel runs on smoothly, has no line.

An edge is seen where the strip just inside its face is part of that face's visible region. So
lines follow from the regions and cannot disagree with them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise
from typing import Literal, TypeAlias

import numpy as np
import shapely
from shapely.geometry import LineString, MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from booklet.flat.path import Point
from booklet.fold.edges import Edge, edges_of
from booklet.fold.face import SMOOTH, Face, Hinge, Point3
from booklet.fold.hidden import Sight
from booklet.fold.view import View
from booklet.measure.tolerance import TOUCH_MM

LineKind: TypeAlias = Literal["silhouette", "outline", "fold"]
Span: TypeAlias = tuple[float, float]

WHOLE: list[Span] = [(0.0, 1.0)]
"""An edge from end to end."""
INSIDE = TOUCH_MM / 4
"""How far inside a face its edge is looked for: more than noise, less than the thinnest region."""


@dataclass(frozen=True)
class SightLine:
    """A line of the picture. `faces` are the ids of those that it bounds; none for a silhouette.

    `style` is that of the hinge where the line is a fold, otherwise the kind again.
    """

    kind: LineKind
    points: tuple[Point, ...]
    faces: tuple[str, ...]
    style: str


def sight_lines(sight: Sight, hinges: Iterable[Hinge] = ()) -> tuple[SightLine, ...]:
    """All lines of the picture. Silhouettes are whole rings, so that corners join.

    Other lines leave out what lies on a silhouette, which is drawn anyway.
    """
    faces = [seen.face for seen in sight.seen]
    styles = {frozenset((hinge.first, hinge.second)): hinge.style for hinge in hinges}
    figure = _figure(sight)
    band = figure.boundary.buffer(2 * INSIDE, cap_style="flat", join_style="mitre")
    shapely.prepare(band)
    lines = [
        SightLine("silhouette", tuple((x, y) for x, y in ring.coords), (), "silhouette")
        for polygon in getattr(figure, "geoms", [figure])
        for ring in ([polygon.exterior, *polygon.interiors] if not polygon.is_empty else [])
    ]
    edges = _edges(sight)
    shown = _shown(edges, sight.view)
    sides = _sides(edges, shown, sight)
    strips = _strips(edges, shown, sides, sight)
    found: list[tuple[LineKind, str, tuple[str, ...]]] = []
    straight: list[tuple[Point, Point]] = []
    for edge, (start, end), side, spans in zip(edges, shown, sides, strips, strict=True):
        folds = _folds(side, faces, styles) if len(side) > 1 else []
        for kind, style, span in _kinds(spans, folds):
            if style == SMOOTH:
                continue
            found.append((kind, style, tuple(faces[owner].id for owner in edge.owners)))
            straight.append((_between(start, end, span[0]), _between(start, end, span[1])))
    for index, points in _off_band(straight, band):
        kind, style, ids = found[index]
        lines.append(SightLine(kind, points, ids, style))
    return tuple(lines)


def _edges(sight: Sight) -> list[Edge]:
    """The edges of the faces that are seen or seen edge-on: no other can show."""
    at = [i for i, s in enumerate(sight.seen) if s.surface.edge_on or not s.empty]
    return edges_of([sight.seen[i].face for i in at], at)


def _shown(edges: Sequence[Edge], view: View) -> list[tuple[Point, Point]]:
    """The ends of the edges in the picture, all at once."""
    points = np.array([(edge.start, edge.end) for edge in edges]).reshape(-1, 2, 3)
    # Sums in the order of `dot`, so that a point comes out alike however it is projected.
    u, v = (
        axis[0] * points[..., 0] + axis[1] * points[..., 1] + axis[2] * points[..., 2]
        for axis in (view.right, view.up)
    )
    ends = np.stack([u, v], axis=-1).tolist()
    return [((x0, y0), (x1, y1)) for (x0, y0), (x1, y1) in ends]


def _figure(sight: Sight) -> Polygon | MultiPolygon:
    """All that the paper covers, gaps that touch closed."""
    whole = shapely.union_all([seen.surface.area for seen in sight.seen])
    return whole.buffer(TOUCH_MM, join_style="mitre").buffer(-TOUCH_MM, join_style="mitre")


def _sides(
    edges: Sequence[Edge], shown: Sequence[tuple[Point, Point]], sight: Sight
) -> list[dict[int, Point]]:
    """For each edge and owner the unit normal in the picture that points into that face.

    Owners seen edge-on have none, and so has an edge that is seen as a point. Nor is it known where
    it tells nothing: for the only owner of an edge, if all of that face is seen.
    """
    sides: list[dict[int, Point]] = [{} for _ in edges]
    asked = [
        (number, owner)
        for number, edge in enumerate(edges)
        for owner in edge.owners
        if not sight.seen[owner].surface.edge_on
        and (len(edge.owners) > 1 or not sight.seen[owner].whole)
    ]
    if not asked:
        return sides
    ends = np.array([shown[number] for number, _ in asked])
    way = ends[:, 1] - ends[:, 0]
    length = np.hypot(way[:, 0], way[:, 1])
    normal = np.column_stack([-way[:, 1], way[:, 0]]) / np.maximum(length, TOUCH_MM)[:, None]
    probe = ends.mean(axis=1) + normal * INSIDE
    areas = np.array([sight.seen[owner].surface.area for _, owner in asked], dtype=object)
    shapely.prepare(areas)
    inside = shapely.contains_xy(areas, probe[:, 0], probe[:, 1])
    normal[~inside] *= -1
    for (number, owner), (x, y), long in zip(
        asked, normal.tolist(), (length > TOUCH_MM).tolist(), strict=True
    ):
        if long:
            sides[number][owner] = (x, y)
    return sides


def _strips(
    edges: Sequence[Edge],
    shown: Sequence[tuple[Point, Point]],
    sides: Sequence[Mapping[int, Point]],
    sight: Sight,
) -> list[dict[int, list[Span]]]:
    """For each edge and owner the spans (0 to 1 along the edge) where that owner is seen there.

    `shown` holds the ends of each edge in the picture.
    """
    result: list[dict[int, list[Span]]] = [{} for _ in edges]
    asked: list[tuple[int, int]] = []
    edge_on: list[tuple[int, int]] = []
    for number, edge in enumerate(edges):
        for owner in edge.owners:
            if sight.seen[owner].surface.edge_on:
                edge_on.append((number, owner))
            elif sight.seen[owner].whole:
                result[number][owner] = WHOLE
            elif owner in sides[number] and not sight.seen[owner].empty:
                asked.append((number, owner))
    free = uncovered([(edges[number].start, edges[number].end) for number, _ in edge_on], sight)
    for (number, owner), spans in zip(edge_on, free, strict=True):
        result[number][owner] = spans
    if not asked:
        return result
    ends = np.array([shown[number] for number, _ in asked])
    ends += np.array([sides[number][owner] for number, owner in asked])[:, None] * INSIDE
    pieces = np.asarray(shapely.linestrings(ends), dtype=object)
    around = np.array([sight.seen[owner].region for _, owner in asked], dtype=object)
    shapely.prepare(around)
    # Most edges are seen from end to end or not at all, which is far quicker to find out than
    # what is left.
    whole, meets = shapely.covers(around, pieces), shapely.intersects(around, pieces)
    rest = np.flatnonzero(meets & ~whole)
    cut = dict(zip(rest.tolist(), shapely.intersection(pieces[rest], around[rest]), strict=True))
    for index, (number, owner) in enumerate(asked):
        start, end = ends[index].tolist() if index in cut else ((0.0, 0.0), (0.0, 0.0))
        spans = _spans(cut[index], start, end) if index in cut else WHOLE * bool(whole[index])
        result[number][owner] = spans
    return result


def _spans(piece: BaseGeometry, start: Point, end: Point) -> list[Span]:
    """Where on the line from start (0) to end (1) the pieces lie."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    square = dx * dx + dy * dy
    spans = []
    for part in getattr(piece, "geoms", [piece]):
        if isinstance(part, LineString) and not part.is_empty:
            coords = part.coords
            t = [((x - start[0]) * dx + (y - start[1]) * dy) / square for x, y in coords]
            spans.append((min(t), max(t)))
    return spans


def uncovered(segments: Sequence[tuple[Point3, Point3]], sight: Sight) -> list[list[Span]]:
    """For each segment in space the spans (0 to 1) that no face lies in front of.

    Those that are seen as a point have none.
    """
    if not segments:
        return []
    ends = np.array([[sight.view.project(p) for p in segment] for segment in segments])
    depths = np.array([[sight.view.depth(p) for p in segment] for segment in segments])
    slopes = np.array([seen.surface.slope for seen in sight.seen]).reshape(-1, 3)
    areas = np.array([seen.surface.area for seen in sight.seen], dtype=object)
    # How far each face lies in front of both ends of each segment.
    over = ends @ slopes[:, :2].T + slopes[:, 2] - depths[:, :, None] - TOUCH_MM
    lines = np.asarray(shapely.linestrings(ends), dtype=object)
    which, face = shapely.STRtree(areas).query(lines)
    keep = over[which, :, face].max(axis=1) > 0
    which, face = which[keep], face[keep]
    parts = shapely.intersection(lines[which], areas[face])
    covered: list[list[Span]] = [[] for _ in segments]
    pairs = zip(which.tolist(), over[which, :, face].tolist(), parts, strict=True)
    for number, (first, last), part in pairs:
        s, e = 0.0, 1.0
        if min(first, last) < 0:
            at = first / (first - last)
            s, e = (at, 1.0) if last > 0 else (0.0, at)
        for lo, hi in _spans(part, *ends[number].tolist()):
            if min(hi, e) > max(lo, s):
                covered[number].append((max(lo, s), min(hi, e)))
    short = np.abs(ends[:, 1] - ends[:, 0]).sum(axis=1) <= TOUCH_MM
    return [[] if gone else _gaps(spans) for gone, spans in zip(short, covered, strict=True)]


def _gaps(spans: Iterable[Span]) -> list[Span]:
    """What the spans leave free of 0 to 1."""
    free, at = [], 0.0
    for lo, hi in sorted(spans):
        if lo > at:
            free.append((at, lo))
        at = max(at, hi)
    return [*free, (at, 1.0)] if at < 1 else free


def _kinds(
    spans: dict[int, list[Span]], folds: Sequence[tuple[tuple[int, int], str]]
) -> list[tuple[LineKind, str, Span]]:
    """The seen parts of an edge, each of one kind; `folds` holds the owners hinged there."""
    if not any(spans.values()):
        return []
    whole = [who for who, parts in spans.items() if parts == WHOLE]
    if all(who in whole or not parts for who, parts in spans.items()):
        # The usual case, found out far quicker.
        return [(*_kind(set(whole), folds), WHOLE[0])]
    marks = sorted(
        {0.0, 1.0, *(min(1.0, max(0.0, t)) for s in spans.values() for x in s for t in x)}
    )
    result: list[tuple[LineKind, str, Span]] = []
    for span in pairwise(marks):
        middle = (span[0] + span[1]) / 2
        seen = {who for who, parts in spans.items() if any(lo < middle < hi for lo, hi in parts)}
        if not seen:
            continue
        kind, style = _kind(seen, folds)
        if result and result[-1] == (kind, style, (result[-1][2][0], span[0])):
            result[-1] = (kind, style, (result[-1][2][0], span[1]))
        else:
            result.append((kind, style, span))
    return result


def _kind(seen: set[int], folds: Sequence[tuple[tuple[int, int], str]]) -> tuple[LineKind, str]:
    """Kind and style of a part of an edge along which these owners are seen."""
    made = next((style for owners, style in folds if seen.issuperset(owners)), None)
    return ("outline", "outline") if made is None else ("fold", made)


def _folds(
    sides: Mapping[int, Point], faces: Sequence[Face], styles: Mapping[frozenset[str], str]
) -> list[tuple[tuple[int, int], str]]:
    """Each two hinged owners of an edge that lie on opposite `sides` of it in the picture."""
    found: list[tuple[tuple[int, int], str]] = []
    for one, other in combinations(sides, 2):
        style = styles.get(frozenset((faces[one].id, faces[other].id)))
        if style is not None and sides[one] != sides[other]:
            found.append(((one, other), style))
    return found


def _between(start: Point, end: Point, t: float) -> Point:
    return start[0] + (end[0] - start[0]) * t, start[1] + (end[1] - start[1]) * t


def _off_band(
    lines: Sequence[tuple[Point, Point]], band: BaseGeometry
) -> Iterator[tuple[int, tuple[Point, ...]]]:
    """The parts of the lines that do not lie on the silhouette.

    Each with the index of its line. Lines are handled all at once: singly that takes longer than
    everything else about a picture.
    """
    if not lines:
        return
    rest = np.asarray(shapely.linestrings(np.array(lines)), dtype=object)
    near = shapely.intersects(band, rest)
    within = shapely.covers(band, rest)
    rest[within] = LineString()
    crossing = near & ~within
    rest[crossing] = shapely.difference(rest[crossing], band)
    parts, owners = shapely.get_parts(rest, return_index=True)
    long = shapely.length(parts) > 2 * TOUCH_MM
    if not long.any():
        return
    points, part_of = shapely.get_coordinates(parts[long], return_index=True)
    starts = np.flatnonzero(np.diff(part_of, prepend=-1))
    for owner, part in zip(owners[long].tolist(), np.split(points, starts[1:]), strict=True):
        yield owner, tuple((x, y) for x, y in part.tolist())

"""A free piece as written (outline, scores and cuts as path data) becomes its flat pattern.

In: a `Piece` with an outline, and the scope of its measures. Out: the same `Pattern` as of a map,
its lower left corner at the origin, or None with problems.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from shapely.geometry import Polygon

from booklet.flat import hinge
from booklet.flat.build import cut_holes, shaped_edges, with_angles
from booklet.flat.corner import Run
from booklet.flat.default_label import labelled
from booklet.flat.faces import Area, Walk, areas, owners, walked
from booklet.flat.flatten import polygon_of
from booklet.flat.free_check import (
    Frame,
    check_outline,
    check_scores,
    inside_of,
    name_areas,
    unknown_panels,
)
from booklet.flat.free_score import free_scores
from booklet.flat.linework import chained, cut_parts, ends
from booklet.flat.map import split_pair
from booklet.flat.network import Network, connect, rational
from booklet.flat.path import Path, joined
from booklet.flat.path_bounds import path_bounds
from booklet.flat.path_data import Subpath, read_path
from booklet.flat.pattern import Box, Edge, Panel, Pattern, close_edges
from booklet.flat.segment import XY, Segment, as_point
from booklet.limits import Limits
from booklet.measure.resolve import Scope
from booklet.measure.tolerance import SAME_MM, TOUCH_MM
from booklet.problem import Place, Problem
from booklet.read.piece import Piece

LIMITS = Limits()


@dataclass(frozen=True)
class Drawing:
    """The paths of a piece as read, moved so that the outline's box starts at the origin.

    `shift` is what was taken from every point; `size` is the blank's.
    """

    outline: tuple[Subpath, ...]
    others: tuple[Segment, ...]
    shift: XY
    size: XY


def build_free(
    piece: Piece, scope: Scope, found: list[Problem], limits: Limits = LIMITS
) -> Pattern | None:
    """The pattern of a free piece; what can be seen of its problems is reported in one go."""
    scope = scope.reading(piece.unit)
    before = len(found)
    drawing = _drawing(piece, scope, found, limits)
    if drawing is None:
        return None
    frame = Frame(drawing.shift, scope.reads or scope.units)
    if not check_outline(drawing.outline, frame, found):
        return None
    segments = [s for subpath in drawing.outline for s in subpath.segments]
    network = connect([*segments, *drawing.others])
    inside = inside_of(drawing.outline)
    faces = [face for face in areas(network) if inside.covers(face.shape.representative_point())]
    good = check_scores(network, faces, inside, frame, found)
    named = name_areas(piece, faces, network, frame, scope, found) if good else None
    unknown_panels(piece, found)
    if named is None:
        return None
    pairs = _cut_pairs(piece)
    panels = [_panel(piece, named, faces, network, name, pairs, scope, found) for name in named]
    whole = labelled(piece, [panel for panel in panels if panel is not None])
    if len(whole) < len(panels):
        return None
    root = hinge.choose_root(piece, {p.name: p.shape.area for p in whole}, found)
    if root is None:
        return None
    raw = free_scores(network, faces, named, pairs, found)
    if raw is None:
        return None
    names = list(named)
    angles = hinge.read_angles(
        piece, root, names, {frozenset(s.between) for s in raw}, scope, found
    )
    places = {panel.name: panel.place for panel in whole}
    hinges = hinge.hang(root, places, [(s.between, s.length) for s in raw], angles, found)
    if hinges is None or any(_stops(problem) for problem in found[before:]):
        return None
    outer, slits = cut_parts(whole)
    width, height = drawing.size
    return Pattern(
        id=piece.id.value,
        name=piece.name,
        stock=piece.stock.value if piece.stock else None,
        count=piece.count,
        columns=_widths(width, [s.line for s in raw if s.upright]),
        rows=_widths(height, [s.line for s in raw if s.level])[::-1],
        panels=whole,
        scores=with_angles(raw, hinges, angles),
        cuts=(*chained(outer), *(hole for panel in whole for hole in panel.holes)),
        slits=(*chained(slits), *_open_slits(network, faces)),
        root=root,
        hinges=hinges,
        joins=(),
        place=piece.place,
    )


def _stops(problem: Problem) -> bool:
    return problem.severity == "error"


def _drawing(piece: Piece, scope: Scope, found: list[Problem], limits: Limits) -> Drawing | None:
    assert piece.outline is not None
    most = limits.segments
    read = [read_path(piece.outline, "outline", scope, found, most)]
    written = [(score, "score") for score in piece.scores]
    written += [(cut, "cut") for cut in piece.cuts if split_pair(cut.value) is None]
    for text, kind in written:
        done = sum(len(sub.segments) for subpaths in read if subpaths for sub in subpaths)
        read.append(read_path(text, kind, scope, found, max(1, most - done)))
    outline = read[0]
    if outline is None or any(subpaths is None for subpaths in read):
        return None
    if not outline:
        found.append(
            Problem(
                "outline-open",
                "the outline draws no line",
                piece.outline.place,
                'go round the piece and close it with Z: "M 0 0 H 4 V 3 H 0 Z"',
            )
        )
        return None
    low, high = _extent(outline)
    others = tuple(
        _moved(segment, low)
        for subpaths in read[1:]
        for subpath in subpaths or ()
        for segment in subpath.segments
    )
    moved = tuple(
        replace(subpath, segments=tuple(_moved(s, low) for s in subpath.segments))
        for subpath in outline
    )
    return Drawing(moved, others, low, (high[0] - low[0], high[1] - low[1]))


def _moved(segment: Segment, shift: XY) -> Segment:
    def exact(point: XY) -> XY:
        return point[0] - shift[0], point[1] - shift[1]

    bend = segment.bend
    if bend is not None:
        dx, dy = as_point(shift)
        bend = ((bend[0][0] - dx, bend[0][1] - dy), (bend[1][0] - dx, bend[1][1] - dy))
    return replace(segment, start=exact(segment.start), end=exact(segment.end), bend=bend)


def _extent(outline: Sequence[Subpath]) -> tuple[XY, XY]:
    """Lower left and upper right corner: exact where a point lies there, else a near fraction."""
    segments = [s for subpath in outline for s in subpath.segments]
    paths = joined(
        Path((("M", s.cubic[0]), ("C", s.cubic[1], s.cubic[2], s.cubic[3]))) for s in segments
    )
    box = path_bounds(paths)
    assert box is not None
    points = [point for s in segments for point in (s.start, s.end)]
    low = [exact_near(box[axis], [p[axis] for p in points]) for axis in (0, 1)]
    high = [exact_near(box[2 + axis], [p[axis] for p in points]) for axis in (0, 1)]
    return (low[0], low[1]), (high[0], high[1])


def exact_near(value: float, known: Sequence[Fraction]) -> Fraction:
    """The known coordinate that a float stands for, else the float as a near fraction."""
    best = min(known, key=lambda k: abs(float(k) - value), default=None)
    if best is not None and abs(float(best) - value) < TOUCH_MM:
        return best
    return rational(value)


def _widths(length: Fraction, lines: Sequence[Fraction]) -> tuple[Fraction, ...]:
    """Widths between the score lines of one direction, from edge to edge."""
    stops = [Fraction(0), *sorted({line for line in lines if 0 < line < length}), length]
    return tuple(b - a for a, b in itertools.pairwise(stops))


def _cut_pairs(piece: Piece) -> dict[frozenset[str], Place]:
    """The pairs in `cuts`, each with its place: their score is cut."""
    found: dict[frozenset[str], Place] = {}
    for cut in piece.cuts:
        pair = split_pair(cut.value)
        if pair is not None:
            found.setdefault(frozenset(pair), cut.place)
    return found


def _panel(
    piece: Piece,
    named: Mapping[str, int],
    faces: Sequence[Area],
    network: Network,
    name: str,
    pairs: Mapping[frozenset[str], Place],
    scope: Scope,
    found: list[Problem],
) -> Panel | None:
    face = faces[named[name]]
    place = piece.points[name][0].place
    names = {number: other for other, number in named.items()}
    left = {walk: names.get(number) for walk, number in owners(faces).items()}

    def edge_of(walk: Walk) -> Edge:
        link = network.links[walk.index]
        other = left.get(Walk(walk.index, not walk.forward))
        if other is None or other == name:
            return Edge("outer", None, walked(network, walk))
        cut = link.kind == "cut" or frozenset((name, other)) in pairs
        return Edge("cut" if cut else "score", other, walked(network, walk))

    edges: tuple[Edge, ...] | None = merged([edge_of(walk) for walk in face.outer])
    table = piece.panels.get(name)
    if table is not None and any(table.shaping):
        edges = _treated(piece, name, edges or (), scope, found)
    if edges is None:
        return None
    holes = [close_edges(merged([edge_of(w) for w in ring])) for ring in face.inner]
    shape = polygon_of(close_edges(edges))
    for hole in holes:
        shape = _single(shape.difference(polygon_of(hole)))
    box = _box(face, network)
    shape = cut_holes(piece, name, box, shape, holes, scope, found)
    return Panel(name, name, box, shape, edges, tuple(holes), place)


def _single(shape: object) -> Polygon:
    assert isinstance(shape, Polygon)
    return shape


def _treated(
    piece: Piece, name: str, edges: tuple[Edge, ...], scope: Scope, found: list[Problem]
) -> tuple[Edge, ...] | None:
    """Corners of a straight panel rounded, tapered or notched as those of a map."""
    table = piece.panels[name]
    runs = [Run(*ends(edge.path), edge.kind, edge.beside) for edge in edges]
    if any(len(edge.path.commands) > 2 or edge.path.commands[1][0] != "L" for edge in edges):
        found.append(
            Problem(
                "panel-not-straight",
                f'panel "{name}" has curves, so round, taper and notch cannot shape it',
                table.place,
                "draw the shape in the outline, and keep label here",
            )
        )
        return None
    return shaped_edges(runs, name, table, scope, found)


def merged(edges: Sequence[Edge]) -> tuple[Edge, ...]:
    """Neighbouring edges of one kind made one: lines on one line, curves end to end."""
    result: list[Edge] = []
    for edge in edges:
        if result and _joins(result[-1], edge):
            result[-1] = _together(result[-1], edge)
        else:
            result.append(edge)
    if len(result) > 1 and _joins(result[-1], result[0]):
        last = result.pop()
        result[0] = _together(last, result[0])
    return tuple(result)


def _together(first: Edge, second: Edge) -> Edge:
    if _straight(first.path):
        start, end = first.path.commands[0], second.path.commands[-1]
        return replace(first, path=Path((start, end)))
    return replace(first, path=Path((*first.path.commands, *second.path.commands[1:])))


def _straight(path: Path) -> bool:
    return len(path.commands) == 2 and path.commands[1][0] == "L"


def _joins(first: Edge, second: Edge) -> bool:
    if (first.kind, first.beside) != (second.kind, second.beside):
        return False
    if _straight(first.path) != _straight(second.path):
        return False
    if not _straight(first.path):
        return True
    (a, b), (_, c) = ends(first.path), ends(second.path)
    turn = (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])
    return abs(turn) <= SAME_MM * math.dist(a, b)


def _box(face: Area, network: Network) -> Box:
    nodes = [network.nodes[network.links[w.index].first] for w in face.outer]
    nodes += [network.nodes[network.links[w.index].last] for w in face.outer]
    bounds = path_bounds(joined(walked(network, walk) for walk in face.outer))
    assert bounds is not None
    x0, y0, x1, y1 = (exact_near(bounds[i], [node[i % 2] for node in nodes]) for i in range(4))
    return x0, y0, x1, y1


def _open_slits(network: Network, faces: Sequence[Area]) -> tuple[Path, ...]:
    """Cuts that end inside a panel, or have the same panel on both sides."""
    left = owners(faces)
    loose = []
    for index, link in enumerate(network.links):
        sides = [left.get(Walk(index, forward)) for forward in (True, False)]
        if link.kind == "cut" and sides[0] == sides[1]:
            loose.append(link.path)
    return chained(loose)

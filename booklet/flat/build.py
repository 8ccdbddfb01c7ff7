"""A grid piece as written becomes its flat pattern.

In: a `Piece` with a map, and the scope of its measures. Out: a `Pattern`, or None with problems.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from shapely.geometry import MultiPolygon, Polygon

from booklet.flat import corner, cutout, hinge
from booklet.flat.default_label import labelled
from booklet.flat.flatten import points_of, polygon_of
from booklet.flat.linework import chained, cut_parts
from booklet.flat.map import (
    Grid,
    Node,
    Side,
    build_grid,
    check_cuts_touch,
    connected,
    loops,
)
from booklet.flat.path import Path, Point
from booklet.flat.pattern import Box, Edge, Hinge, Panel, Pattern, Score, close_edges
from booklet.measure.resolve import Scope
from booklet.problem import Place, Problem
from booklet.read.nearest import did_you_mean
from booklet.read.piece import PanelTable, Piece


@dataclass(frozen=True)
class _Wishes:
    """Corner measures of a panel in mm, 0 where not wanted."""

    round: float = 0.0
    taper: float = 0.0
    notch: float = 0.0


def build_pattern(piece: Piece, scope: Scope, found: list[Problem]) -> Pattern | None:
    """The pattern of a grid piece; all problems of the piece are reported in one go."""
    columns = [scope.length(width, found, positive=True) for width in piece.columns]
    rows = [scope.length(height, found, positive=True) for height in piece.rows]
    if None in columns or None in rows:
        return None
    exact = tuple(c for c in columns if c is not None), tuple(r for r in rows if r is not None)
    grid = build_grid(piece, *exact, found)
    if grid is None or not _panels_whole(grid, found):
        return None
    check_cuts_touch(piece, grid, found)
    _unknown_names(piece, grid, found)
    panels = [_panel(piece, grid, name, scope, found) for name in grid.names()]
    root = hinge.choose_root(piece, _areas(grid), found)
    raw = _scores(grid)
    pairs = {frozenset(score.between) for score in raw}
    if root is None:
        return None
    angles = hinge.read_angles(piece, root, grid.names(), pairs, scope, found)
    lengths = [(score.between, float(score.span[1] - score.span[0])) for score in raw]
    hinges = hinge.hang(root, grid.first_place, lengths, angles, found)
    if hinges is None or None in panels:
        return None
    whole = labelled(piece, [panel for panel in panels if panel is not None])
    outer, slits = cut_parts(whole)
    holes = tuple(hole for panel in whole for hole in panel.holes)
    return Pattern(
        id=piece.id.value,
        name=piece.name,
        stock=piece.stock.value if piece.stock else None,
        count=piece.count,
        columns=exact[0],
        rows=exact[1],
        panels=whole,
        scores=with_angles(raw, hinges, angles),
        cuts=(*chained(outer), *holes),
        slits=chained(slits),
        root=root,
        hinges=hinges,
        joins=(),
        place=piece.place,
    )


def _panels_whole(grid: Grid, found: list[Problem]) -> bool:
    good = True
    for name in grid.names():
        if not connected(grid, name):
            good = False
            found.append(
                Problem(
                    "panel-in-parts",
                    f'panel "{name}" lies in two or more parts on the map',
                    grid.first_place[name],
                    "cells of one panel touch side to side; give the other part its own name",
                )
            )
        elif len(loops(grid, name)) > 1:
            good = False
            found.append(
                Problem(
                    "panel-with-hole",
                    f'panel "{name}" goes all the way round something else',
                    grid.first_place[name],
                    "draw a window as a [[piece.cutout]], or split the ring into panels",
                )
            )
    return good


def _unknown_names(piece: Piece, grid: Grid, found: list[Problem]) -> None:
    wrong: list[tuple[str, Place]] = [
        (name, table.place) for name, table in piece.panels.items() if name not in grid.names()
    ]
    wrong += [
        (cut.panel.value, cut.panel.place)
        for cut in piece.cutouts
        if cut.panel.value not in grid.names()
    ]
    for name, place in wrong:
        found.append(
            Problem(
                "unknown-panel",
                f'no panel "{name}" in the map of "{piece.id.value}"',
                place,
                did_you_mean(name, grid.names()),
            )
        )


def _areas(grid: Grid) -> dict[str, Fraction]:
    areas = {name: Fraction(0) for name in grid.names()}
    for (column, row), name in grid.owner.items():
        width = grid.xs[column + 1] - grid.xs[column]
        areas[name] += width * (grid.ys[row + 1] - grid.ys[row])
    return areas


def _point(grid: Grid, node: Node) -> Point:
    return float(grid.xs[node[0]]), float(grid.ys[node[1]])


def _panel(piece: Piece, grid: Grid, name: str, scope: Scope, found: list[Problem]) -> Panel | None:
    table = piece.panels.get(name)
    cells = grid.cells(name)
    box = (
        grid.xs[min(c for c, _ in cells)],
        grid.ys[min(r for _, r in cells)],
        grid.xs[max(c for c, _ in cells) + 1],
        grid.ys[max(r for _, r in cells) + 1],
    )
    runs = [
        corner.Run(_point(grid, side.start), _point(grid, side.end), side.kind, side.beside)
        for side in loops(grid, name)[0]
    ]
    edges = shaped_edges(runs, name, table, scope, found)
    if edges is None:
        return None
    shape = polygon_of(close_edges(edges))
    holes: list[Path] = []
    shape = cut_holes(piece, name, box, shape, holes, scope, found)
    return Panel(name, name, box, shape, edges, tuple(holes), grid.first_place[name])


def cut_holes(
    piece: Piece,
    name: str,
    box: Box,
    shape: Polygon,
    holes: list[Path],
    scope: Scope,
    found: list[Problem],
) -> Polygon:
    """The panel's shape with its cutouts taken out; their paths are added to `holes`."""
    taken: list[Polygon] = []
    for cut in piece.cutouts:
        if cut.panel.value == name:
            path = cutout.cutout_path(cut, box, scope, found)
            if path is None:
                continue
            hole = polygon_of(path)
            if not (cutout.lies_inside(hole, shape) and cutout.lies_apart(hole, taken)):
                found.append(
                    Problem(
                        "cutout-outside",
                        f'the {cut.shape.value} does not lie inside panel "{name}"'
                        + (" or meets another cutout" if holes else ""),
                        cut.place,
                        "`at` is its centre, from the panel's lower left corner; "
                        "make it smaller or move it inward",
                    )
                )
                continue
            holes.append(path)
            taken.append(hole)
    # All at once: one by one, each hole would go over all those before it.
    return _single(shape.difference(MultiPolygon(taken))) if taken else shape


def _single(shape: object) -> Polygon:
    assert isinstance(shape, Polygon)
    return shape


def shaped_edges(
    runs: list[corner.Run],
    name: str,
    table: PanelTable | None,
    scope: Scope,
    found: list[Problem],
) -> tuple[Edge, ...] | None:
    """The true edges of a straight panel: rounded, tapered and notched as its table asks."""
    wishes = _read_wishes(table, scope, found)
    if wishes is None:
        return None
    if table is not None and table.taper is not None and wishes.taper > 0:
        tapered = corner.taper(runs, wishes.taper)
        if tapered is None:
            reason = "no free edge is longer than twice it"
            told = _no_fit(name, "taper", table.taper.place, reason)
            found.append(Problem("taper-too-large", *told))
            return None
        runs = tapered
    edges = corner.finish(runs, wishes.round, 0.0)
    if edges is None and table is not None and table.round is not None:
        told = _no_fit(name, "round", table.round.place, "the corners would meet or overlap")
        found.append(Problem("round-too-large", *told))
        return None
    if wishes.notch > 0 and table is not None and table.notch is not None:
        edges = corner.finish(runs, wishes.round, wishes.notch)
        shape = polygon_of(close_edges(edges)) if edges else None
        if shape is None or not shape.is_valid or shape.is_empty:
            reason = "no free edge is wide enough for it, or the panel is not deep enough"
            told = _no_fit(name, "notch", table.notch.place, reason)
            found.append(Problem("notch-too-large", *told))
            return None
    return edges


def _no_fit(name: str, what: str, place: Place, reason: str) -> tuple[str, Place, str]:
    """Message, place and way out; the code is written out where tests look for it."""
    message = f'the {what} does not fit panel "{name}": {reason}'
    return message, place, "make it smaller, or take it out"


def _read_wishes(table: PanelTable | None, scope: Scope, found: list[Problem]) -> _Wishes | None:
    if table is None:
        return _Wishes()
    values: list[float] = []
    for written in table.shaping:
        length = Fraction(0) if written is None else scope.length(written, found)
        if length is None:
            return None
        if length < 0 and written is not None:
            found.append(
                Problem(
                    "size-not-positive",
                    f"{written.value} is less than nothing",
                    written.place,
                    "give a length of 0 or more",
                )
            )
            return None
        values.append(float(length))
    return _Wishes(*values)


def _scores(grid: Grid) -> list[Score]:
    """Each stretch of border that folds, once, named in the map's reading order."""
    order = {name: index for index, name in enumerate(grid.names())}
    scores: list[Score] = []
    for name in grid.names():
        for side in loops(grid, name)[0]:
            if side.kind == "score" and side.beside and order[name] < order[side.beside]:
                scores.append(_score(grid, name, side))
    return sorted(scores, key=lambda s: (not s.upright, s.line if s.upright else -s.line, s.span))


def _score(grid: Grid, name: str, side: Side) -> Score:
    upright = side.start[0] == side.end[0]
    axis, lines = (1, grid.ys) if upright else (0, grid.xs)
    low, high = sorted((lines[side.start[axis]], lines[side.end[axis]]))
    line = grid.xs[side.start[0]] if upright else grid.ys[side.start[1]]
    ends = [(line, low), (line, high)] if upright else [(low, line), (high, line)]
    start, end = ((float(x), float(y)) for x, y in ends)
    assert side.beside is not None
    return Score((name, side.beside), start, end, upright, line, (low, high), 0.0)


def with_angles(
    raw: list[Score], hinges: tuple[Hinge, ...], angles: hinge.Angles
) -> tuple[Score, ...]:
    """The scores with the angle of the hinge that they are, or the one of their own."""
    by_pair = {frozenset((h.panel, h.parent)): h.angle for h in hinges}
    return tuple(
        replace(score, angle=by_pair.get(frozenset(score.between), angles.named(score.between)))
        for score in raw
    )


def outline_points(panel: Panel) -> list[Point]:
    """The panel's outline as points (arcs flattened), counter-clockwise, not closed."""
    return points_of(panel.outline)

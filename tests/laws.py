"""Laws of a flat pattern, each a function that takes a pattern and fails where it is broken.

In: a pattern of the program and the map that it was made from (`GridCase`). Out: nothing, or an
AssertionError. What the law compares with comes from the map's cells by shapely and networkx, not
from the program.
"""

from __future__ import annotations

from collections import Counter
from fractions import Fraction
from itertools import pairwise

import networkx as nx  # type: ignore[import-untyped]
import pytest
from shapely.geometry import LineString, MultiLineString, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from booklet.flat.flatten import points_of
from booklet.flat.path import Path
from booklet.flat.pattern import Pattern
from tests.strategies import GridCase, enclosed

SAME = 1e-6
Unit = tuple[tuple[Fraction, Fraction], tuple[Fraction, Fraction]]


def line_of(path: Path) -> LineString:
    """A path as a line, closed where it closes."""
    points = points_of(path)
    return LineString([*points, points[0]] if path.commands[-1] == ("Z",) else points)


def drawn_lines(pattern: Pattern) -> BaseGeometry:
    """Every line of the pattern, split where lines meet."""
    scores = [LineString([score.start, score.end]) for score in pattern.scores]
    return unary_union([*scores, *(line_of(path) for path in (*pattern.cuts, *pattern.slits))])


def euler(pattern: Pattern, faces: int) -> None:
    """V - E + F = 2 for the connected plane graph of all lines, the outer face counted.

    Source: Euler's formula for plane graphs (MathWorld, "Polyhedral Formula"; the plane form is
    from memory). `faces` counts panels, enclosed waste and the outside.
    """
    graph = nx.Graph()
    lines = drawn_lines(pattern)
    for line in getattr(lines, "geoms", [lines]):
        points = [(round(x, 6), round(y, 6)) for x, y in line.coords]
        nx.add_path(graph, points)
    assert nx.is_connected(graph)
    assert graph.number_of_nodes() - graph.number_of_edges() + faces == 2


def faces_of(case: GridCase) -> int:
    """Panels, areas of waste that the panels enclose, and the outside."""
    return len(set(case.cells.values())) + len(enclosed(set(case.cells))) + 1


def cell_box(case: GridCase, cell: tuple[int, int]) -> BaseGeometry:
    """A cell as a rectangle, mm."""
    column, row = cell
    corners = case.xs[column], case.ys[row], case.xs[column + 1], case.ys[row + 1]
    x0, y0, x1, y1 = (float(value) for value in corners)
    return box(x0, y0, x1, y1)


def areas_make_the_blank(pattern: Pattern, case: GridCase) -> None:
    """Panel areas and waste add up to the blank."""
    width, height = pattern.blank
    assert (width, height) == (case.xs[-1], case.ys[-1])
    used = set(case.cells)
    waste = sum(
        (case.xs[c + 1] - case.xs[c]) * (case.ys[r + 1] - case.ys[r])
        for c in range(len(case.columns))
        for r in range(len(case.rows))
        if (c, r) not in used
    )
    panels = sum(panel.shape.area for panel in pattern.panels)
    assert panels + float(waste) == pytest.approx(float(width * height))


def panels_are_their_cells(pattern: Pattern, case: GridCase) -> None:
    """Each panel covers its cells of the map and nothing else."""
    for panel in pattern.panels:
        cells = [cell_box(case, cell) for cell, name in case.cells.items() if name == panel.name]
        assert panel.shape.is_valid
        assert panel.shape.symmetric_difference(unary_union(cells)).area < SAME


def outline_is_the_border(pattern: Pattern, case: GridCase) -> None:
    """The outline is the border of the union of all cells, every stretch once."""
    border = unary_union([cell_box(case, cell) for cell in case.cells]).boundary
    outline = MultiLineString([line_of(path) for path in pattern.cuts])
    assert outline.length == pytest.approx(border.length)
    assert outline.buffer(SAME).contains(border)
    assert border.buffer(SAME).contains(outline)


def borders(case: GridCase) -> tuple[Counter[Unit], Counter[Unit]]:
    """Unit stretches between two panels: those that fold and those that are cut."""
    cut = {frozenset(pair) for pair in case.cuts}
    folds: Counter[Unit] = Counter()
    slits: Counter[Unit] = Counter()
    for (column, row), name in case.cells.items():
        x0, x1 = case.xs[column : column + 2]
        y0, y1 = case.ys[row : row + 2]
        for beside, unit in (
            ((column + 1, row), ((x1, y0), (x1, y1))),
            ((column, row + 1), ((x0, y1), (x1, y1))),
        ):
            other = case.cells.get(beside, name)
            if other != name:
                (slits if frozenset((name, other)) in cut else folds)[unit] += 1
    return folds, slits


def scores_lie_between_uncut_neighbours(pattern: Pattern, case: GridCase) -> None:
    """A score wherever two panels meet that are not cut apart, and none elsewhere."""
    found: Counter[Unit] = Counter()
    for score in pattern.scores:
        lines = [v for v in (case.ys if score.upright else case.xs) if _within(v, score.span)]
        for low, high in pairwise(lines):
            ends = ((score.line, low), (score.line, high))
            found[ends if score.upright else ((low, score.line), (high, score.line))] += 1
    assert found == borders(case)[0]


def slits_lie_between_cut_neighbours(pattern: Pattern, case: GridCase) -> None:
    """A slit wherever two panels meet that are cut apart, each stretch once."""
    expected = [LineString([(float(x), float(y)) for x, y in unit]) for unit in borders(case)[1]]
    slits = [line_of(path) for path in pattern.slits]
    assert sum(line.length for line in slits) == pytest.approx(sum(e.length for e in expected))
    everything = unary_union(slits).buffer(SAME)
    assert all(everything.contains(line) for line in expected)


def hinges_are_a_tree(pattern: Pattern) -> None:
    """One hinge for each panel but the root, each parent before its children."""
    known = {pattern.root}
    for hinge in pattern.hinges:
        assert hinge.parent in known and hinge.panel not in known
        assert set(pattern.scores[hinge.score].between) == {hinge.panel, hinge.parent}
        known.add(hinge.panel)
    assert known == {panel.name for panel in pattern.panels}


def _within(value: Fraction, span: tuple[Fraction, Fraction]) -> bool:
    return span[0] <= value <= span[1]

"""Random grid maps for hypothesis: panels of several cells, waste, slits.

In: nothing. Out: strategies of `GridCase`, a map that the program must take: every panel is one
area without a hole, and all panels hang together by scores. The map is made here from cells and
`networkx` alone, so that laws can compare the program with it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

import networkx as nx  # type: ignore[import-untyped]
from hypothesis import strategies as st

from booklet.flat.build import build_pattern
from booklet.flat.pattern import Pattern
from booklet.measure.resolve import Scope
from booklet.problem import Place, Problem, Written
from booklet.read.piece import PanelTable, Piece

HERE = Place("case.toml", 1, 1)
SIXTEENTH = Fraction(254, 160)
Cell = tuple[int, int]


@dataclass(frozen=True)
class GridCase:
    """A map: sizes in sixteenths of an inch, lines from the top, pairs that are cut."""

    columns: tuple[int, ...]
    rows: tuple[int, ...]
    lines: tuple[tuple[str, ...], ...]
    cuts: tuple[tuple[str, str], ...] = ()

    @property
    def cells(self) -> dict[Cell, str]:
        """Names by (column, row), rows counted from the bottom, waste left out."""
        return {
            (column, len(self.rows) - 1 - index): name
            for index, line in enumerate(self.lines)
            for column, name in enumerate(line)
            if name != "."
        }

    @property
    def xs(self) -> list[Fraction]:
        """Where the column lines stand, mm from the left."""
        return _lines(self.columns)

    @property
    def ys(self) -> list[Fraction]:
        """Where the row lines stand, mm from the bottom."""
        return _lines(tuple(reversed(self.rows)))

    def renamed(self, names: Mapping[str, str]) -> GridCase:
        """The same map with other panel names."""
        return replace(
            self,
            lines=tuple(tuple(names.get(name, name) for name in line) for line in self.lines),
            cuts=tuple((names[a], names[b]) for a, b in self.cuts),
        )


def piece(
    case: GridCase, unit: str = "in", panels: Mapping[str, PanelTable] | None = None
) -> Piece:
    """The case as the reader would hand it on, its lengths in inches or in millimetres."""
    return Piece(
        id=Written("case", HERE),
        name="Case",
        columns=tuple(_length(size, unit) for size in case.columns),
        rows=tuple(_length(size, unit) for size in case.rows),
        map=tuple(Written(" ".join(line), HERE) for line in case.lines),
        cuts=tuple(Written(f"{a}|{b}", HERE) for a, b in case.cuts),
        panels=dict(panels or {}),
        place=HERE,
    )


def pattern(case: GridCase, unit: str = "in") -> Pattern:
    """The pattern that the program makes of a case; AssertionError where it finds a fault."""
    found: list[Problem] = []
    made = build_pattern(piece(case, unit), Scope(unit, SIXTEENTH), found)
    assert made is not None and all(one.code == "map-edge-waste" for one in found), found
    return made


def _lines(sizes: tuple[int, ...]) -> list[Fraction]:
    return [sum(sizes[:count]) * SIXTEENTH for count in range(len(sizes) + 1)]


def _length(sixteenths: int, unit: str) -> Written[str]:
    text = f"{sixteenths}/16" if unit == "in" else f"{sixteenths * 15875}/10000"
    return Written(text, HERE)


@st.composite
def grid_cases(draw: st.DrawFn, most: int = 5) -> GridCase:
    """A map of at most `most` by `most` cells."""
    wide, high = draw(st.integers(1, most)), draw(st.integers(1, most))
    sizes = st.integers(1, 40)
    columns = tuple(draw(st.lists(sizes, min_size=wide, max_size=wide)))
    rows = tuple(draw(st.lists(sizes, min_size=high, max_size=high)))
    all_cells = [(c, r) for c in range(wide) for r in range(high)]
    count = len(all_cells)
    used = draw(st.lists(st.sampled_from((1, 1, 1, 0)), min_size=count, max_size=count))
    kept = [cell for cell, one in zip(all_cells, used, strict=True) if one]
    grid = nx.grid_2d_graph(wide, high).subgraph(kept or all_cells[:1])
    grid = grid.subgraph(max(nx.connected_components(grid), key=len))
    sides = sorted(grid.edges)
    merged = draw(st.lists(st.booleans(), min_size=len(sides), max_size=len(sides)))
    owner = _panels(grid, [side for side, one in zip(sides, merged, strict=True) if one])
    touching = {tuple(sorted((owner[a], owner[b]))) for a, b in sides if owner[a] != owner[b]}
    pairs = sorted(touching)
    weights = draw(st.permutations(range(len(pairs))))
    tree = _tree(pairs, weights)
    free = [pair for pair in pairs if pair not in tree]
    cut = draw(st.lists(st.booleans(), min_size=len(free), max_size=len(free)))
    lines = tuple(
        tuple(owner.get((column, high - 1 - index), ".") for column in range(wide))
        for index in range(high)
    )
    cuts = tuple((a, b) for (a, b), taken in zip(free, cut, strict=True) if taken)
    return GridCase(columns, rows, lines, cuts)


def _panels(grid: nx.Graph, merged: list[tuple[Cell, Cell]]) -> dict[Cell, str]:
    """Names by cell; a panel with a hole falls apart into its cells."""
    joined = nx.Graph(merged)
    joined.add_nodes_from(grid)
    owner: dict[Cell, str] = {}
    for part in sorted(nx.connected_components(joined), key=min):
        groups = [{cell} for cell in sorted(part)] if has_hole(part) else [part]
        for group in groups:
            name = f"p{len(set(owner.values()))}"
            owner |= dict.fromkeys(group, name)
    return owner


def has_hole(cells: set[Cell]) -> bool:
    """Whether cells that are not in the set are cut off from the outside by side steps."""
    return len(enclosed(cells)) > 0


def enclosed(cells: set[Cell]) -> list[set[Cell]]:
    """The areas that the cells enclose: connected sets of other cells that cannot get out."""
    wide = max(column for column, _ in cells) + 3
    high = max(row for _, row in cells) + 3
    around = nx.grid_2d_graph(wide, high)
    around.remove_nodes_from([(column + 1, row + 1) for column, row in cells])
    return [part for part in nx.connected_components(around) if (0, 0) not in part]


def _tree(pairs: list[tuple[str, ...]], weights: list[int]) -> set[tuple[str, ...]]:
    graph = nx.Graph()
    for pair, weight in zip(pairs, weights, strict=True):
        graph.add_edge(*pair, weight=weight)
    return {tuple(sorted(edge[:2])) for edge in nx.minimum_spanning_edges(graph, data=False)}

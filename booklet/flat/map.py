"""The letters of the map become cells, and cells become rectilinear panels.

In: a piece as written and the exact widths and heights of its columns and rows.
Out: a `Grid` (who owns each cell, exact lines) and, per panel, its boundary as straight sides.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from booklet.limits import Limits
from booklet.problem import Place, Problem, Written
from booklet.read.nearest import did_you_mean
from booklet.read.piece import Piece

Node = tuple[int, int]
Cell = tuple[int, int]
NAME = re.compile(r"[a-z][a-z0-9_]*\Z")
WASTE = "."
LIMITS = Limits()


@dataclass(frozen=True)
class Side:
    """A straight boundary side from node to node, panel on the left; `beside` is None at waste."""

    start: Node
    end: Node
    kind: str
    beside: str | None


@dataclass(frozen=True)
class Grid:
    """Exact lines (x upward from left, y upward from the bottom) and the owner of every cell.

    Cells and nodes are (column, row) with rows counted from the bottom.
    """

    xs: tuple[Fraction, ...]
    ys: tuple[Fraction, ...]
    owner: dict[Cell, str]
    cuts: frozenset[frozenset[str]]
    first_place: dict[str, Place]
    owned: dict[str, list[Cell]]

    def cells(self, name: str) -> list[Cell]:
        """The cells of a panel, left to right, bottom to top."""
        return self.owned[name]

    def names(self) -> list[str]:
        """Panel names in reading order of the map."""
        return list(self.first_place)


def build_grid(
    piece: Piece,
    columns: tuple[Fraction, ...],
    rows: tuple[Fraction, ...],
    found: list[Problem],
    limits: Limits = LIMITS,
) -> Grid | None:
    """Check the map against its columns and rows; None (with problems) when it does not hold."""
    words = [(line, line.value.split()) for line in piece.map]
    if not _counts_match(piece, len(columns), len(rows), words, found):
        return None
    owner: dict[Cell, str] = {}
    first: dict[str, Place] = {}
    good = True
    for index, (line, names) in enumerate(words):
        for column, name in enumerate(names):
            if name == WASTE:
                continue
            if not NAME.match(name):
                good = False
                found.append(
                    Problem(
                        "map-bad-name",
                        f'"{name[:40]}" in the map is no panel name',
                        line.place,
                        "a name starts with a small letter and holds a-z, 0-9 and _; "
                        "a full stop alone is waste",
                    )
                )
                continue
            owner[(column, len(rows) - 1 - index)] = name
            first.setdefault(name, line.place)
    if good and not owner:
        found.append(
            Problem("map-empty", "the map names no panel", piece.map_place, "name at least one")
        )
        return None
    if len(first) > limits.panels:
        found.append(
            Problem(
                "too-many",
                f"the map names {len(first)} panels; at most {limits.panels} are read",
                piece.map_place,
                "make it of several pieces",
            )
        )
        return None
    cuts, cuts_good = _read_cuts(piece, list(first), found)
    if not good or not cuts_good:
        return None
    _tell_waste(piece, words, found)
    owned: dict[str, list[Cell]] = {name: [] for name in first}
    for cell in sorted(owner):
        owned[owner[cell]].append(cell)
    return Grid(_lines(columns), _lines(tuple(reversed(rows))), owner, cuts, first, owned)


def _tell_waste(
    piece: Piece, words: list[tuple[Written[str], list[str]]], found: list[Problem]
) -> None:
    """A line or column along the edge without a panel makes the blank larger for nothing."""
    lines = [(line.place, set(names), "line", "rows") for line, names in words]
    upright = zip(*(names for _, names in words), strict=True)
    columns = [(piece.map_place, set(names), "column", "columns") for names in upright]
    for stack in (lines, columns):
        for end, (place, names, what, key) in (("first", stack[0]), ("last", stack[-1])):
            if names == {WASTE}:
                found.append(
                    Problem(
                        "map-edge-waste",
                        f"no panel lies in the {end} {what} of the map: the blank is larger than "
                        f'the piece "{piece.id.value}" needs',
                        place or piece.place,
                        f"leave the {what} and its length in {key} out, unless a margin is wanted",
                    )
                )


def _lines(widths: tuple[Fraction, ...]) -> tuple[Fraction, ...]:
    lines = [Fraction(0)]
    for width in widths:
        lines.append(lines[-1] + width)
    return tuple(lines)


def _counts_match(
    piece: Piece,
    columns: int,
    rows: int,
    words: list[tuple[Written[str], list[str]]],
    found: list[Problem],
) -> bool:
    good = True
    if len(words) != rows:
        good = False
        found.append(
            Problem(
                "map-row-count",
                f"the map has {len(words)} lines, but rows lists {rows} heights",
                piece.map_place or piece.place,
                "give one height in rows for each line of the map",
            )
        )
    for line, names in words:
        if len(names) != columns:
            good = False
            found.append(
                Problem(
                    "map-column-count",
                    f"this line of the map has {len(names)} names, but columns lists {columns}",
                    line.place,
                    "put one name (or a full stop for waste) for each column",
                )
            )
    return good


def split_pair(text: str) -> tuple[str, str] | None:
    """`"a|b"` as two names; None when it is something else."""
    parts = [part.strip() for part in text.split("|")]
    if len(parts) == 2 and all(NAME.match(part) for part in parts):
        return parts[0], parts[1]
    return None


def _read_cuts(
    piece: Piece, known: list[str], found: list[Problem]
) -> tuple[frozenset[frozenset[str]], bool]:
    cuts: set[frozenset[str]] = set()
    good = True
    for cut in piece.cuts:
        pair = split_pair(cut.value)
        if pair is None or pair[0] == pair[1]:
            good = False
            found.append(
                Problem(
                    "cut-not-a-pair",
                    f'"{cut.value[:60]}" is no pair of panels',
                    cut.place,
                    'write two different panel names with a bar between: "tab|base"',
                )
            )
            continue
        for name in pair:
            if name not in known:
                good = False
                found.append(
                    Problem(
                        "unknown-panel",
                        f'no panel "{name}" in the map of "{piece.id.value}"',
                        cut.place,
                        did_you_mean(name, known),
                    )
                )
        cuts.add(frozenset(pair))
    return frozenset(cuts), good


def check_cuts_touch(piece: Piece, grid: Grid, found: list[Problem]) -> None:
    """Report each listed cut whose two panels have no common border."""
    touching = {
        frozenset((side_owner, side.beside))
        for side_owner in grid.names()
        for side in cell_sides(grid, side_owner)
        if side.beside is not None
    }
    for cut in piece.cuts:
        pair = split_pair(cut.value)
        if pair and set(pair) <= set(grid.names()) and frozenset(pair) not in touching:
            found.append(
                Problem(
                    "cut-not-touching",
                    f'"{pair[0]}" and "{pair[1]}" have no common border to cut',
                    cut.place,
                    "take the pair out, or look for a wrong name in it",
                )
            )


def cell_sides(grid: Grid, name: str) -> list[Side]:
    """All unit sides on the border of a panel, each with the panel on its left."""
    sides: list[Side] = []
    for column, row in grid.cells(name):
        corner = [(column, row), (column + 1, row), (column + 1, row + 1), (column, row + 1)]
        beside = [(column, row - 1), (column + 1, row), (column, row + 1), (column - 1, row)]
        for index in range(4):
            other = grid.owner.get(beside[index])
            if other == name:
                continue
            kind = "outer" if other is None else "score"
            if other is not None and frozenset((name, other)) in grid.cuts:
                kind = "cut"
            sides.append(Side(corner[index], corner[(index + 1) % 4], kind, other))
    return sides


def loops(grid: Grid, name: str) -> list[list[Side]]:
    """The closed boundary walks of a panel: the outer one counter-clockwise, holes clockwise.

    Where two cells of the panel touch at a corner only, the walk turns left, so that it stays
    with the cell that it came from.
    """
    left_over: dict[Node, list[Side]] = {}
    for side in cell_sides(grid, name):
        left_over.setdefault(side.start, []).append(side)
    result: list[list[Side]] = []
    while left_over:
        start = min(left_over)
        walk = [_take(left_over, left_over[start][0])]
        while walk[-1].end != walk[0].start:
            walk.append(_take(left_over, _leftmost(walk[-1], left_over[walk[-1].end])))
        result.append(_merged(walk))
    return result


def _take(left_over: dict[Node, list[Side]], side: Side) -> Side:
    rest = [other for other in left_over[side.start] if other is not side]
    if rest:
        left_over[side.start] = rest
    else:
        del left_over[side.start]
    return side


def _heading(side: Side) -> Node:
    return side.end[0] - side.start[0], side.end[1] - side.start[1]


def _leftmost(incoming: Side, ways: list[Side]) -> Side:
    dx, dy = _heading(incoming)

    def turn(side: Side) -> int:
        ex, ey = _heading(side)
        return dx * ey - dy * ex

    return max(ways, key=turn)


def _merged(walk: list[Side]) -> list[Side]:
    def joins(first: Side, second: Side) -> bool:
        same = (first.kind, first.beside) == (second.kind, second.beside)
        dx, dy = _heading(first)
        ex, ey = _heading(second)
        return same and dx * ey == dy * ex

    merged: list[Side] = []
    for side in walk:
        if merged and joins(merged[-1], side):
            merged[-1] = Side(merged[-1].start, side.end, side.kind, side.beside)
        else:
            merged.append(side)
    if len(merged) > 1 and joins(merged[-1], merged[0]):
        last = merged.pop()
        merged[0] = Side(last.start, merged[0].end, last.kind, last.beside)
    return merged


def connected(grid: Grid, name: str) -> bool:
    """Whether the cells of a panel form one area, touching side to side."""
    cells = set(grid.cells(name))
    todo = [next(iter(cells))]
    cells.discard(todo[0])
    while todo:
        column, row = todo.pop()
        for step in ((1, 0), (-1, 0), (0, 1), (0, -1)):
            beside = (column + step[0], row + step[1])
            if beside in cells:
                cells.discard(beside)
                todo.append(beside)
    return not cells

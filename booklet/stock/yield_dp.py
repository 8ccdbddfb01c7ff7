"""The best layout of one sheet when every blank may be cut any number of times.

In: a sheet and blanks in whole units, a value for each kind of blank. Out: the greatest total value
of every rectangle up to the sheet, and a layout that has it.

The recursion of Gilmore and Gomory (Operations Research 13 (1965) 94-120) over sums of sides (Herz
1972, Beasley 1985, see `blank`): the value of a rectangle is that of a blank that fits it, or of
its two parts after the best cut. It is run in sweeps, all upright cuts, then all level ones, until
nothing grows: each sweep is array work, and few stages of cuts are ever of use.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from booklet.stock.blank import Blank, sums
from booklet.stock.part import Part, row

Whole = npt.NDArray[np.int64]
Halves = tuple[tuple[Whole, Whole], ...]


@dataclass(frozen=True)
class Grid:
    """The sums of sides along both edges; `cuts_x[i]` are the cuts of a rectangle `xs[i]` wide.

    A cut is the index of its left part and the index of the largest sum that the right part holds.
    """

    xs: tuple[int, ...]
    ys: tuple[int, ...]
    cuts_x: Halves
    cuts_y: Halves


def grid_of(w: int, h: int, blanks: Sequence[Blank], most: int) -> Grid | None:
    """The grid of a sheet; None where one edge has more than `most` sums."""
    ways = [(way, max(1, blank.copies)) for blank in blanks for way in blank.ways()]
    xs = sums(w, [(way[0], copies) for way, copies in ways], most)
    ys = sums(h, [(way[1], copies) for way, copies in ways], most)
    if xs is None or ys is None:
        return None
    return Grid(tuple(xs), tuple(ys), _halves(xs), _halves(ys))


def _halves(points: Sequence[int]) -> Halves:
    """The cuts of each length up to its half; the other half mirrors them."""
    array = np.array(points, dtype=np.int64)
    found = []
    for length in points:
        first = np.arange(1, bisect_right(points, length // 2), dtype=np.int64)
        rest = np.searchsorted(array, length - array[first], side="right") - 1
        found.append((first, rest.astype(np.int64)))
    return tuple(found)


def best_values(
    grid: Grid, blanks: Sequence[Blank], values: Sequence[int], cap: Whole | None = None
) -> Whole:
    """The greatest value of each rectangle xs[i] x ys[j], as an array; the last is the sheet's.

    With `cap`, no entry exceeds the cap's: where that bounds what limited copies can reach, so does
    the table, by induction over the cuts.
    """
    table = np.zeros((len(grid.xs), len(grid.ys)), dtype=np.int64)
    for blank, value in zip(blanks, values, strict=True):
        for w, h, _ in blank.ways():
            if w <= grid.xs[-1] and h <= grid.ys[-1]:
                corner = table[bisect_right(grid.xs, w - 1) :, bisect_right(grid.ys, h - 1) :]
                np.maximum(corner, value, out=corner)
    cap_x = None if cap is None else np.ascontiguousarray(cap)
    cap_y = None if cap is None else np.ascontiguousarray(cap.T)
    _sweep(table, grid.cuts_x, cap_x)
    turned = np.ascontiguousarray(table.T)
    while _sweep(turned, grid.cuts_y, cap_y):
        table = np.ascontiguousarray(turned.T)
        if not _sweep(table, grid.cuts_x, cap_x):
            break
        turned = np.ascontiguousarray(table.T)
    return np.ascontiguousarray(turned.T)


def _sweep(table: Whole, cuts: Halves, cap: Whole | None) -> bool:
    """Apply every cut along the first axis, short rectangles first; whether anything grew."""
    grew = False
    for index, (first, rest) in enumerate(cuts):
        if first.size:
            best = (table[first] + table[rest]).max(axis=0)
            if cap is not None:
                np.minimum(best, cap[index], out=best)
            if (best > table[index]).any():
                grew = True
                np.maximum(table[index], best, out=table[index])
    return grew


def best_part(
    grid: Grid, table: Whole, blanks: Sequence[Blank], values: Sequence[int]
) -> Part | None:
    """A layout of the whole grid that has the table's value; None where that is 0."""
    return _trace(grid, table, blanks, values, len(grid.xs) - 1, len(grid.ys) - 1)


def _trace(
    grid: Grid, table: Whole, blanks: Sequence[Blank], values: Sequence[int], i: int, j: int
) -> Part | None:
    target = int(table[i, j])
    if target == 0:
        return None
    for kind, (blank, value) in enumerate(zip(blanks, values, strict=True)):
        if value == target:
            for w, h, turned in blank.ways():
                if w <= grid.xs[i] and h <= grid.ys[j]:
                    return Part(w, h, kind, turned)
    for beside, (first, rest) in ((True, grid.cuts_x[i]), (False, grid.cuts_y[j])):
        total = table[first, j] + table[rest, j] if beside else table[i, first] + table[i, rest]
        hits = np.flatnonzero(total == target)
        if hits.size:
            a, b = int(first[hits[0]]), int(rest[hits[0]])
            near = _trace(grid, table, blanks, values, *((a, j) if beside else (i, a)))
            far = _trace(grid, table, blanks, values, *((b, j) if beside else (i, b)))
            if near is None or far is None:
                return near or far
            return row([near, far], beside)
    raise AssertionError("a value of the table has no layout")

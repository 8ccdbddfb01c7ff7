"""The most that the rest of a sheet can hold beside a build in its lower left corner.

In: the grid of a sheet (`yield_dp`), blanks with copies and values. Out: `Bounds`, two upper bounds
for many builds at once: one over the shape of the rest, one over its area.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from booklet.stock.blank import Blank
from booklet.stock.frame import Frame, rounded, upper_values
from booklet.stock.yield_dp import Grid

Whole = npt.NDArray[np.int64]


@dataclass(frozen=True)
class Bounds:
    """`table[i, j]` bounds what lies outside a build of at least xs[i] x ys[j] steps of `unit`."""

    strip: int
    unit: int
    xs: Whole
    ys: Whole
    table: Whole
    areas: Whole
    values: Whole
    copies: Whole
    order: Whole

    def outside(self, wide: Whole, tall: Whole) -> Whole:
        """Upper bounds on the value round builds of the given sizes, any number of copies."""
        i = np.searchsorted(self.xs, wide // self.unit, side="right") - 1
        j = np.searchsorted(self.ys, tall // self.unit, side="right") - 1
        found: Whole = self.table[i, j]
        return found

    def by_area(self, counts: Whole, free: Whole) -> Whole:
        """Upper bounds from the copies left and the free area: the fractional knapsack.

        `counts` has a row for each build and a column for each kind, `free` areas in units.
        """
        left = (self.copies - counts)[:, self.order]
        sizes = left * self.areas[self.order]
        before = np.cumsum(sizes, axis=1) - sizes
        taken = np.clip(free[:, None] - before, 0, sizes)
        area, value = self.areas[self.order], self.values[self.order]
        found: Whole = share_worth(taken, area, value).sum(axis=1)
        return found


def bounds_of(frame: Frame, blanks: Sequence[Blank], values: Sequence[int]) -> Bounds:
    """Bounds for a sheet and one set of values (Viswanathan and Bagchi 1993).

    `blanks` are those of the frame, perhaps with fewer copies. Whatever surrounds a build was
    joined to it strip by strip: the table's value of the next strip and the bound round the grown
    build, at its greatest, bounds it.
    """
    grid, unit = frame.below, frame.unit
    coarse = [rounded(blank, unit, up=False) for blank in blanks]
    inner = upper_values(frame, values, _caps(grid, coarse, values))
    ends = ((grid.xs, frame.w // unit), (grid.ys, frame.h // unit))
    xs, ys = (np.array(sorted({*points, end}), dtype=np.int64) for points, end in ends)
    in_x = np.searchsorted(np.array(grid.xs), xs, side="right") - 1
    in_y = np.searchsorted(np.array(grid.ys), ys, side="right") - 1
    wide = np.ascontiguousarray(inner[:, in_y])
    tall = np.ascontiguousarray(inner[in_x, :].T)
    table = np.zeros((xs.size, ys.size), dtype=np.int64)
    steps_x, steps_y = _steps(xs, grid.xs), _steps(ys, grid.ys)
    _sweep(table, wide, steps_x)
    turned = np.ascontiguousarray(table.T)
    while _sweep(turned, tall, steps_y):
        table = np.ascontiguousarray(turned.T)
        if not _sweep(table, wide, steps_x):
            break
        turned = np.ascontiguousarray(table.T)
    areas = np.array([blank.w * blank.h for blank in blanks], dtype=np.int64)
    worth = np.array(values, dtype=np.int64)
    order = np.array(
        sorted(range(len(blanks)), key=lambda k: (-values[k] / int(areas[k]), k)), dtype=np.int64
    )
    # No more than the sheet's area holds: demands may be too large to multiply with areas.
    most = frame.w * frame.h
    copies = np.array([min(b.copies, most // (b.w * b.h)) for b in blanks], dtype=np.int64)
    return Bounds(
        frame.strip, unit, xs, ys, np.ascontiguousarray(turned.T), areas, worth, copies, order
    )


def _caps(grid: Grid, blanks: Sequence[Blank], values: Sequence[int]) -> Whole:
    """For each rectangle the fractional knapsack of the copies that fit it, by its area."""
    xs, ys = np.array(grid.xs, dtype=np.int64), np.array(grid.ys, dtype=np.int64)
    free: Whole = xs[:, None] * ys[None, :]
    cap: Whole = np.zeros_like(free)
    order = sorted(range(len(blanks)), key=lambda k: -values[k] / (blanks[k].w * blanks[k].h))
    for kind in order:
        blank, value = blanks[kind], values[kind]
        area = blank.w * blank.h
        fit = np.zeros(free.shape, dtype=bool)
        for w, h, _ in blank.ways():
            fit |= (xs[:, None] >= w) & (ys[None, :] >= h)
        demand = min(area * blank.copies, int(xs[-1]) * int(ys[-1]))
        taken = np.where(fit, np.minimum(free, demand), 0)
        cap += share_worth(taken, np.int64(area), np.int64(value))
        free -= taken
    return cap


def share_worth(taken: Whole, area: Whole | np.int64, value: Whole | np.int64) -> Whole:
    """What an area of one kind is worth; a part of a blank counts for its share, rounded up.

    Where a share has no room in 64 bits it is reckoned in floats and rounded up by more than their
    error (three roundings of 2^-53 each), so that the bound still holds.
    """
    whole, part = np.divmod(taken, area)
    if int(np.max(area, initial=1)) * int(np.max(value, initial=1)) < 2**62:
        share: Whole = -((-part * value) // area)
    else:
        share = np.ceil(part / area * value * (1 + 2.0**-50)).astype(np.int64)
    found: Whole = whole * value + share
    return found


def _steps(ends: Whole, points: Sequence[int]) -> list[Whole]:
    """For each end, the index of the largest sum in the strip up to each later end."""
    array = np.array(points)
    return [
        np.searchsorted(array, ends[index + 1 :] - end, side="right") - 1
        for index, end in enumerate(ends)
    ]


def _sweep(table: Whole, strips: Whole, steps: Sequence[Whole]) -> bool:
    """Grow builds along the first axis, large ones first; whether any bound rose."""
    rose = False
    for index in range(len(steps) - 1, -1, -1):
        if steps[index].size:
            best = (strips[steps[index]] + table[index + 1 :]).max(axis=0)
            if (best > table[index]).any():
                rose = True
                np.maximum(table[index], best, out=table[index])
    return rose

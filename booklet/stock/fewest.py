"""The fewest sheets for a list of blanks, with a lower bound.

In: a sheet and blanks in whole units, each with its demand in `copies`. Out: a `SheetPlan`: layouts
with how many sheets of each, and the bound that proves them fewest or the gap that is left.

Column generation (Gilmore and Gomory 1965): prices of the blanks from the linear question, then the
layout that is worth most at these prices, until none is worth more than a sheet. The bound is
Farley's (Operations Research 38 (1990) 922-923) in whole numbers: any prices, divided by the worth
of the best layout, bound the sheets from below, however inexact the solver's own arithmetic is.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from booklet.stock.blank import Blank
from booklet.stock.limited import Found, fill, list_layouts
from booklet.stock.master import Counts, Prices, fewest
from booklet.stock.outer import bounds_of
from booklet.stock.part import Part, without
from booklet.stock.work import Work
from booklet.stock.yield_dp import Grid, best_part, best_values, grid_of

SHEET = 1_000_000
"""What a sheet is worth in whole-number prices."""


@dataclass(frozen=True)
class SheetPlan:
    """`layouts` are (sheets, tree); `bound` no plan can beat; proved where it is met."""

    layouts: tuple[tuple[int, Part], ...]
    bound: int

    @property
    def needed(self) -> int:
        """Sheets in all."""
        return sum(sheets for sheets, _ in self.layouts)


@dataclass
class _Case:
    """One question under way: the layouts met so far and the best bound."""

    w: int
    h: int
    blanks: Sequence[Blank]
    grid: Grid
    limits: Work
    bound: int = 1
    pool: dict[Counts, Part] = field(default_factory=dict)
    prices: list[int] = field(default_factory=list)
    worth: int = 1
    total: int = 0

    @property
    def demand(self) -> list[int]:
        return [blank.copies for blank in self.blanks]

    def counts(self, part: Part) -> Counts:
        """What the layout gives of each kind, no more than is wanted."""
        found = part.counts
        return tuple(min(found[k], blank.copies) for k, blank in enumerate(self.blanks))

    def add(self, part: Part | None) -> Counts | None:
        """Remember a layout; its counts where it is new."""
        if part is None:
            return None
        counts = self.counts(part)
        if counts in self.pool:
            return None
        self.pool[counts] = part
        return counts


def fewest_sheets(w: int, h: int, blanks: Sequence[Blank], limits: Work) -> SheetPlan:
    """The plan for blanks that all fit the sheet and are wanted at least once."""
    grid = grid_of(w, h, blanks, limits.sums)
    assert grid is not None
    case = _Case(w, h, blanks, grid, limits)
    case.bound = max(1, -(-sum(b.w * b.h * b.copies for b in blanks) // (w * h)))
    for kind in range(len(blanks)):
        case.add(_alone(case, kind))
    if len(blanks) == 1:
        (counts, part), *_ = case.pool.items()
        sheets = -(-blanks[0].copies // counts[0])
        return SheetPlan(_less_surplus([(sheets, part)], case.demand), sheets)
    _generate(case, exact=False)
    plan = _choose(case)
    if sum(plan) > case.bound:
        _greedy(case)
        plan = _choose(case)
    if sum(plan) > case.bound:
        _generate(case, exact=True)
        plan = _choose(case)
    plan = _settle(case, plan)
    parts = list(case.pool.values())
    used = [(n, parts[index]) for index, n in enumerate(plan) if n]
    return SheetPlan(_less_surplus(used, case.demand), case.bound)


def _less_surplus(
    layouts: Sequence[tuple[int, Part]], demand: Sequence[int]
) -> tuple[tuple[int, Part], ...]:
    """The layouts without blanks that nobody wants on any sheet of theirs."""
    spare = [-count for count in demand]
    for sheets, part in layouts:
        for kind, count in part.counts.items():
            spare[kind] += sheets * count
    kept = []
    for sheets, part in sorted(layouts, key=lambda one: one[0]):
        drop = Counter({k: min(n, spare[k] // sheets) for k, n in part.counts.items()})
        for kind, count in drop.items():
            spare[kind] -= sheets * count
        less = without(part, drop)
        if less is not None:
            kept.append((sheets, less))
    return tuple(reversed(kept))


def _alone(case: _Case, kind: int) -> Part:
    """The most of one kind that a sheet holds."""
    values = [int(k == kind) for k in range(len(case.blanks))]
    part = best_part(case.grid, best_values(case.grid, case.blanks, values), case.blanks, values)
    assert part is not None
    return part


def _generate(case: _Case, exact: bool) -> None:
    """Add the layout worth most at the prices, until none is worth more than a sheet."""
    master = Prices(case.demand)
    for counts in case.pool:
        master.add(counts)
    for _ in range(case.limits.rounds):
        fraction, prices, _ = master.solve()
        whole = [max(0, int(price * SHEET)) for price in prices]
        if exact:
            found = _priced(case, whole, case.limits.pairs)
            part, worth = found.best, found.bound
        else:
            table = best_values(case.grid, case.blanks, whole)
            part, worth = best_part(case.grid, table, case.blanks, whole), int(table[-1, -1])
        total = sum(d * p for d, p in zip(case.demand, whole, strict=True))
        bound = -(-total // max(worth, 1))
        case.bound = max(case.bound, bound)
        if not case.prices or total * case.worth > case.total * worth:
            case.prices, case.worth, case.total = whole, max(worth, 1), total
        fresh = case.add(part)
        if fresh is None or worth <= SHEET or bound >= fraction:
            return
        master.add(fresh)


def _priced(case: _Case, prices: Sequence[int], pairs: int, floor: int = 0) -> Found:
    bounds = bounds_of(case.w, case.h, case.grid, case.blanks, prices)
    return fill(case.w, case.h, case.blanks, prices, bounds, pairs, floor)


def _choose(case: _Case) -> list[int]:
    """How many sheets of each layout of the pool."""
    result = fewest(list(case.pool), case.demand, case.bound, case.limits.nodes)
    if result is not None:
        return result[0]
    # Whatever happens, each kind on sheets of its own is a plan.
    plan = [0] * len(case.pool)
    for kind, count in enumerate(case.demand):
        plan[kind] = -(-count // list(case.pool)[kind][kind])
    return plan


def _greedy(case: _Case) -> None:
    """Fill sheet after sheet with what is still wanted, for layouts that suit the remainder."""
    left = case.demand
    areas = [blank.w * blank.h for blank in case.blanks]
    sheet = case.w * case.h
    values = [a + sheet * p // SHEET for a, p in zip(areas, case.prices, strict=True)]
    for _ in range(case.limits.greedy):
        if not any(left):
            return
        blanks = [Blank(b.w, b.h, b.turns, n) for b, n in zip(case.blanks, left, strict=True)]
        bounds = bounds_of(case.w, case.h, case.grid, blanks, values)
        part = fill(case.w, case.h, blanks, values, bounds, case.limits.pairs // 10).best
        if part is None:
            return
        case.add(part)
        counts = part.counts
        times = min(left[k] // n for k, n in counts.items())
        left = [n - times * counts[k] for k, n in enumerate(left)]


def _settle(case: _Case, plan: list[int]) -> list[int]:
    """Close the gap: list every layout that a better plan could use, and choose among all.

    With prices p and best worth W, a plan of K sheets has total worth at least the demand's, and no
    sheet above W: each of its sheets is worth at least demand's worth - (K - 1) W. Copies beyond
    the demand may be added freely, so layouts that others contain are left out.
    """
    while sum(plan) > case.bound and case.prices:
        target = sum(plan) - 1
        floor = max(0, case.total - (target - 1) * case.worth - 1)
        bounds = bounds_of(case.w, case.h, case.grid, case.blanks, case.prices)
        found = list_layouts(
            case.w, case.h, case.blanks, case.prices, bounds, case.limits.pairs, floor
        )
        for part in found.parts:
            case.add(part)
        _drop_contained(case)
        result = fewest(list(case.pool), case.demand, case.bound, case.limits.nodes)
        if result is None:
            return plan
        better = sum(result[0]) < sum(plan)
        plan = result[0]
        if found.proved and result[1]:
            case.bound = sum(plan)
        if not better:
            break
    return plan


def _drop_contained(case: _Case) -> None:
    """Forget layouts whose blanks another layout holds too; the first of each kind stay."""
    rows = list(case.pool)
    if len(rows) > case.limits.layouts:
        return
    table = np.array(rows, dtype=np.int32)
    order = np.lexsort((*table.T, -table.sum(axis=1)))
    kept = np.zeros_like(table)
    size = 0
    for index in order.tolist():
        if (kept[:size] >= table[index]).all(axis=1).any():
            if index >= len(case.blanks):
                del case.pool[rows[index]]
            continue
        kept[size] = table[index]
        size += 1

"""The fewest sheets for a list of blanks, with a lower bound.

In: a sheet and blanks in whole units, each with its demand in `copies`. Out: a `SheetPlan`: layouts
with how many sheets of each, and the bound that proves them fewest or the gap that is left.

Column generation (Gilmore and Gomory 1965): prices of the blanks from the linear question, then the
layout that is worth most at these prices, until none is worth more than a sheet. The bound is
Farley's (Operations Research 38 (1990) 922-923) in whole numbers: any prices, divided by the worth
of the best layout, bound the sheets from below, however inexact the solver's own arithmetic is.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import islice

from booklet.stock.blank import Blank
from booklet.stock.contained import drop_contained
from booklet.stock.frame import Frame, best_layout, frame_of
from booklet.stock.limited import Filling, fill, list_layouts
from booklet.stock.master import WHOLE, Counts, Prices, fewest
from booklet.stock.outer import bounds_of
from booklet.stock.part import Part
from booklet.stock.recreate import recreated_plans
from booklet.stock.start import Layouts, first_plans
from booklet.stock.tidy import fewer_layouts, less_surplus, rearranged, renamed
from booklet.stock.work import Work

Plan = dict[Counts, int]
"""Sheets of each layout of the pool."""

SHEET = 1_000_000
"""What a sheet is worth in whole-number prices."""

CHOICES = 4
"""A choice may take this part of the steps that are left, and so may the greedy layouts."""

STARTS = 12
"""Quick plans may take one in so many of all steps."""

EMPTIED = 6
"""Emptying sheets may take one in so many of the steps left, of half of all at the least."""

FIRST_PASSES = 4
"""Passes of sheet after sheet before the bound is looked at more closely."""
STEADY = 3
"""Prices start three quarters of the way back to the best known."""


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
    frame: Frame
    limits: Work
    bound: int = 1
    pool: dict[Counts, Part] = field(default_factory=dict)
    prices: list[int] = field(default_factory=list)
    worth: int = 1
    total: int = 0
    spent: int = 0
    asked: tuple[int, tuple[Counts, ...]] = (0, ())

    @property
    def left(self) -> int:
        """The steps that are not spent yet."""
        return max(0, self.limits.total - self.spent)

    @property
    def demand(self) -> list[int]:
        return [blank.copies for blank in self.blanks]

    def counts(self, part: Part) -> Counts:
        """What the layout gives of each kind, no more than is wanted."""
        found = part.counts
        return tuple(min(found[k], blank.copies) for k, blank in enumerate(self.blanks))

    def learn(self, prices: Sequence[int], worth: int) -> int:
        """The bound that prices give whose best layout is worth no more than `worth`."""
        total = sum(d * p for d, p in zip(self.demand, prices, strict=True))
        if total * self.worth > self.total * worth:
            self.prices, self.worth, self.total = list(prices), max(worth, 1), total
        bound = -(-total // max(worth, 1))
        self.bound = max(self.bound, bound)
        return bound

    def blend(self, prices: Sequence[int], steady: int) -> list[int]:
        """The prices moved towards the best known by `steady` parts of STEADY + 1."""
        pairs = zip(prices, self.prices, strict=True)
        return [
            (p * (STEADY + 1 - steady) + steady * SHEET * best // self.worth) // (STEADY + 1)
            for p, best in pairs
        ]

    def add(self, part: Part | None) -> Counts | None:
        """Remember a layout; its counts where it is new."""
        if part is None:
            return None
        counts = self.counts(part)
        if counts in self.pool:
            return None
        self.pool[counts] = part
        return counts


def fewest_sheets(
    w: int, h: int, blanks: Sequence[Blank], limits: Work, strip: int = 0
) -> SheetPlan:
    """The plan for blanks that all can be cut from the sheet and are wanted at least once.

    `strip` is the narrowest strip that can be cut off.
    """
    case = _Case(w, h, blanks, frame_of(w, h, blanks, limits.sums, strip), limits)
    case.learn([b.w * b.h for b in blanks], w * h)
    plan: Plan = {}
    for kind, blank in enumerate(blanks):
        part = _alone(case, kind)
        case.add(part)
        counts = case.counts(part)
        plan[counts] = -(-blank.copies // counts[kind])
    if len(blanks) == 1:
        case.learn([1], best_layout(case.frame, [1])[1])
        return _finished(case, plan)
    if not strip:
        starts = first_plans(w, h, blanks, limits.started)
        plan = _started(case, plan, islice(starts, limits.first_starts))
        if _open(case, plan):
            _generate(case, exact=False)
            plan = _better(case, plan)
        plan = _started(case, plan, islice(starts, limits.starts))
    plan = _better(case, plan)
    if _open(case, plan):
        plan = _better(case, _recreated(case, plan))
    # Where the bound is one too low no pass can reach it, and exact layouts soon raise it; where
    # they take long, passes come on a good plan sooner. So each has its turn, then the rest.
    for passes, share in ((FIRST_PASSES, 4), (limits.passes, 1)):
        if _open(case, plan):
            plan = _better(case, _one_after_another(case, plan, passes, 2))
        if _open(case, plan):
            _generate(case, exact=True, share=share)
            plan = _better(case, plan)
    return _finished(case, _settle(case, plan))


def _started(case: _Case, plan: Plan, starts: Iterable[tuple[Layouts, int]]) -> Plan:
    """The plan, or the best of many quick ones; their layouts go into the pool."""
    until = case.spent + case.limits.total // STARTS
    if not _open(case, plan):
        return plan
    for layouts, spent in starts:
        case.spent += spent
        if layouts:
            made: Plan = {}
            for sheets, part in layouts:
                case.add(part)
                counts = case.counts(part)
                made[counts] = made.get(counts, 0) + sheets
            if sum(made.values()) < sum(plan.values()):
                plan = made
        if not _open(case, plan) or case.spent > until:
            break
    return plan


def _recreated(case: _Case, plan: Plan) -> Plan:
    """The plan, or a better one made by emptying sheets: it knows the narrowest strip too."""
    w, h, strip = case.w, case.h, case.frame.strip
    steps = max(case.left, case.limits.total // 2) // EMPTIED
    found, spent = recreated_plans(w, h, case.blanks, strip, case.bound, steps)
    case.spent += spent
    return _started(case, plan, [([(1, part) for part in parts], 0) for parts in found])


def _open(case: _Case, plan: Plan) -> bool:
    """Whether a plan may take more sheets than needed."""
    return sum(plan.values()) > case.bound


def _finished(case: _Case, plan: Plan) -> SheetPlan:
    """The plainest plan of so many sheets."""
    sheets = sum(plan.values())
    w, h, strip = case.w, case.h, case.frame.strip
    if sheets > 1 and len(case.blanks) > 1:
        _even_share(case, sheets)
        known = [plan.get(counts, 0) for counts in case.pool]
        found = fewer_layouts(w, h, case.pool, known, case.demand, case.limits, strip)
        plan = dict(zip(case.pool, found, strict=True))
    return SheetPlan(_tidy(case, [(n, case.pool[c]) for c, n in plan.items() if n]), case.bound)


def _tidy(case: _Case, layouts: Sequence[tuple[int, Part]]) -> tuple[tuple[int, Part], ...]:
    """Only what is wanted on each sheet, in its plainest arrangement."""
    w, h, strip = case.w, case.h, case.frame.strip
    kept = less_surplus(layouts, case.demand, w, h, strip)
    parts = rearranged(w, h, case.blanks, [part for _, part in kept], case.limits, strip)
    return tuple((sheets, part) for (sheets, _), part in zip(kept, parts, strict=True))


def _even_share(case: _Case, sheets: int) -> None:
    """Add the layout that cuts every sheet alike, where all blanks share out over the sheets."""
    share = [Blank(b.w, b.h, b.turns, -(-b.copies // sheets)) for b in case.blanks]
    areas = [blank.w * blank.h for blank in share]
    bounds = bounds_of(case.frame, share, areas)
    asked = Filling(case.w, case.h, share, areas, bounds)
    case.add(fill(asked, case.limits.quick_pairs).best)


def _alone(case: _Case, kind: int) -> Part:
    """The most of one kind that a sheet holds, as far as it is wanted."""
    part = yield_of(case.w, case.h, case.blanks[kind], case.limits, case.frame.strip)[0]
    assert part is not None
    return renamed(part, [kind])


def yield_of(w: int, h: int, blank: Blank, limits: Work, strip: int = 0) -> tuple[Part | None, int]:
    """The layout with the most copies of a blank, and a bound on their number."""
    frame = frame_of(w, h, [blank], limits.sums, strip)
    if not strip:
        return best_layout(frame, [1])
    bounds = bounds_of(frame, [blank], [1])
    found = fill(Filling(w, h, [blank], [1], bounds), limits.pairs)
    return found.best, found.bound


def _generate(case: _Case, exact: bool, share: int = 1) -> None:
    """Add layouts worth more than a sheet; `share`: one in so many of the steps left.

    Prices leap from round to round. Between them and the prices with the best bound so far they are
    steadier and the layouts found are better (a smoothing after Wentges, International Transactions
    in Operational Research 4 (1997) 151-162). Where that finds nothing of use the steps grow, up to
    the prices themselves; where these find nothing either, the work is done.
    """
    master = Prices(case.demand)
    for known in case.pool:
        master.add(known)
    steady = STEADY
    until = case.spent + case.left // share
    for _ in range(case.limits.rounds):
        if not case.left or case.spent > until:
            return
        fraction, found = master.solve()
        prices = case.blend([max(0, int(price * SHEET)) for price in found], steady)
        parts, worth = (_exact if exact else _loose)(case, prices, 0 if steady else SHEET)
        bound = case.learn(prices, worth)
        if bound >= fraction - WHOLE:
            return
        fresh = [counts for part in parts if (counts := case.add(part)) is not None]
        for layout in fresh:
            master.add(layout)
        gain = max(
            (sum(p * n for p, n in zip(found, row, strict=True)) for row in fresh), default=0
        )
        if gain > 1 + WHOLE:
            steady = STEADY
        elif steady:
            steady -= 1
        else:
            return


def _loose(case: _Case, prices: Sequence[int], floor: int) -> tuple[tuple[Part, ...], int]:
    """The best layout at these prices with any number of copies, and its worth."""
    part, worth = best_layout(case.frame, prices)
    case.spent += case.frame.effort // 2
    return () if part is None else (part,), worth


def _exact(case: _Case, prices: Sequence[int], floor: int) -> tuple[tuple[Part, ...], int]:
    """Layouts worth more than the floor with no more copies than wanted, and what bounds them."""
    bounds = bounds_of(case.frame, case.blanks, prices)
    asked = Filling(case.w, case.h, case.blanks, prices, bounds)
    work = min(case.limits.pairs, case.left)
    found = fill(asked, work, floor=floor, others=case.limits.others)
    case.spent += case.frame.effort + found.spent
    return (() if found.best is None else (found.best, *found.parts)), found.bound


def _better(case: _Case, plan: Plan) -> Plan:
    """The plan, or one of fewer sheets from the layouts of the pool."""
    return _chosen(case, plan)[0]


def _chosen(case: _Case, plan: Plan) -> tuple[Plan, bool]:
    """The same, for a part of the steps that are left, and whether the pool holds none better."""
    asked = (case.bound, tuple(case.pool))
    if asked == case.asked:
        return plan, False
    case.asked = asked
    node = case.limits.node_steps * len(case.pool)
    nodes = max(1, min(case.limits.nodes, case.left // CHOICES // node))
    choice = fewest(list(case.pool), case.demand, case.bound, nodes)
    case.spent += node * (nodes if choice is None else choice.nodes)
    if choice is None or sum(choice.sheets) >= sum(plan.values()):
        return plan, choice is not None and choice.proved
    pairs = zip(case.pool, choice.sheets, strict=True)
    return {counts: sheets for counts, sheets in pairs if sheets}, choice.proved


def _one_after_another(case: _Case, plan: Plan, passes: int, part: int) -> Plan:
    """Fill sheet after sheet with what is still wanted; the plan, or a better one met so.

    Each pass puts its layouts into the pool. What came with much waste is worth more in the next
    pass (sequential value correction). Takes no more than that part of the steps left.
    """
    areas = [blank.w * blank.h for blank in case.blanks]
    sheet = case.w * case.h
    # By its price a sheet is worth as much as by its area; no blank is worth more than a sheet.
    values = [a + sheet * p // case.worth for a, p in zip(areas, case.prices, strict=True)]
    until = case.spent + case.left // part
    for _ in range(passes):
        if not _open(case, plan) or case.spent > until:
            break
        made = _filled(case, values, until)
        if made is None:
            break
        if sum(made.values()) < sum(plan.values()):
            plan = made
        for counts in made:
            used = sum(a * n for a, n in zip(areas, counts, strict=True))
            for kind, count in enumerate(counts):
                if count:
                    # A little more for large blanks: they are hard to place late.
                    fresh = 2 * areas[kind] * (8 * sheet + areas[kind]) // (8 * used)
                    values[kind] = (3 * values[kind] + fresh) // 4
    return plan


def _filled(case: _Case, values: Sequence[int], until: int) -> Plan | None:
    """One plan, sheet after sheet; None where it takes too many different layouts or steps."""
    left = case.demand
    made: Plan = {}
    for _ in range(case.limits.greedy):
        if case.spent > until:
            return None
        blanks = [Blank(b.w, b.h, b.turns, n) for b, n in zip(case.blanks, left, strict=True)]
        bounds = bounds_of(case.frame, blanks, values)
        asked = Filling(case.w, case.h, blanks, values, bounds)
        found = fill(asked, case.limits.quick_pairs)
        case.spent += case.frame.effort + found.spent
        if found.best is None:
            return None
        case.add(found.best)
        counts = case.counts(found.best)
        times = min(rest // n for rest, n in zip(left, counts, strict=True) if n)
        left = [rest - times * n for rest, n in zip(left, counts, strict=True)]
        made[counts] = made.get(counts, 0) + times
        if not any(left):
            return made
    return None


def _settle(case: _Case, plan: Plan) -> Plan:
    """Close the gap: list every layout that a better plan could use, and choose among all.

    With prices p and best worth W, a plan of K sheets has total worth at least the demand's, and no
    sheet above W: each of its sheets is worth at least demand's worth - (K - 1) W. Copies beyond
    the demand may be added freely, so layouts that others contain are left out.
    """
    limits = case.limits
    while _open(case, plan) and case.left:
        target = sum(plan.values()) - 1
        floor = max(0, case.total - (target - 1) * case.worth - 1)
        bounds = bounds_of(case.frame, case.blanks, case.prices)
        asked = Filling(case.w, case.h, case.blanks, case.prices, bounds)
        work = min(limits.pairs, case.left)
        found = list_layouts(asked, work, floor, limits.layouts, limits.hopeful)
        case.spent += case.frame.effort + found.spent
        for part in found.parts:
            case.add(part)
        drop_contained(case.pool, plan, limits.layouts)
        better, proved = _chosen(case, plan)
        if found.proved and proved:
            case.bound = sum(better.values())
        if better is plan:
            break
        plan = better
    return plan

"""Fewest sheets and best layouts against other ways to find them, on small cases made at random."""

from __future__ import annotations

import random
from fractions import Fraction
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from booklet.stock.blank import Blank, sums
from booklet.stock.cutting import Wanted, plan_stock
from booklet.stock.edges import Edges
from booklet.stock.fewest import fewest_sheets, yield_of
from booklet.stock.frame import frame_of
from booklet.stock.limited import Filling, fill, list_layouts
from booklet.stock.outer import bounds_of
from booklet.stock.part import cuttable
from booklet.stock.work import Work
from tests.stock.cut_model import fewest_by_cp_sat
from tests.stock.cutting import check_plan

Kinds = tuple[tuple[int, int, int], ...]


def kinds_at_random(seed: int, sheet: tuple[int, int], most: int) -> Kinds:
    """Blanks that fit the sheet as they are."""
    chance = random.Random(seed)
    count = chance.randint(1, most)
    return tuple(
        (chance.randint(1, sheet[0]), chance.randint(1, sheet[1]), chance.randint(1, 4))
        for _ in range(count)
    )


@pytest.mark.parametrize("seed", range(24))
def test_sheet_counts_agree_with_cp_sat(seed: int) -> None:
    """OR-Tools CP-SAT, cuts at every whole number, finds as many sheets as the planner proves."""
    sheet = (9, 7) if seed % 2 else (8, 8)
    items, turning = kinds_at_random(seed, sheet, 5), seed % 3 == 0
    answer = fewest_by_cp_sat(sheet, items, turning, 30, every=True)
    assert answer.proved
    plan = fewest_sheets(*sheet, [Blank(w, h, turning, n) for w, h, n in items], Work())
    assert (plan.needed, plan.bound) == (answer.sheets, answer.sheets)


def best_by_trying(
    w: int, h: int, blanks: tuple[Blank, ...], values: tuple[int, ...], strip: int
) -> int:
    """The greatest value by trying every whole-number cut and every way to share the copies."""

    @cache
    def layouts(w: int, h: int) -> frozenset[tuple[int, ...]]:
        found = {tuple(0 for _ in blanks)}
        for kind, blank in enumerate(blanks):
            if blank.copies and any((a, b) == (w, h) for a, b, _ in blank.ways()):
                found.add(tuple(int(k == kind) for k in range(len(blanks))))
        parts = [((q, h), (w - q, h)) for q in range(strip, w // 2 + 1)]
        parts += [((w, q), (w, h - q)) for q in range(strip, h // 2 + 1)]
        for first, second in parts:
            for one in layouts(*first):
                for other in layouts(*second):
                    both = tuple(a + b for a, b in zip(one, other, strict=True))
                    if all(n <= blank.copies for n, blank in zip(both, blanks, strict=True)):
                        found.add(both)
        return frozenset(found)

    return max(sum(n * v for n, v in zip(one, values, strict=True)) for one in layouts(w, h))


@pytest.mark.parametrize("strip", [0, 2, 3])
@pytest.mark.parametrize("seed", range(24))
def test_limited_copies_agree_with_trying_everything(seed: int, strip: int) -> None:
    """Any values, few copies, turned or not, narrow strips or none: exact, and it says so."""
    chance = random.Random(seed)
    w, h = chance.randint(5, 9), chance.randint(5, 8)
    rows = kinds_at_random(seed + 1000, (w, h), 3)
    least = max(1, strip)
    blanks = tuple(
        Blank(max(least, a), max(least, b), seed % 2 == 0, min(n, 2)) for a, b, n in rows
    )
    values = tuple(chance.randint(1, 40) for _ in rows)
    bounds = bounds_of(frame_of(w, h, blanks, 600, strip), blanks, values)
    found = fill(Filling(w, h, blanks, values, bounds), 10**7)
    assert found.proved
    assert found.value == best_by_trying(w, h, blanks, values, least)
    if found.best is not None:
        assert found.value == sum(values[k] * n for k, n in found.best.counts.items())
        assert all(found.best.counts[k] <= blank.copies for k, blank in enumerate(blanks))
        assert cuttable(found.best, w, h, strip)


MARGINS = st.sampled_from([Fraction(0), Fraction(1, 4)])


def test_equal_sides_of_different_blanks_add_up() -> None:
    """Three blanks of one width, one of each: two and three of them lie side by side."""
    assert sums(9, [(3, 1), (3, 1), (3, 1)], 100) == [0, 3, 6, 9]
    blanks = [Blank(3, tall, False, 1) for tall in (7, 6, 5)]
    plan = fewest_sheets(9, 7, blanks, Work())
    assert (plan.needed, plan.bound) == (1, 1)


SIDES = st.fractions(min_value=Fraction(1, 2), max_value=8, max_denominator=16)


@st.composite
def orders(draw: st.DrawFn) -> tuple[list[Wanted], int, Edges]:
    """A project's pieces for one stock, the number of kits, and what the trimmer asks for."""
    wanted = [
        Wanted(
            f"p{number}",
            (draw(SIDES), draw(SIDES)),
            draw(st.integers(1, 3)),
            draw(st.booleans()),
            draw(st.booleans()),
        )
        for number in range(draw(st.integers(1, 4)))
    ]
    wanted = [
        Wanted(o.id, o.size, o.count, o.turns and not o.must_turn, o.must_turn) for o in wanted
    ]
    return wanted, draw(st.integers(0, 30)), Edges(draw(MARGINS), draw(MARGINS))


@settings(max_examples=25, deadline=None)
@given(orders())
def test_every_plan_can_be_cut_as_it_is_written(order: tuple[list[Wanted], int, Edges]) -> None:
    """Inside the sheet, no overlap, demand met, parted by the cuts, and the same plan twice."""
    wanted, kits, edges = order
    sheet = (Fraction(17, 2), Fraction(11))
    plan = plan_stock("paper", sheet, wanted, kits, Work(), edges)
    sizes = {o.id: o.size[::-1] if o.must_turn else o.size for o in wanted}
    check_plan(plan, sizes)
    for cut in (cut for layout in plan.layouts for cut in layout.cuts[4 if edges.trim else 0 :]):
        along = cut.size[0] if cut.upright else cut.size[1]
        assert min(cut.fence, along - cut.times * cut.fence) >= edges.strip
    assert plan == plan_stock("paper", sheet, wanted, kits, Work(), edges)
    for one in wanted:
        if not one.turns:
            lying = [p for layout in plan.layouts for p in layout.placements if p.piece == one.id]
            assert all(placed.turned == one.must_turn for placed in lying)


@pytest.mark.parametrize("seed", range(12))
def test_too_many_sums_still_give_a_plan_and_a_true_bound(seed: int) -> None:
    """In coarse steps the plan can be cut, and bound and plan enclose the exact number."""
    sheet = (97, 73)
    items = kinds_at_random(seed, (60, 60), 4)
    blanks = [Blank(w + 8, h + 8, True, n) for w, h, n in items]
    exact = fewest_sheets(*sheet, blanks, Work())
    coarse = fewest_sheets(*sheet, blanks, Work(sums=20))
    assert coarse.bound <= exact.needed <= coarse.needed
    for one in blanks:
        part, bound = yield_of(*sheet, one, Work(sums=20))
        best, most = yield_of(*sheet, one, Work())
        assert part is not None and best is not None
        assert part.counts[0] <= best.counts[0] == most <= bound


@pytest.mark.parametrize("makers", [400, 100_000])
def test_the_work_is_bounded_and_the_gap_is_told(makers: int) -> None:
    """24 kinds with few steps: the plan holds all blanks, and its bound stays below what it takes.

    The steps do not grow with the makers, and the same steps give the same plan.
    """
    chance = random.Random(4)
    sides = [(chance.randint(12, 96), chance.randint(12, 96)) for _ in range(24)]
    wanted = [
        Wanted(f"p{k}", (Fraction(w), Fraction(h)), 1 + k % 3, True)
        for k, (w, h) in enumerate(sides)
    ]
    few = Work(total=300_000, pairs=100_000, tidied=50_000, plain_nodes=5)
    sheet = Fraction(136), Fraction(176)
    plan = plan_stock("paper", sheet, wanted, makers, few)
    check_plan(plan, {one.id: one.size for one in wanted})
    assert 0 < plan.gap < plan.needed // 4
    assert plan == plan_stock("paper", sheet, wanted, makers, few)


def test_a_list_of_layouts_that_is_too_long_is_given_up() -> None:
    """Some of the most valuable are handed over, and nothing is said to be proved."""
    blanks = [Blank(w, 1, False, 9) for w in range(1, 9)]
    areas = [blank.w for blank in blanks]
    bounds = bounds_of(frame_of(9, 9, blanks, 600), blanks, areas)
    found = list_layouts(Filling(9, 9, blanks, areas, bounds), 10**7, 40, most=50, hopeful=7)
    assert (len(found.parts), found.proved) == (7, False)
    worth = [sum(areas[kind] * n for kind, n in part.counts.items()) for part in found.parts]
    assert worth == sorted(worth, reverse=True) and worth[-1] > 40

"""First plans, blank by blank: they hold, they repeat, and a long search that fails keeps them."""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import replace
from fractions import Fraction

import pytest

from booklet.stock.blank import Blank
from booklet.stock.cutting import Wanted, plan_stock
from booklet.stock.edges import Edges
from booklet.stock.fewest import fewest_sheets
from booklet.stock.part import Part, cuttable, spots
from booklet.stock.recreate import recreated_plans
from booklet.stock.work import Work
from tests.stock.cutting import check_plan, separable


def many_kinds(seed: int, least: int, turns: bool) -> list[Blank]:
    """Sixteen kinds for a sheet of 100 x 80."""
    chance = random.Random(seed)
    return [
        Blank(chance.randint(least, 70), chance.randint(least, 60), turns, chance.randint(1, 3))
        for _ in range(16)
    ]


def check_sheet(part: Part, blanks: list[Blank], w: int, h: int, strip: int) -> None:
    """Inside the sheet, apart from each other, parted by edge-to-edge cuts, turned where free."""
    assert cuttable(part, w, h, strip)
    laid = [spot for spot in spots(part, 0, 0, w, h, strip) if spot.kind >= 0]
    boxes = [tuple(map(Fraction, (s.x, s.y, s.x + s.w, s.y + s.h))) for s in laid]
    for spot in laid:
        assert (spot.w, spot.h, spot.turned) in blanks[spot.kind].ways()
        assert spot.x >= 0 and spot.y >= 0 and spot.x + spot.w <= w and spot.y + spot.h <= h
    for at, (x0, y0, x1, y1) in enumerate(boxes):
        for a0, b0, a1, b1 in boxes[at + 1 :]:
            assert x1 <= a0 or a1 <= x0 or y1 <= b0 or b1 <= y0
    assert separable([(a, b, c, d) for a, b, c, d in boxes])


@pytest.mark.parametrize("strip", [0, 3])
@pytest.mark.parametrize("seed", range(8))
def test_a_first_plan_cuts_every_copy_once(seed: int, strip: int) -> None:
    """Whole plans, each of fewer sheets than the one before, the same when asked again."""
    blanks = many_kinds(seed, 5, seed % 2 == 0)
    plans, spent = recreated_plans(100, 80, blanks, strip, 1, 60_000)
    assert plans and spent > 0
    assert [len(plan) for plan in plans] == sorted({len(plan) for plan in plans}, reverse=True)
    for plan in plans:
        got: Counter[int] = Counter()
        for part in plan:
            check_sheet(part, blanks, 100, 80, strip)
            got.update(part.counts)
        assert got == {kind: blank.copies for kind, blank in enumerate(blanks)}
    assert recreated_plans(100, 80, blanks, strip, 1, 60_000) == (plans, spent)


def test_emptied_sheets_make_the_plan_better() -> None:
    """The start alone is poor here: with more steps fewer sheets do."""
    better = 0
    for seed in range(8):
        blanks = many_kinds(seed, 5, True)
        plans, _ = recreated_plans(100, 80, blanks, 0, 1, 400_000)
        better += len(plans) > 1
    assert better


def test_a_list_too_long_for_its_steps_has_no_first_plan() -> None:
    """It says so at once instead of spending them."""
    assert recreated_plans(100, 80, [Blank(3, 2, True, 10_000)], 0, 1, 5_000) == ((), 0)


@pytest.mark.parametrize("strip", [0, 3])
def test_few_steps_still_end_near_the_fewest(strip: int) -> None:
    """Forty kinds, one of each, too few steps for the long search: no wild number of sheets."""
    chance = random.Random(5)
    blanks = [Blank(chance.randint(20, 45), chance.randint(20, 45), False, 1) for _ in range(40)]
    plan = fewest_sheets(100, 100, blanks, replace(Work(), total=400_000), strip)
    area = sum(blank.w * blank.h for blank in blanks)
    assert plan.bound <= plan.needed <= -(-area * 3 // 20_000)
    got: Counter[int] = Counter()
    for sheets, part in plan.layouts:
        check_sheet(part, blanks, 100, 100, strip)
        got.update({kind: count * sheets for kind, count in part.counts.items()})
    assert all(got[kind] >= 1 for kind in range(40))


def test_a_stock_with_a_trimmed_edge_and_a_narrowest_strip_keeps_them() -> None:
    """The plan of a project with few steps is replayed at the trimmer, cut by cut."""
    blanks = many_kinds(3, 8, True)
    wanted = [
        Wanted(f"p{k}", (Fraction(b.w), Fraction(b.h)), b.copies, k % 2 == 0)
        for k, b in enumerate(blanks)
    ]
    edges = Edges(Fraction(3), Fraction(6))
    sheet = (Fraction(106), Fraction(86))
    plan = plan_stock("s", sheet, wanted, 1, replace(Work(), total=400_000), edges)
    check_plan(plan, {one.id: one.size for one in wanted})


def test_a_narrowest_strip_costs_no_sheets_that_emptying_can_spare() -> None:
    """Thirty kinds that four sheets hold: filled one by one, each for itself, they took six."""
    chance = random.Random(5)
    blanks = [Blank(chance.randint(20, 45), chance.randint(20, 45), True, 1) for _ in range(30)]
    plan = fewest_sheets(100, 100, blanks, Work(), 3)
    assert (plan.needed, plan.bound) == (4, 4)
    for _, part in plan.layouts:
        check_sheet(part, blanks, 100, 100, 3)

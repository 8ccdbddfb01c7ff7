"""Published cutting cases, by the planner that projects use: same sheet, same blanks, same number.

The cases and their sources stand in cutting.toml beside this file.
"""

from __future__ import annotations

import random
import tomllib
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from booklet.stock.blank import Blank
from booklet.stock.cutting import Wanted, plan_stock
from booklet.stock.frame import best_layout, frame_of
from booklet.stock.limited import Filling, fill
from booklet.stock.outer import bounds_of
from booklet.stock.part import Part
from booklet.stock.work import Work
from tests.stock.cutting import Box, check_plan, separable

CASES = tomllib.loads(Path(__file__).with_name("cutting.toml").read_text("utf-8"))
PLENTY = 10**6


def variants(table: str, *names: str) -> list[Any]:
    """Each case with each variant that has a published value."""
    return [
        pytest.param(case, variant, id=f"{case['name']}-{variant}")
        for case in CASES[table]
        for variant in names
        if variant in case
    ]


@pytest.mark.parametrize(("case", "variant"), variants("yield", "fixed", "turned"))
def test_the_yield_of_a_sheet(case: dict[str, Any], variant: str) -> None:
    """Most area from one sheet, any number of copies: reached and proved."""
    blanks = [Blank(w, h, variant == "turned", PLENTY) for w, h in case["items"]]
    areas = [blank.w * blank.h for blank in blanks]
    w, h = case["sheet"]
    part, bound = best_layout(frame_of(w, h, blanks, Work().sums), areas)
    assert part is not None
    assert sum(areas[kind] * n for kind, n in part.counts.items()) == bound == case[variant]


@pytest.mark.parametrize(("case", "variant"), variants("fill", "by_value", "by_area"))
def test_filling_one_sheet(case: dict[str, Any], variant: str) -> None:
    """Most value from one sheet, so many copies of each: reached and proved."""
    w, h = case["sheet"]
    blanks = [Blank(a, b, False, n) for a, b, _, n in case["items"]]
    given = [value for _, _, value, _ in case["items"]]
    values = given if variant == "by_value" else [blank.w * blank.h for blank in blanks]
    bounds = bounds_of(frame_of(w, h, blanks, Work().sums), blanks, values)
    found = fill(Filling(w, h, blanks, values, bounds), Work().pairs)
    assert (found.value, found.proved) == (case[variant], True)
    check_tree(found.best, w, h, blanks)


def check_tree(part: Part | None, w: int, h: int, blanks: list[Blank]) -> None:
    """The layout fits the sheet with no more copies than there are."""
    assert part is not None and part.w <= w and part.h <= h
    assert all(part.counts[kind] <= blank.copies for kind, blank in enumerate(blanks))


@pytest.mark.parametrize(("case", "variant"), variants("sheets", "fixed", "turned"))
def test_the_fewest_sheets(case: dict[str, Any], variant: str) -> None:
    """Fewest equal sheets for a list: planned, and proved by the bound; the plan can be cut."""
    wanted = [
        Wanted(f"p{k}", (Fraction(w), Fraction(h)), n, variant == "turned")
        for k, (w, h, n) in enumerate(case["items"])
    ]
    wide, tall = case["sheet"]
    plan = plan_stock("paper", (Fraction(wide), Fraction(tall)), wanted, 1, Work())
    assert (plan.needed, plan.bound) == (case[variant], case[variant])
    check_plan(plan, {one.id: one.size for one in wanted})


# E. Hopper, B. C. H. Turton, European Journal of Operational Research 128 (2001) 34-57, first
# category, second problem: its pieces, as given, tile the 20 x 20 sheet, but not edge to edge.
TILING = (
    *((4, 1, 2), (4, 5, 1), (9, 4, 1), (3, 5, 1), (3, 9, 1), (1, 4, 1), (5, 3, 1), (5, 5, 1)),
    *((7, 2, 2), (9, 3, 1), (3, 13, 1), (2, 8, 1), (15, 4, 1), (5, 4, 1), (10, 6, 1)),
)


def test_what_tiles_a_sheet_need_not_come_out_of_a_trimmer() -> None:
    """Pieces that fill a sheet without gaps cannot all be cut from it unless some are turned."""
    assert sum(w * h * n for w, h, n in TILING) == 400
    for turns, value in ((False, 0), (True, 400)):
        blanks = [Blank(w, h, turns, n) for w, h, n in TILING]
        areas = [blank.w * blank.h for blank in blanks]
        bounds = bounds_of(frame_of(20, 20, blanks, Work().sums), blanks, areas)
        found = fill(Filling(20, 20, blanks, areas, bounds), Work().pairs, floor=399)
        assert (found.value, found.proved) == (value, True)


# J. O. Berkey, P. Y. Wang, Journal of the Operational Research Society 38 (1987) 423-429, class 3,
# 20 blanks, number 5: 4 sheets of 40 x 40 (H. Becker, PhD thesis, UFRGS, 2022).
FOUR_SHEETS = (
    *((34, 13), (5, 32), (6, 13), (32, 33), (22, 6), (29, 34), (15, 20), (23, 17), (2, 23)),
    *((18, 9), (9, 31), (29, 14), (5, 35), (14, 11), (6, 6), (12, 29), (4, 28), (3, 1)),
    *((3, 24), (14, 13)),
)
# Prices at which the shortcut failed.
PRICES = (
    *(370190, 82342, 2151, 902501, 3641, 805918, 185236, 346232, 1268, 92189, 171457, 363776),
    *(81872, 83661, 993, 378388, 80489, 82, 1986, 86921),
)


@pytest.mark.parametrize("seed", range(4))
def test_no_rule_rules_out_the_best_sheet(seed: int) -> None:
    """Where 4 sheets hold all, one of them is worth a quarter of all, whatever blanks are worth.

    A shortcut that dropped builds whose blanks others hold too found less, and proved 5 sheets.
    """
    blanks = [Blank(w, h, False, 1) for w, h in FOUR_SHEETS]
    chance = random.Random(seed)
    values = [
        PRICES[k] if seed == 0 else chance.randint(1, w * h) for k, (w, h) in enumerate(FOUR_SHEETS)
    ]
    bounds = bounds_of(frame_of(40, 40, blanks, Work().sums), blanks, values)
    found = fill(Filling(40, 40, blanks, values, bounds), Work().pairs)
    assert 4 * found.bound >= sum(values)
    assert not found.proved or found.bound == found.value


def test_the_check_itself_sees_what_cannot_be_cut() -> None:
    """Five boxes in a whirl: no cut goes from edge to edge without hurting one."""
    whirl: list[tuple[int, int, int, int]] = [
        *((0, 0, 2, 1), (2, 0, 3, 2), (1, 2, 3, 3), (0, 1, 1, 3), (1, 1, 2, 2))
    ]
    boxes: list[Box] = [
        (Fraction(a), Fraction(b), Fraction(c), Fraction(d)) for a, b, c, d in whirl
    ]
    assert not separable(boxes)
    assert separable(boxes[:4:3])

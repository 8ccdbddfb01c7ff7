"""Cutting plans: trade cases, demand, direction; every plan can be cut as it is written."""

from __future__ import annotations

from fractions import Fraction

from booklet.stock.cutting import Wanted, plan_stock
from booklet.stock.plan_value import StockPlan
from booklet.stock.work import Work
from tests.stock.cutting import check_plan

INCH = Fraction(254, 10)


def plan_in(
    sheet: tuple[str, str], rows: list[tuple[str, str, str, int]], makers: int, turns: bool = True
) -> StockPlan:
    """A checked plan of blanks in inches: (id, wide, tall, count)."""
    wanted = [
        Wanted(name, (Fraction(wide) * INCH, Fraction(tall) * INCH), count, turns)
        for name, wide, tall, count in rows
    ]
    size = Fraction(sheet[0]) * INCH, Fraction(sheet[1]) * INCH
    plan = plan_stock("paper", size, wanted, makers, Work())
    check_plan(plan, {one.id: one.size for one in wanted})
    return plan


def test_two_blanks_from_one_letter_sheet() -> None:
    """Two of 5 1/8 x 7 1/8 in from one sheet of 8 1/2 x 11 in (common practice, no source)."""
    plan = plan_in(("17/2", "11"), [("card", "41/8", "57/8", 1)], 2)
    assert plan.per_sheet == {"card": 2}
    assert (plan.needed, plan.bound, plan.proved) == (1, 1, True)
    assert all(placed.turned for placed in plan.layouts[0].placements)


def test_two_sets_of_mats_from_one_print() -> None:
    """Two sets of mats, same side up, from one 6 x 6 in sheet (common practice, no source)."""
    rows = [("small", "13/8", "3", 2), ("large", "5/2", "3", 1)]
    plan = plan_in(("6", "6"), rows, 2, turns=False)
    assert (plan.needed, plan.proved) == (1, True)
    assert plan.layouts[0].counts() == {"small": 4, "large": 2}
    assert not any(placed.turned for placed in plan.layouts[0].placements)


def test_a_class_needs_no_more_sheets_than_it_must() -> None:
    """Two on a sheet: 25 makers take 13 sheets, all cut alike."""
    plan = plan_in(("17/2", "11"), [("card", "41/8", "57/8", 1)], 25)
    assert (plan.needed, plan.proved, len(plan.layouts)) == (13, True, 1)


def test_what_does_not_fit_is_left_out_and_the_rest_is_planned() -> None:
    """A blank larger than the sheet is named; the other one has its plan."""
    plan = plan_in(("6", "6"), [("big", "7", "2", 1), ("small", "2", "2", 1)], 4, turns=False)
    assert plan.unplaced == ("big",)
    assert plan.per_sheet == {"big": 0, "small": 9}
    assert plan.needed == 1


def test_no_makers_need_no_sheets() -> None:
    """Nothing is wanted, nothing is cut; the yield is still known."""
    plan = plan_in(("6", "6"), [("small", "2", "2", 1)], 0)
    assert (plan.needed, plan.bound, plan.proved, plan.layouts) == (0, 0, True, ())
    assert plan.per_sheet == {"small": 9}


def test_a_hundred_thousand_makers_are_planned_like_ten() -> None:
    """The work depends on the kinds, not on how many are made."""
    rows = [("small", "13/8", "3", 2), ("large", "5/2", "3", 1)]
    plan = plan_in(("6", "6"), rows, 100_000, turns=False)
    assert (plan.needed, plan.proved) == (50_000, True)


def test_no_sheet_carries_what_nobody_wants() -> None:
    """Nine fit, one is wanted: one is cut, and the rest of the sheet is left."""
    plan = plan_in(("6", "6"), [("small", "2", "2", 1)], 1)
    assert [layout.counts() for layout in plan.layouts] == [{"small": 1}]
    assert max(left.w * left.h for left in plan.layouts[0].leftovers) == 24 * INCH * INCH


def test_sides_without_a_common_measure_are_planned_exactly() -> None:
    """Sides from roots have areas of 52 bits; times a demand of 1,000 million no 64 bits hold them.

    Four of 104 x 147 mm come from one of 210 x 297 mm, so a quarter of the demand is needed.
    """
    sides = Fraction(104_123_456_789, 10**9), Fraction(147_987_654_321, 10**9)
    sheet = Fraction(210), Fraction(297)
    plan = plan_stock("paper", sheet, [Wanted("card", sides, 10_000, True)], 100_000, Work())
    assert (plan.per_sheet, plan.needed, plan.proved) == ({"card": 4}, 250_000_000, True)
    pair = [Wanted("card", sides, 3, True), Wanted("tag", (sides[0] / 2, sides[1] / 3), 7, True)]
    # 3 x 6 + 7 sixths of a card, 24 of which go on a sheet.
    assert plan_stock("paper", sheet, pair, 24, Work()).needed == 25
    assert plan_stock("paper", sheet, pair, 24, Work()).proved


def test_three_blanks_with_fine_sides_leave_no_room_in_64_bits() -> None:
    """A search of areas and prices together: once it multiplied areas of 50 bits."""
    sides = (("172.0000001", "137.9999999"), ("100", "120"), ("90", "110"))
    wanted = [
        Wanted(str(n), (Fraction(wide), Fraction(tall)), 1, True)
        for n, (wide, tall) in enumerate(sides)
    ]
    plan = plan_stock("paper", (Fraction(210), Fraction(297)), wanted, 1, Work())
    assert (plan.needed, plan.unplaced) == (1, ())

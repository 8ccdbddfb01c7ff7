"""Instructions at the trimmer: counted for all sheets, the rest named."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

from booklet.measure.rounding import Printer
from booklet.measure.units import INCH
from booklet.stages import Asked, check_file
from booklet.stock.instruction import instructions, sheets_words
from booklet.stock.plan_value import Cut, Layout

PRINTER = Printer("in", INCH / 8)


def inches(wide: float, tall: float) -> tuple[Fraction, Fraction]:
    """A size in mm."""
    return Fraction(wide) * INCH, Fraction(tall) * INCH


def said(*cuts: Cut, sheets: int = 12) -> list[tuple[str, str, str, str]]:
    """Turn, the edge at the fence, what is cut, what it gives; with plain spaces."""
    layout = Layout(sheets, (), cuts, ())
    return [
        (one.turn, one.edge.replace("\u00a0", " "), one.cut, one.gives.replace("\u00a0", " "))
        for one in instructions(layout, {"card": "Card", "tag": "Tag"}, PRINTER)
    ]


def test_the_trade_case_by_hand() -> None:
    """12 letter sheets: two strips of 5 1/8 each, 24 strips turned and cut at 7 1/8."""
    fence = Fraction(41, 8) * INCH, Fraction(57, 8) * INCH
    rows = said(
        Cut(1, "A", inches(8.5, 11), False, 0, fence[0], 2, 1, "B", ""),
        Cut(2, "B", inches(8.5, 5.125), True, 1, fence[1], 1, 2, "card", ""),
    )
    assert rows == [
        (
            *("", "8½ in edge", "12 sheets, 2 times"),
            "stack B: 24 of 8½ × 5⅛ in; left over 8½ × ¾ in",
        ),
        ("turn", "5⅛ in edge", "stack B (24)", "24 × Card; left over 1⅜ × 5⅛ in"),
    ]


def test_what_remains_and_is_a_piece_too_is_counted_in() -> None:
    """One cut through the middle makes two tags; with times 2 it makes three."""
    middle = Cut(1, "A", inches(6, 3), True, 0, 3 * INCH, 1, 1, "tag", "tag")
    assert said(middle, sheets=5) == [("", "3 in edge", "5 sheets", "10 × Tag")]
    thirds = Cut(1, "A", inches(9, 3), True, 0, 3 * INCH, 2, 1, "tag", "tag")
    assert said(thirds, sheets=1) == [("", "3 in edge", "1 sheet, 2 times", "3 × Tag")]


def test_a_stack_that_is_cut_again_is_said_to_stay() -> None:
    """The rest keeps its letter and has a new size; of its next cut the edge is the same."""
    rows = said(
        Cut(1, "A", inches(8, 4), True, 0, 5 * INCH, 1, 1, "card", "A"),
        Cut(2, "A", inches(3, 4), True, 0, 2 * INCH, 1, 1, "tag", "card"),
        sheets=3,
    )
    assert rows[0] == ("", "4 in edge", "3 sheets", "3 × Card; the rest is stack A: 3 of 3 × 4 in")
    assert rows[1] == ("", "", "stack A (3)", "3 × Tag; 3 × Card")


def test_every_blank_of_a_plan_is_given_by_its_instructions() -> None:
    """Summed over the settings of the demos, the pieces named are those that are laid out."""
    for path in sorted((Path(__file__).parents[2] / "projects").glob("*/*.toml")):
        model, _ = check_file(path, Asked(students=24))
        assert model is not None
        for plan in model.stock_plans:
            for layout in plan.layouts:
                given: dict[str, int] = {}
                for one in instructions(layout, {n: f"<{n}>" for n in model.names}, model.printer):
                    for part in one.gives.split("; "):
                        count, times, name = part.partition(" × <")
                        if times:
                            name = name.rstrip(">")
                            given[name] = given.get(name, 0) + int(count)
                laid = {name: n * layout.sheets for name, n in layout.counts().items()}
                assert given == laid or not layout.cuts


def test_a_plan_says_how_sure_it_is() -> None:
    """Proved or with the gap that is left."""
    model, _ = check_file(
        Path(__file__).parents[2] / "projects/seed-box/seed-box.toml", Asked(students=3)
    )
    assert model is not None
    assert sheets_words(model.stock_plans[0]) == "5 sheets, no plan takes fewer"

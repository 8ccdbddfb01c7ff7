"""Sheets by name or by sides, and blanks on them."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from booklet.measure.resolve import Scope
from booklet.problem import Place, Problem, Written
from booklet.read.stock import Stock
from booklet.stock.papers import Grade, NamedSheet, grades, sheets
from booklet.stock.sheet import fits, named_sheet, sheet_size

PLACE = Place("tag.toml", 8, 9)
INCH = Fraction(127, 5)
SCOPE = Scope(units="in", ruler=INCH / 16, measures={})


def stock(sheet: Any) -> Stock:
    """A stock with that sheet."""
    return Stock(id=Written("card", PLACE), name="Card", sheet=sheet, place=PLACE)


def test_a_named_sheet_comes_as_named() -> None:
    """Letter is 8 1/2 by 11 in exactly, upright."""
    found: list[Problem] = []
    assert sheet_size(stock(Written("letter", PLACE)), SCOPE, found) == (
        Fraction(17, 2) * INCH,
        11 * INCH,
    )
    assert found == []


def test_a_sheet_given_by_its_sides_stays_as_given() -> None:
    """The order of the sides is the maker's; formulas and fractions are read exactly."""
    sides = (Written("12 1/2", PLACE), Written("9", PLACE))
    found: list[Problem] = []
    assert sheet_size(stock(sides), SCOPE, found) == (Fraction(25, 2) * INCH, 9 * INCH)
    assert found == []


def test_a_sheet_without_extent_is_refused() -> None:
    """A side of nought is a problem of the length, not a sheet."""
    found: list[Problem] = []
    assert sheet_size(stock((Written("0", PLACE), Written("9", PLACE))), SCOPE, found) is None
    assert found


@pytest.mark.parametrize("name", ["12x12", "12 x 12", "12×12", '12x12"', "12 X 12 in"])
def test_a_square_is_known_in_any_spelling(name: str) -> None:
    """Scrapbook sheets are written in many ways."""
    found: list[Problem] = []
    assert named_sheet(Written(name, PLACE), found) == (12 * INCH, 12 * INCH)
    assert found == []


def test_an_unknown_sheet_is_named_with_the_nearest() -> None:
    """The problem shows the name, its place, the nearest name, and how to give both sides."""
    found: list[Problem] = []
    assert named_sheet(Written("lettre", PLACE), found) is None
    (problem,) = found
    assert problem.code == "unknown-sheet"
    assert problem.place == PLACE
    assert '"lettre"' in problem.message
    assert 'Did you mean "letter"?' in problem.help
    assert 'sheet = ["9 in", "12 in"]' in problem.help
    assert problem.severity == "error"


@pytest.mark.parametrize(
    ("blank", "sheet", "may_turn", "expected"),
    [
        ((10, 10), (10, 10), False, "as_is"),
        ((9, 12), (12, 9), False, None),
        ((9, 12), (12, 9), True, "turned"),
        ((8, 8), (9, 12), True, "as_is"),
        ((13, 9), (12, 9), True, None),
        ((Fraction(10**9 + 1, 10**8), 1), (10, 10), True, None),
    ],
)
def test_a_blank_fits_exactly_or_not_at_all(
    blank: tuple[Fraction, Fraction],
    sheet: tuple[Fraction, Fraction],
    may_turn: bool,
    expected: str | None,
) -> None:
    """No tolerance: equal sides fit, a hundred-millionth over does not."""
    assert fits(blank, sheet, may_turn) == expected


def test_every_row_of_the_tables_has_a_source_and_a_check() -> None:
    """No figure without its origin, and common practice is called that."""
    rows: list[NamedSheet | Grade] = [*sheets().values(), *grades().values()]
    for row in rows:
        assert row.source, row.name
        assert row.check in ("read", "memory", "practice"), row.name
        assert row.check != "practice" or "common practice, no source" in row.source, row.name

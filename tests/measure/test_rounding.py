"""How lengths are printed: fractions, decimals, two units whose parts add up."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from booklet.measure.resolve import Scope
from booklet.measure.rounding import Printer
from booklet.measure.units import INCH
from booklet.problem import Place, Problem, Written

_INCHES = Printer("in", INCH / 16)
_MILLIMETRES = Printer("mm", Fraction(1))
_CENTIMETRES = Printer("cm", Fraction(1))


@pytest.mark.parametrize(
    ("inch", "text"),
    [
        ("41/8", "5⅛ in (13.0 cm)"),
        ("1/2", "½ in (1.3 cm)"),
        ("3", "3 in (7.6 cm)"),
        ("3/16", "³⁄₁₆ in (4.8 mm)"),
        ("1/16", "¹⁄₁₆ in (1.6 mm)"),
        ("83/16", "5³⁄₁₆ in (13.2 cm)"),
        ("3/64", "³⁄₆₄ in (1.2 mm)"),
        ("1/3", "about ²¹⁄₆₄ in (0.8 cm)"),
        ("1/1000", "about ¹⁄₆₄ in (0.1 mm)"),
        ("0", "0 in (0 mm)"),
    ],
)
def test_inches_are_set_as_fractions(inch: str, text: str) -> None:
    """An exact fraction stands bare, any other is about the nearest 64th."""
    assert _INCHES.both(Fraction(inch) * INCH) == text


@pytest.mark.parametrize(
    ("printer", "mm", "text"),
    [
        (_MILLIMETRES, "130", "130 mm (5⅛ in)"),
        (_MILLIMETRES, "12.5", "12.5 mm (½ in)"),
        (_MILLIMETRES, "130.175", "about 130.2 mm (5⅛ in)"),
        (_MILLIMETRES, "0.3", "0.3 mm (¹⁄₆₄ in)"),
        (_CENTIMETRES, "130", "13.0 cm (5⅛ in)"),
        (_CENTIMETRES, "5", "0.5 cm (³⁄₁₆ in)"),
        (_CENTIMETRES, "130.5", "13.05 cm (5⅛ in)"),
        (_CENTIMETRES, "130.52", "about 13.05 cm (5⅛ in)"),
        (Printer("mm", Fraction(1, 4)), "7.25", "7.25 mm (⁵⁄₁₆ in)"),
    ],
)
def test_metric_projects_print_decimals(printer: Printer, mm: str, text: str) -> None:
    """Millimetres without needless decimals, centimetres with one at least."""
    assert printer.both(Fraction(mm)) == text


def test_a_ruler_of_tenths_prints_tenths() -> None:
    """A mark of the maker's own ruler is exact, whatever its fraction."""
    assert Printer("in", INCH / 10).first(INCH * 33 / 10) == "3³⁄₁₀ in"


def test_floats_from_geometry_print_as_their_fraction() -> None:
    """The noise of floats does not make a length "about"."""
    assert _INCHES.first(float(INCH * 41 / 8) + 1e-9) == "5⅛ in"
    assert _INCHES.bare(INCH / 4) == "¼"


@pytest.mark.parametrize(
    ("printer", "edges", "text"),
    [
        (_INCHES, ["41/8", "57/8"], "5⅛ × 7⅛ in (13.0 × 18.1 cm)"),
        (_INCHES, ["13/4", "35/8", "1/2"], "3¼ × 4⅜ × ½ in (8.3 × 11.1 × 1.3 cm)"),
        (_INCHES, ["1/3", "1"], "about ²¹⁄₆₄ × 1 in (0.8 × 2.5 cm)"),
        (_MILLIMETRES, ["5", "10/127"], "127 × 2 mm (5 × ¹⁄₁₆ in)"),
    ],
)
def test_a_size_names_its_units_once(printer: Printer, edges: list[str], text: str) -> None:
    """Two or three edges, one unit each system, one "about" for all."""
    assert printer.size([Fraction(edge) * INCH for edge in edges]) == text


_LENGTHS = st.integers(0, 64 * 30).map(lambda n: Fraction(n, 64) * INCH)


@given(_LENGTHS, st.sampled_from([" ", ""]), st.booleans())
def test_a_printed_fraction_reads_back(mm: Fraction, space: str, unit: bool) -> None:
    """What is printed of 1/64 in is a length of the language, with the same value."""
    text = _INCHES.first(mm).replace(" in", f"{space}in") if unit else _INCHES.bare(mm)
    found: list[Problem] = []
    assert Scope("in", INCH / 16).length(Written(text, Place("p", 1, 1)), found) == mm
    assert found == []


@given(st.integers(0, 100_000).map(lambda n: Fraction(n, 10)), st.sampled_from(["mm", "cm"]))
def test_a_printed_decimal_reads_back(mm: Fraction, units: str) -> None:
    """A tenth of a millimetre survives printing."""
    text = Printer(units, Fraction(1)).first(mm)
    assert Scope(units, Fraction(1)).length(Written(text, Place("p", 1, 1)), []) == mm


def _number(text: str) -> Fraction:
    """The value of a printed second unit, by the reader of formulas."""
    value = Scope("mm", Fraction(1)).length(
        Written(text, Place("p", 1, 1)), [], longest=Fraction(10**9)
    )
    assert value is not None
    return value


@given(
    st.lists(st.fractions(0, 300, max_denominator=640), min_size=1, max_size=12),
    st.sampled_from([_INCHES, _MILLIMETRES, _CENTIMETRES]),
)
def test_parts_add_up(parts: list[Fraction], printer: Printer) -> None:
    """The second texts of the parts add up to that of the whole, each within one step."""
    printed = printer.parts(parts)
    assert [first for first, _ in printed] == [printer.first(part) for part in parts]
    assert sum(_number(second) for _, second in printed) == _number(printer.second(sum(parts)))
    step = Fraction(1) if printer is _INCHES else INCH / 16
    for part, (_, second) in zip(parts, printed, strict=True):
        assert abs(_number(second) - part) <= step


def test_three_equal_parts_share_the_remainder() -> None:
    """3 in is 7.6 cm, so one of three inches is printed longer than the others."""
    assert [second for _, second in _INCHES.parts([INCH] * 3)] == ["2.6 cm", "2.5 cm", "2.5 cm"]
    assert _INCHES.parts([]) == []


@given(st.fractions(0, 10_000), st.sampled_from([_INCHES, _MILLIMETRES, _CENTIMETRES]))
def test_what_is_printed_is_near(mm: Fraction, printer: Printer) -> None:
    """Rounding moves a length by half a step at most, and "about" tells of it."""
    text = printer.first(mm)
    about, number = re.fullmatch(r"(about )?(.+)", text).groups()  # type: ignore[union-attr]
    value = _number(number)
    finest = INCH / 64 if printer is _INCHES else Fraction(1, 10)
    assert abs(value - mm) <= max(finest / 2, finest if mm < finest else Fraction(0))
    assert bool(about) == (abs(value - mm) > Fraction(1, 10**6))


def test_a_room_is_told_to_the_nearest_mark() -> None:
    """A room of 4 in less 0.3 mm of card is about 4 in; nobody looks for 63/64 on a ruler."""
    printer = Printer("in", INCH / 16)
    room = [4 * INCH - Fraction("0.3"), 6 * INCH - Fraction("0.3"), INCH]
    assert printer.roughly(room) == "about 4 × 6 × 1 in (10.2 × 15.2 × 2.5 cm)"
    assert printer.roughly([4 * INCH, INCH]) == "4 × 1 in (10.2 × 2.5 cm)"


def test_a_sheet_as_bought_is_told_to_the_marks_of_the_ruler() -> None:
    """Nobody finds 8 17/64 in on a ruler of 1/8 in; the other system tells the sheet as it is."""
    printer = Printer("in", INCH / 8)
    assert printer.bought([Fraction(210), Fraction(297)]) == "about 8¼ × 11¾ in (21.0 × 29.7 cm)"
    assert printer.bought([8 * INCH, 10 * INCH]) == "8 × 10 in (20.3 × 25.4 cm)"
    letter = [INCH * 17 / 2, INCH * 11]
    assert Printer("mm", Fraction(1)).bought(letter) == "215.9 × 279.4 mm (8½ × 11 in)"

"""How lengths as written are read: numbers, fractions, units, formulas."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from booklet.measure.bounds import MAX_TEXT, FormulaError
from booklet.measure.formula import names, parse
from booklet.measure.resolve import Scope
from booklet.measure.units import INCH
from booklet.problem import Place, Problem, Written
from booklet.read.raw import Length, Raw

_WIDE, _DEEP = INCH * 27 / 8, INCH * 5 / 8


@pytest.mark.parametrize(
    ("text", "inch"),
    [
        ("5 1/8", "41/8"),
        ("5-1/8", "41/8"),
        ("5⅛", "41/8"),
        ("5 ⅛", "41/8"),
        ("5-⅛", "41/8"),
        ("5 1/8 in", "41/8"),
        ('5 1/8"', "41/8"),
        ("5⅛″", "41/8"),
        ("5³⁄₁₆", "83/16"),
        ("5 1⁄8", "41/8"),
        ("¾", "3/4"),
        ("1/2", "1/2"),
        ("51/8", "51/8"),
        ("0.5", "1/2"),
        (".5", "1/2"),
        ("5 - 1/8", "39/8"),
        ("2.5-1/8", "19/8"),
        ("1/2-1/8", "3/8"),
        ("-5-1/8", "-41/8"),
        ("--3", "3"),
        ("1/16 in", "1/16"),
        ("2 * 1/16 in", "1/8"),
        ("(1 + 1/2) in", "3/2"),
        ("1 ft", "12"),
        ("2 × 3 ÷ 4 − 1", "1/2"),
        ("12/3/4", "1"),
        ("2 + 3 * 4", "14"),
        ("(2 + 3) * 4", "20"),
        ("\u00a05 1/8\u2009in ", "41/8"),
    ],
)
def test_a_length_is_read_exactly(
    text: str, inch: str, inches: Scope, written: Callable[[Raw], Length]
) -> None:
    """Every way of writing gives the exact fraction of an inch."""
    found: list[Problem] = []
    assert inches.length(written(text), found) == Fraction(inch) * INCH
    assert found == []


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("0.30 mm", Fraction(3, 10)),
        ("13 cm", Fraction(130)),
        ("1/2 * wide", _WIDE / 2),
        ("wide/2/3", _WIDE / 6),
        ("wide - deep", _WIDE - _DEEP),
        ("wide-1/8", _WIDE - INCH / 8),
        ("wide-5-1/8", _WIDE - INCH * 41 / 8),
        ("wide + 1", _WIDE + INCH),
        ("wide + 5 mm", _WIDE + 5),
        ("wide / deep", INCH * 27 / 5),
        ("wide / 1/8 in", INCH * 27),
        ("sqrt(deep * deep)", _DEEP),
        ("sqrt(wide * deep * 27/5)", _WIDE),
        ("min(wide, deep, 1)", _DEEP),
        ("max(wide, deep, 5)", INCH * 5),
        ("up(3.35)", _WIDE),
        ("down(3 7/16 in - 0.1 mm)", _WIDE),
        ("nearest(86 mm)", _WIDE),
        ("up(wide)", _WIDE),
        ("up(sqrt(2) * sqrt(2) * 1 in)", INCH * 2),
        ("2 * wide * sin(30)", _WIDE),
        ("wide * cos(60) * 2", _WIDE),
        ("wide * tan(45)", _WIDE),
        ("atan(1) * 1 mm", Fraction(45)),
        ("wide * sin(30 + 360 * 1000000000)", _WIDE / 2),
    ],
)
def test_a_formula_is_computed(
    text: str, mm: Fraction, inches: Scope, written: Callable[[Raw], Length]
) -> None:
    """Operators, names, units and functions give the exact number of millimetres."""
    found: list[Problem] = []
    assert inches.length(written(text), found) == mm
    assert found == []


@pytest.mark.parametrize(
    ("text", "code", "column"),
    [
        ("", "formula-not-read", 8),
        ("5 wide", "formula-not-read", 11),
        ("wide deep", "formula-not-read", 14),
        ("wide in", "formula-not-read", 14),
        ("5 1/8 1/8", "formula-not-read", 15),
        ("5 9/8", "formula-not-read", 9),
        ("5,5", "formula-not-read", 10),
        ("1e400", "formula-not-read", 10),
        ("3$", "formula-not-read", 10),
        ("(1 + 2", "formula-not-read", 9),
        ("1 +", "formula-not-read", 12),
        ("1 + 2)", "formula-not-read", 14),
        ("round(1)", "formula-not-read", 9),
        ("__import__('os')", "formula-not-read", 20),
        ("wide.real", "measure-unknown", 9),
        ("2 ** 9", "formula-not-read", 12),
        ("wide/2-1/8", "formula-ambiguous", 14),
        ("2*5-1/8", "formula-ambiguous", 11),
        ("5-1/8*2", "formula-ambiguous", 9),
        ("5-9/8", "formula-ambiguous", 9),
        ("wdie", "measure-unknown", 9),
        ("nan", "measure-unknown", 9),
        ("up", "measure-unknown", 9),
        ("wide * deep", "dimension-mismatch", 8),
        ("1 / 16 in", "dimension-mismatch", 8),
        ("wide * deep + 1", "dimension-mismatch", 21),
        ("sqrt(wide)", "dimension-mismatch", 9),
        ("sin(wide)", "dimension-mismatch", 9),
        ("atan(wide)", "dimension-mismatch", 9),
        ("up(wide * wide)", "dimension-mismatch", 9),
        ("(1 + wide) mm", "dimension-mismatch", 20),
        ("*".join(["wide"] * 9), "dimension-mismatch", 38),
        ("wide / (deep - 5/8)", "division-by-zero", 14),
        ("1/0", "division-by-zero", 10),
        ("3 1/0", "division-by-zero", 9),
        ("3/0 in", "division-by-zero", 9),
        ("min(wide)", "function-misused", 9),
        ("sqrt(1, 2)", "function-misused", 9),
        ("sqrt(-1)", "function-misused", 9),
        ("tan(90)", "function-misused", 9),
        ("tan(-270)", "function-misused", 9),
        ("11 m", "length-too-large", 8),
        ("-11 m", "length-too-large", 8),
        ("9" * 25, "number-out-of-range", 9),
        ("0." + "0" * 30 + "1", "number-out-of-range", 9),
        ("1/" + "9" * 25, "number-out-of-range", 9),
    ],
)
def test_a_wrong_length_is_refused_at_its_character(
    text: str, code: str, column: int, inches: Scope, written: Callable[[Raw], Length]
) -> None:
    """One problem, at the offending character, that shows the value and a way out."""
    found: list[Problem] = []
    assert inches.length(written(text), found) is None
    (problem,) = found
    assert problem.code == code
    assert problem.place == Place("p.toml", 1, column)
    assert text[:30] in problem.message or problem.message.split('"')[1] in text
    assert problem.help


def test_the_nearest_name_is_offered(inches: Scope, written: Callable[[Raw], Length]) -> None:
    """A misspelt measure names the one that was meant."""
    found: list[Problem] = []
    inches.length(written("wdie + 1"), found)
    assert '"wide"' in found[0].help


@pytest.mark.parametrize(
    "text",
    [
        "(" * 200 + "1" + ")" * 190,
        "-" * 300 + "1",
        "sqrt(" * 60 + "1" + ")" * 60,
        "1" + "+1" * (MAX_TEXT // 2),
        "1" * (MAX_TEXT + 1),
    ],
)
def test_a_formula_out_of_bounds_is_refused(text: str) -> None:
    """Very long and very deep formulas end in a problem, not in a crash."""
    with pytest.raises(FormulaError) as caught:
        parse(text)
    assert caught.value.code == "formula-too-large"


def test_a_long_flat_formula_is_read(inches: Scope, written: Callable[[Raw], Length]) -> None:
    """A chain of two hundred terms needs no depth."""
    found: list[Problem] = []
    assert inches.length(written("1" + "+1" * 199), found) == 200 * INCH


def test_numbers_stop_growing(inches: Scope, written: Callable[[Raw], Length]) -> None:
    """A product that would fill memory is refused on the way."""
    found: list[Problem] = []
    text = "*".join(["999999999999999999999"] * 18)
    assert inches.length(written(text), found) is None
    assert [problem.code for problem in found] == ["number-out-of-range"]


@pytest.mark.parametrize(
    "raw",
    [
        Decimal("1E+400"),
        Decimal("1E+999999"),
        Decimal("1E-999999"),
        Decimal("NaN"),
        Decimal("Infinity"),
        Decimal("-Infinity"),
        Decimal("1." + "1" * 500),
        10**4000,
    ],
)
def test_a_number_out_of_range_is_refused(
    raw: Raw, inches: Scope, written: Callable[[Raw], Length]
) -> None:
    """Numbers that explode are refused before they are expanded."""
    found: list[Problem] = []
    assert inches.length(written(raw), found) is None
    assert [problem.code for problem in found] == ["number-out-of-range"]


@pytest.mark.parametrize(
    ("raw", "inch"),
    [(3, "3"), (Decimal("0.5"), "1/2"), (Decimal("0E+999999"), "0"), (Decimal("1e1"), "10")],
)
def test_a_bare_number_takes_project_units(
    raw: Raw, inch: str, inches: Scope, written: Callable[[Raw], Length]
) -> None:
    """An int or a decimal is read in the project's unit."""
    assert inches.length(written(raw), []) == Fraction(inch) * INCH


@pytest.mark.parametrize(
    ("positive", "allow_zero", "refused"),
    [(False, None, ""), (True, None, "0-"), (True, True, "-"), (False, False, "0")],
)
def test_signs_are_refused_as_asked(
    positive: bool,
    allow_zero: bool | None,
    refused: str,
    inches: Scope,
    written: Callable[[Raw], Length],
) -> None:
    """`positive` refuses zero and below; `allow_zero` settles zero alone."""
    for sign, raw in {"+": 1, "0": 0, "-": -1}.items():
        found: list[Problem] = []
        value = inches.length(written(raw), found, positive=positive, allow_zero=allow_zero)
        assert (value is None) == (sign in refused)
        assert [problem.code for problem in found] == ["size-not-positive"] * (value is None)


def test_a_longer_limit_can_be_asked_for(inches: Scope, written: Callable[[Raw], Length]) -> None:
    """A roll of tape may be longer than any paper."""
    assert inches.length(written("27 yd"), [], longest=Fraction(10**6)) == 27 * 36 * INCH


def test_a_plain_number_has_no_unit(inches: Scope, written: Callable[[Raw], Length]) -> None:
    """Shares and angles are plain numbers; a length is refused."""
    found: list[Problem] = []
    assert inches.number(written("1/3"), found) == Fraction(1, 3)
    assert inches.number(written(Decimal("-90.5")), found) == Fraction(-181, 2)
    assert inches.number(written("wide / deep"), found) == Fraction(27, 5)
    assert found == []
    assert inches.number(written("3 mm"), found) is None
    assert inches.number(written("1/0"), found) is None
    assert [problem.code for problem in found] == ["dimension-mismatch", "division-by-zero"]


def test_a_quote_in_the_text_keeps_the_place_of_the_value(
    inches: Scope, written: Callable[[Raw], Length]
) -> None:
    """Where the text may be escaped in the file, the value's beginning is blamed."""
    found: list[Problem] = []
    inches.length(written('5" + wdie'), found)
    assert found[0].place == Place("p.toml", 1, 8)


def test_names_are_listed_left_to_right() -> None:
    """All uses of measures, wherever they stand in the tree."""
    tree = parse("-a + max(b, (c + 1) / sqrt(a * a)) - 2 in")
    assert [node.name for node in names(tree)] == ["a", "b", "c", "a", "a"]


@given(st.text(alphabet="0123456789/-+*(). ,⅛⁄³₄\"inmwdeupsqrt{}_\\'\n١²", max_size=40))
def test_any_text_gives_a_length_or_one_problem(text: str) -> None:
    """No text of these characters makes the reader raise."""
    scope = Scope("in", INCH / 16, {"wide": _WIDE, "deep": _DEEP})
    found: list[Problem] = []
    value = scope.length(Written(text, Place("p.toml", 1, 1)), found)
    assert (value is None) == (len(found) == 1)
    if value is not None:
        assert abs(value) <= 10_000


@given(st.text(max_size=60))
def test_any_unicode_gives_a_length_or_one_problem(text: str) -> None:
    """Nor does any other text."""
    found: list[Problem] = []
    value = Scope("mm", Fraction(1)).length(Written(text, Place("p.toml", 1, 1)), found)
    assert (value is None) == (len(found) == 1)

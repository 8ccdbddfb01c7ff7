"""Paper weights as written, and what is said of those that are none."""

from __future__ import annotations

from fractions import Fraction

import pytest

from booklet.problem import Place, Problem, Written
from booklet.stock.weight import check_weight, grammage

PLACE = Place("tag.toml", 8, 10)


def written(text: str) -> Written[str]:
    """The text as if it stood in a file."""
    return Written(text, PLACE)


@pytest.mark.parametrize(
    "text", ["216 gsm", "216gsm", "216 g/m2", "216 g/m²", "216 g / m2", "216 GSM", " 216  gsm "]
)
def test_grams_are_read_in_every_common_spelling(text: str) -> None:
    """Grams per square metre come back exactly as written."""
    assert grammage(text) == 216


@pytest.mark.parametrize(
    "text",
    [
        "80 lb cover",
        "80lb cover",
        "80 lbs cover",
        "80# cover",
        "80 pound cover",
        "80 LB Cover stock",
    ],
)
def test_pounds_with_a_grade_are_read_in_every_common_spelling(text: str) -> None:
    """All spellings of one basis weight give the one exact value."""
    assert grammage(text) == Fraction("45359.237") * 80 / (500 * 520 * Fraction("0.064516"))


def test_trade_names_of_a_basis_sheet_mean_the_same() -> None:
    """Book and offset papers are weighed on the text sheet, writing papers on the bond sheet."""
    assert grammage("60 lb book") == grammage("60 lb offset") == grammage("60 lb text")
    assert grammage("24 lb writing") == grammage("24 lb bond")


@pytest.mark.parametrize(
    "text",
    [
        "110 lb",
        "110",
        "",
        "heavy",
        "-5 gsm",
        "0 gsm",
        "0 lb cover",
        "nan gsm",
        "1e9 gsm",
        "80 lb card",
        "9" * 400 + " gsm",
    ],
)
def test_what_is_no_weight_gives_none(text: str) -> None:
    """Nothing is guessed: no grade, no unit, no number, nothing."""
    assert grammage(text) is None


def test_a_stock_without_weight_is_no_problem() -> None:
    """Weight is optional."""
    found: list[Problem] = []
    assert check_weight(None, found) is None
    assert found == []


@pytest.mark.parametrize(
    ("text", "code", "way_out"),
    [
        ("110 lb", "weight-without-grade", "110 lb cover"),
        ("80 lb covr", "unknown-grade", 'Did you mean "cover"?'),
        ("80 lb cardstock", "unknown-grade", "bond, text, cover, index, tag, bristol"),
        ("heavy", "unreadable-weight", "216 gsm"),
        ("0 lb cover", "unreadable-weight", "80 lb cover"),
    ],
)
def test_a_bad_weight_is_shown_with_a_way_out(text: str, code: str, way_out: str) -> None:
    """The problem names the offending text, its place, and what to write instead."""
    found: list[Problem] = []
    assert check_weight(written(text), found) is None
    (problem,) = found
    assert problem.code == code
    assert problem.place == PLACE
    assert text in problem.message
    assert way_out in problem.help
    assert problem.severity == "error"


def test_a_weight_no_paper_has_is_doubted_but_kept() -> None:
    """A slip of a nought is a warning; the value stays what was written."""
    found: list[Problem] = []
    assert check_weight(written("21600 gsm"), found) == 21600
    assert [problem.code for problem in found] == ["unlikely-weight"]
    assert found[0].severity == "warning"


def test_a_good_weight_raises_nothing() -> None:
    """The usual cardstock passes in silence."""
    found: list[Problem] = []
    assert check_weight(written("80 lb cover"), found) == grammage("80 lb cover")
    assert found == []

"""What a project costs and a class buys, compared with sums by hand."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from booklet.problem import Problem
from booklet.stages import check_file
from booklet.stock.cost import Cost

CARD = """
[project]
title = "Card"
units = "in"
{currency}

[[stock]]
id = "card"
sheet = "letter"
{card}

[[piece]]
id = "card"
stock = "card"
columns = ["5 1/8"]
rows = ["7 1/8"]
map = ["front"]

[[supply]]
id = "dots"
kind = "trimming"
amount = 3
{dots}

[[supply]]
id = "trimmer"
kind = "tool"
price = 99.95

[class]
students = {students}
spare = 2
{fee}
"""
"""Two blanks of 5 1/8 x 7 1/8 in come from one letter sheet (common practice, no source)."""


def costed(
    tmp_path: Path,
    currency: str = 'currency = "EUR"',
    card: str = "price = 9.99\npack = 5",
    dots: str = "price = 0.10\nholds = 8",
    fee: str = "fee = 7.50",
    students: int = 9,
) -> tuple[Cost, list[Problem]]:
    """The cost of a class, and the problems of the file."""
    path = tmp_path / "card.toml"
    text = CARD.format(currency=currency, card=card, dots=dots, fee=fee, students=students)
    path.write_text(text, encoding="utf-8")
    model, problems = check_file(path)
    assert model is not None
    return model.cost, [problem for problem in problems if problem.severity != "note"]


def test_the_cost_of_a_class_by_hand(tmp_path: Path) -> None:
    """9 students and 2 spare kits: 11 blanks, 6 sheets, 2 packs; 33 dots, 5 bags of 8."""
    cost, problems = costed(tmp_path)
    assert problems == []
    card, dots = cost.lines
    assert (card.needed, card.to_buy, card.whole) == (6, 2, Decimal("19.98"))
    assert (dots.to_buy, dots.whole) == (5, Decimal("0.50"))
    assert cost.bought == Decimal("20.48")
    assert cost.income == Decimal("67.50")
    assert cost.margin == Decimal("47.02")
    assert card.share == Fraction(999, 100) * Fraction(6, 5 * 11)
    assert cost.per_project == Fraction(999, 100) * Fraction(6, 55) + Fraction(3, 80)
    assert cost.missing == ()


def test_tools_stand_apart(tmp_path: Path) -> None:
    """Three trimmers for nine makers have a price, but are in no sum."""
    cost, _ = costed(tmp_path)
    (trimmer,) = cost.tools
    assert (trimmer.to_buy, trimmer.whole, trimmer.share) == (3, Decimal("299.85"), 0)
    assert "trimmer" not in [line.id for line in cost.lines]


def test_a_project_without_a_class_is_costed_for_one(tmp_path: Path) -> None:
    """One blank takes a whole sheet, and one pack has to be bought."""
    path = tmp_path / "card.toml"
    text = CARD.format(
        currency='currency = "EUR"', card="price = 9.99\npack = 5", dots="", fee="", students=1
    )
    path.write_text(text.partition("[class]")[0], encoding="utf-8")
    model, _ = check_file(path)
    assert model is not None
    card, dots = model.cost.lines
    assert card.share == Fraction(999, 500)
    assert model.cost.bought == Decimal("9.99")
    assert (dots.share, dots.whole) == (None, None)
    assert model.cost.margin is None


@pytest.mark.parametrize(
    ("card", "dots", "missing", "bought"),
    [
        ("", "price = 0.10\nholds = 8", [("card", "no price")], "0.50"),
        ("price = 9.99\npack = 5", "holds = 8", [("dots", "no price")], "19.98"),
        (
            "price = 9.99\npack = 5",
            'price = 0.10\nholds = "2 ft"',
            [("dots", "amount or contents of a purchase not known")],
            "19.98",
        ),
        ("", "", [("card", "no price"), ("dots", "no price")], "0"),
    ],
)
def test_what_has_no_price_is_named_and_the_rest_adds_up(
    tmp_path: Path, card: str, dots: str, missing: list[tuple[str, str]], bought: str
) -> None:
    """A gap is never a zero in silence."""
    cost, _ = costed(tmp_path, card=card, dots=dots)
    assert [(name, why) for name, _, why in cost.missing] == missing
    assert cost.bought == Decimal(bought)


def test_sheets_without_a_pack_are_bought_singly(tmp_path: Path) -> None:
    """Six sheets at 1.25."""
    cost, _ = costed(tmp_path, card="price = 1.25")
    assert cost.lines[0].whole == Decimal("7.50")


def test_prices_without_a_currency_are_pointed_out_once(tmp_path: Path) -> None:
    """The sums stay, as bare numbers."""
    cost, problems = costed(tmp_path, currency="")
    assert [problem.code for problem in problems] == ["price-without-currency"]
    assert "9.99" in problems[0].message
    assert cost.currency is None
    assert cost.bought == Decimal("20.48")


def test_a_project_without_prices_needs_no_currency(tmp_path: Path) -> None:
    """Only a price makes one wanted; here the fee and the trimmer are priced too."""
    _, problems = costed(tmp_path, currency="", card="", dots="", fee="")
    assert [problem.code for problem in problems] == ["price-without-currency"]
    path = tmp_path / "card.toml"
    path.write_text(path.read_text("utf-8").replace("price = 99.95", ""), encoding="utf-8")
    assert [p.code for p in check_file(path)[1] if p.severity != "note"] == []


def test_a_price_written_with_many_digits_stays_as_written(tmp_path: Path) -> None:
    """No binary float comes near it: 0.1 a sheet is a tenth."""
    cost, _ = costed(tmp_path, card="price = 0.1")
    assert cost.lines[0].whole == Decimal("0.6")
    assert cost.lines[0].share == Fraction(6, 110)

"""Money: exact sums, coins for print, and parts that add up to their whole."""

from __future__ import annotations

from decimal import Decimal, getcontext, localcontext
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from booklet.measure.money import less, money_parts, money_text, times, total

PRICES = st.decimals(0, 10**9, allow_nan=False, allow_infinity=False, places=6)


def test_sums_are_exact_where_floats_are_not() -> None:
    """0.1 + 0.2 is 0.3, and three times 0.1 too; by hand."""
    assert total([Decimal("0.1"), Decimal("0.2")]) == Decimal("0.3") == times(Decimal("0.1"), 3)
    assert 0.1 + 0.2 != 0.3
    assert less(Decimal("108.00"), Decimal("31.50")) == Decimal("76.50")


def test_long_prices_lose_no_digit() -> None:
    """Thirty digits times ten thousand, and a tiny price beside a huge one."""
    price = Decimal("1.00000000000000000000000000001")
    assert getcontext().prec < 34
    assert times(price, 10_000) == Decimal("10000.0000000000000000000000001")
    assert Fraction(total([Decimal(10**9), Decimal("1e-30")])) == 10**9 + Fraction(1, 10**30)


@given(st.lists(PRICES, max_size=8), st.integers(0, 10_000))
def test_sums_agree_with_the_decimal_module(prices: list[Decimal], count: int) -> None:
    """The same in `decimal` with more digits than needed."""
    with localcontext(prec=100):
        assert total(prices) == sum(prices, Decimal(0))
        assert total([times(price, count) for price in prices]) == count * sum(prices, Decimal(0))


@pytest.mark.parametrize(
    ("amount", "currency", "text"),
    [
        (Decimal("11.5"), "USD", "11.50"),
        (Decimal("1.005"), "EUR", "1.01"),
        (Decimal("-1.005"), "EUR", "−1.01"),
        (Decimal("1234567.891"), "GBP", "1,234,567.89"),
        (Fraction(1, 3), None, "0.33"),
        (Decimal("1499.5"), "JPY", "1,500"),
        (Decimal("0.0005"), "KWD", "0.001"),
        (Decimal("-0.001"), "USD", "0.00"),
    ],
)
def test_amounts_are_printed_in_whole_coins(
    amount: Decimal | Fraction, currency: str | None, text: str
) -> None:
    """Half a coin goes away from zero; yen have no digits behind the point, dinars three."""
    assert money_text(amount, currency) == text


def test_thirds_add_up_to_their_whole() -> None:
    """Three thirds of 1.00: the first gets the coin that is left."""
    assert money_parts([Fraction(1, 3)] * 3, "USD") == ["0.34", "0.33", "0.33"]
    assert money_parts([Fraction(100, 3)] * 3, "JPY") == ["34", "33", "33"]
    assert money_parts([], "USD") == []


@given(st.lists(st.fractions(0, 10**6), max_size=12), st.sampled_from(["USD", "JPY", "KWD"]))
def test_parts_add_up_and_none_is_off_by_a_coin(parts: list[Fraction], currency: str) -> None:
    """The law of the printed table."""
    texts = [Decimal(text.replace(",", "")) for text in money_parts(parts, currency)]
    whole = money_text(sum(parts, Fraction(0)), currency).replace(",", "")
    assert sum(texts, Decimal(0)) == Decimal(whole)
    coin = {"USD": Fraction(1, 100), "JPY": Fraction(1), "KWD": Fraction(1, 1000)}[currency]
    assert all(abs(Fraction(t) - p) < coin for t, p in zip(texts, parts, strict=True))

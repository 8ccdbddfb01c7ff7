"""Money: exact sums, and amounts rounded to a currency's smallest coin for print.

In: `Decimal` prices as written, exact fractions of them. Out: exact `Decimal` products and sums;
text for print. No price passes through a binary float on its way to paper.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from decimal import Context, Decimal, Inexact, InvalidOperation
from fractions import Fraction
from typing import Final

_EXACT: Final = Context(prec=400, traps=[Inexact, InvalidOperation])
"""Prices have at most 30 digits and counts a few: 400 digits hold every product and sum. Should one
not fit it raises Inexact rather than round."""

_PLACES: Final = {
    "BIF": 0, "CLP": 0, "DJF": 0, "GNF": 0, "ISK": 0, "JPY": 0, "KMF": 0, "KRW": 0, "PYG": 0,
    "RWF": 0, "UGX": 0, "VND": 0, "VUV": 0, "XAF": 0, "XOF": 0, "XPF": 0,
    "BHD": 3, "IQD": 3, "JOD": 3, "KWD": 3, "LYD": 3, "OMR": 3, "TND": 3,
}  # fmt: skip
"""Digits behind the point of currencies that have not two: ISO 4217, from memory."""


def times(price: Decimal, count: int) -> Decimal:
    """The price of so many purchases, exactly."""
    return _EXACT.multiply(price, Decimal(count))


def total(prices: Iterable[Decimal]) -> Decimal:
    """The sum, exactly."""
    whole = Decimal(0)
    for price in prices:
        whole = _EXACT.add(whole, price)
    return whole


def less(first: Decimal, second: Decimal) -> Decimal:
    """The difference, exactly."""
    return _EXACT.subtract(first, second)


def places_of(currency: str | None) -> int:
    """How many digits stand behind the point; two where the currency is not known."""
    return _PLACES.get(currency or "", 2)


def money_text(amount: Decimal | Fraction, currency: str | None) -> str:
    """The amount alone, half a coin rounded away from zero: "12.50", "−3.00", "1,250.00"."""
    return _text(_coins(Fraction(amount), places_of(currency)), places_of(currency))


def money_parts(amounts: Sequence[Decimal | Fraction], currency: str | None) -> list[str]:
    """Amounts above zero as text that adds up to `money_text` of their sum.

    Largest remainders: each part is rounded down, then the coins that the whole still has go to
    the parts that lost most, the earlier one where two lost alike.
    """
    places = places_of(currency)
    exact = [Fraction(amount) for amount in amounts]
    coins = [math.floor(amount * 10**places) for amount in exact]
    missing = _coins(sum(exact, Fraction(0)), places) - sum(coins)
    by_loss = sorted(range(len(exact)), key=lambda i: (coins[i] - exact[i] * 10**places, i))
    for index in by_loss[:missing]:
        coins[index] += 1
    return [_text(count, places) for count in coins]


def _coins(amount: Fraction, places: int) -> int:
    """The nearest number of coins, halves away from zero."""
    count = math.floor(abs(amount) * Fraction(10) ** places + Fraction(1, 2))
    return -count if amount < 0 else count


def _text(coins: int, places: int) -> str:
    whole, part = divmod(abs(coins), 10**places)
    sign = "−" if coins < 0 else ""
    return f"{sign}{whole:,}" + (f".{part:0{places}d}" if places else "")

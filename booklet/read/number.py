"""Checks of values that are numbers, lengths or dates.

In: a spot and a raw value. Out: the value, or None after a problem was reported. True and false
are no numbers here, though Python takes them for 1 and 0.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable
from decimal import Decimal
from typing import TypeGuard

from booklet.limits import Limits
from booklet.problem import Written
from booklet.read.raw import Length, Raw
from booklet.read.spot import Spot, shown, wrong_type
from booklet.read.text import text

_Bound = Callable[[Limits], int]


def _is_number(raw: object) -> TypeGuard[int | Decimal]:
    return isinstance(raw, int | Decimal) and not isinstance(raw, bool)


def _out_of_range(spot: Spot, raw: object, low: int, high: int) -> None:
    spot.report(
        "number-out-of-range",
        f"{spot.label} = {shown(raw)} is not from {low} to {high}",
        f"Write a number from {low} to {high}.",
    )


def _in_range(spot: Spot, raw: int | Decimal, low: int, high: int) -> bool:
    """Whether the number is finite, within bounds and short enough for exact arithmetic."""
    if isinstance(raw, Decimal):
        if not raw.is_finite():
            spot.report(
                "number-out-of-range",
                f"{spot.label} = {shown(raw)} is no number that one can measure or count",
                "Write an ordinary number.",
            )
            return False
        # First the size by its exponent alone: comparing 1e999999 would write out its digits.
        digits = len(raw.as_tuple().digits)
        if raw and -spot.limits.digits <= raw.adjusted() < spot.limits.digits < digits:
            spot.report(
                "number-out-of-range",
                f"{spot.label} = {shown(raw)} has {digits} digits",
                f"Write at most {spot.limits.digits} digits.",
            )
            return False
        if raw and not -spot.limits.digits <= raw.adjusted() < spot.limits.digits:
            _out_of_range(spot, raw, low, high)
            return False
    if not low <= raw <= high:
        _out_of_range(spot, raw, low, high)
        return False
    return True


def whole(low: int, high: _Bound) -> Callable[[Spot, object], int | None]:
    """A check that takes whole numbers from `low` to a bound of the limits."""

    def check(spot: Spot, raw: object) -> int | None:
        if not _is_number(raw):
            wrong_type(spot, raw, "a whole number", str(max(low, 1)))
            return None
        if not _in_range(spot, raw, low, high(spot.limits)):
            return None
        if isinstance(raw, Decimal):
            wrong_type(spot, raw, "a whole number", str(int(raw)))
            return None
        return raw

    return check


def money(spot: Spot, raw: object) -> Written[Decimal] | None:
    """A price, exactly as written; the currency stands in [project]."""
    if not _is_number(raw):
        wrong_type(spot, raw, "a number without quotes", "11.50")
        return None
    if not _in_range(spot, raw, 0, spot.limits.money):
        return None
    return Written(Decimal(raw), spot.place)


def length(spot: Spot, raw: object) -> Length | None:
    """A length as written: a number in the project's units, or a text that `measure` reads."""
    if _is_number(raw):
        bound = spot.limits.number
        return Written(raw, spot.place) if _in_range(spot, raw, -bound, bound) else None
    if not isinstance(raw, str):
        wrong_type(spot, raw, "a length", '"5 1/8" or 5.125')
        return None
    found = text(spot, raw, spot.limits.formula)
    if found == "":
        spot.report("empty-text", f"{spot.label} is empty", 'Write a length, such as "5 1/8".')
        return None
    return None if found is None else Written(found, spot.place)


def amount(spot: Spot, raw: object) -> Written[Raw] | None:
    """How much there is of a supply: a number that is not negative, or a text ("27 yd")."""
    if _is_number(raw) and not _in_range(spot, raw, 0, spot.limits.number):
        return None
    return length(spot, raw)


def share(spot: Spot, raw: object) -> Written[Raw] | None:
    """A share of a whole: a number from 0 to 1, or a text such as "1/3"."""
    if _is_number(raw) and not _in_range(spot, raw, 0, 1):
        return None
    return length(spot, raw)


def angle(spot: Spot, raw: object) -> Written[int | Decimal | str] | None:
    """A fold angle in degrees, or a text with a formula; `flat` knows which angles fold."""
    if isinstance(raw, str):
        found = text(spot, raw, spot.limits.formula)
        return Written(found, spot.place) if found else None
    if not _is_number(raw):
        wrong_type(spot, raw, "an angle in degrees", "90")
        return None
    bound = spot.limits.number
    return Written(raw, spot.place) if _in_range(spot, raw, -bound, bound) else None


def date(spot: Spot, raw: object) -> datetime.date | None:
    """A day, as TOML writes it."""
    if isinstance(raw, datetime.datetime) or not isinstance(raw, datetime.date):
        wrong_type(spot, raw, "a day without quotes", "2027-03-06")
        return None
    return raw

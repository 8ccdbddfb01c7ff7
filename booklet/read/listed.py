"""Checks of values that are lists.

In: a spot and a raw value. Out: a tuple of what the elements are, or None after a problem was
reported.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from booklet.limits import Limits
from booklet.read.spot import Spot, wrong_type
from booklet.read.table import Check, too_many

T = TypeVar("T")


def listed(
    item: Check[T], example: str, bound: Callable[[Limits], int] = lambda limits: limits.items
) -> Check[tuple[T, ...]]:
    """A check that takes a list of any length up to the bound; wrong elements are left out."""

    def check(spot: Spot, raw: object) -> tuple[T, ...] | None:
        if not isinstance(raw, list):
            wrong_type(spot, raw, "a list", example)
            return None
        if too_many(spot, len(raw), bound(spot.limits)):
            return None
        found = [item(spot.at(number), element) for number, element in enumerate(raw)]
        return tuple(value for value in found if value is not None)

    return check


def _exactly(spot: Spot, raw: object, item: Check[T], count: int, example: str) -> list[T] | None:
    """The elements of a list that must have `count` of them."""
    if not isinstance(raw, list):
        wrong_type(spot, raw, f"a list of {count}", example)
        return None
    if len(raw) != count:
        spot.report(
            "wrong-number-of-values",
            f"{spot.label} has {len(raw)} values, not {count}",
            f"Write {count} values, such as {example}.",
        )
        return None
    found = [item(spot.at(number), element) for number, element in enumerate(raw)]
    whole = [value for value in found if value is not None]
    return whole if len(whole) == count else None


def pair(item: Check[T], example: str) -> Check[tuple[T, T]]:
    """A check that takes a list of two."""

    def check(spot: Spot, raw: object) -> tuple[T, T] | None:
        found = _exactly(spot, raw, item, 2, example)
        return None if found is None else (found[0], found[1])

    return check


def triple(item: Check[T], example: str) -> Check[tuple[T, T, T]]:
    """A check that takes a list of three."""

    def check(spot: Spot, raw: object) -> tuple[T, T, T] | None:
        found = _exactly(spot, raw, item, 3, example)
        return None if found is None else (found[0], found[1], found[2])

    return check

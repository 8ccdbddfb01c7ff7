"""Standard things in a box: turned, side by side and on each other."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from booklet.command.packing import DEEP, STATED, TALL, arrangements
from booklet.flat.standard import standard_row, standard_sizes


@pytest.mark.parametrize(
    ("name", "count", "height", "rows", "up"),
    [
        ("tealight", 12, DEEP, (4, 3, 1), TALL),  # one layer, each on its base
        ("tealight", 3, DEEP, (3, 1, 1), TALL),  # no place is empty
        ("tealight", 7, DEEP, (4, 2, 1), TALL),  # one empty place rather than a long row
        ("tealight", 4, TALL, (1, 4, 1), TALL),  # one on another in a carton that stands
        ("aa", 4, DEEP, (4, 1, 1), DEEP),  # lying side by side
        ("aa", 4, TALL, (2, 1, 2), TALL),  # standing two by two
        ("id-1", 20, DEEP, (1, 1, 20), DEEP),
        ("us-note", 50, TALL, (1, 1, 50), TALL),
    ],
)
def test_things_lie_as_a_person_would_lay_them(
    name: str, count: int, height: int, rows: tuple[int, int, int], up: int
) -> None:
    """Cards in a stack, cells lying or standing close, candles on their base."""
    row = standard_row(name)
    assert row is not None
    first = arrangements(row.size, count, height, row.upright)[0]
    assert first.rows == rows
    assert first.turn[height] == up


@settings(deadline=None)
@given(
    st.sampled_from(sorted(standard_sizes())), st.integers(1, 500), st.sampled_from([TALL, DEEP])
)
def test_every_arrangement_has_a_place_for_each(name: str, count: int, height: int) -> None:
    """Enough places, no row, column or layer that stays empty, and sides that follow from them."""
    row = standard_sizes()[name]
    found = arrangements(row.size, count, height, row.upright)
    assert found
    for way in found:
        assert sorted(way.turn) == list(STATED)
        assert math.prod(way.rows) >= count
        for at, many in enumerate(way.rows):
            fewer = [*way.rows[:at], many - 1, *way.rows[at + 1 :]]
            assert math.prod(fewer) < count
        assert list(way.lot) == [
            row.size[own] * many for own, many in zip(way.turn, way.rows, strict=True)
        ]
        if row.upright:
            assert way.turn[height] == TALL


def test_no_two_arrangements_are_the_same() -> None:
    """A round cell turned about itself is the same cell."""
    row = standard_row("aa")
    assert row is not None
    found = arrangements(row.size, 6, TALL, row.upright)
    lots = [(way.lot, way.rows) for way in found]
    assert all(one != other for one, other in itertools.combinations(lots, 2))

"""Bounds stay bounds where 64 bits have no room for a product."""

from __future__ import annotations

from fractions import Fraction
from math import ceil

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from booklet.stock.outer import share_worth


@given(st.integers(1, 2**52), st.integers(0, 2**53), st.integers(1, 1000))
def test_the_worth_of_an_area_is_never_below_the_exact_one(
    area: int, value: int, share: int
) -> None:
    """Against Python's whole numbers, which have no end; at most 2^-49 too much."""
    taken = area * share // 500
    exact = Fraction(taken * value, area)
    found = int(share_worth(np.array([taken]), np.array([area]), np.array([value]))[0])
    assert ceil(exact) <= found <= ceil(exact * (1 + Fraction(1, 2**49)))

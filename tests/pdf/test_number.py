"""Numbers in page streams against those of the PDF library, which wrote them before."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from reportlab.lib.rl_accel import fp_str

from booklet.pdf.brush import number


@given(st.floats(-1e6, 1e6, allow_nan=False))
def test_a_number_is_spelt_as_the_library_spells_it(value: float) -> None:
    assert number(value) == fp_str(value)


EDGES = (0.0, -0.0, 1e-7, 1.1e-7, -4e-7, 0.5, 1, 9.9999999, 10, 99.5, 100, 999.99999, 1000)


@pytest.mark.parametrize("value", [*EDGES, 72000.25, 999999.5, 1e6, 123456789.5])
def test_steps_between_counts_of_decimals_are_spelt_alike(value: float) -> None:
    assert number(value) == fp_str(value)
    assert number(-value) == fp_str(-value)

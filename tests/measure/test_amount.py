"""Amounts of supplies as they are told: rounded up, and in the units that rolls are sold in."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from booklet.measure.amount import amount_text
from booklet.measure.rounding import Printer
from booklet.measure.units import INCH

INCHES = Printer("in", INCH / 16)
METRIC = Printer("mm", Fraction(1))


@pytest.mark.parametrize(
    ("mm", "printer", "text"),
    [
        (INCH * 29, INCHES, "29 in (73.7 cm)"),
        (INCH * 28 + 1, INCHES, "29 in (73.7 cm)"),
        (381, METRIC, "390 mm (15⅜ in)"),
        # By hand: 741 in are 61.75 ft and 18.8214 m.
        (INCH * 741, INCHES, "62 ft (18.9 m)"),
        (14080, METRIC, "14.1 m (47 ft)"),
        (3000, METRIC, "3.0 m (10 ft)"),
        (2999, METRIC, "3000 mm (118⅛ in)"),
    ],
)
def test_lengths_are_told_as_they_are_bought(
    mm: Fraction | int, printer: Printer, text: str
) -> None:
    """Up to three metres by the inch or centimetre, beyond by the foot or tenth of a metre."""
    assert amount_text(Fraction(mm), "mm", printer) == text


@given(st.fractions(min_value=3000, max_value=10**7, max_denominator=1000))
def test_nobody_runs_out_of_tape(mm: Fraction) -> None:
    """Both ways to say a long length are enough, and less than a step too much."""
    feet, metres = amount_text(mm, "mm", INCHES).rstrip(")").split(" (")
    assert 0 <= Fraction(feet.removesuffix(" ft")) * 12 * INCH - mm < 12 * INCH
    assert 0 <= Fraction(metres.removesuffix(" m")) * 1000 - mm < 100


def test_pairs_and_pieces_are_counted() -> None:
    """One pair, two pairs; what is counted without a unit stands bare."""
    assert amount_text(Fraction(1), "pair", INCHES) == "1 pair"
    assert amount_text(Fraction(26), "pair", INCHES) == "26 pairs"
    assert amount_text(Fraction(3), "", INCHES) == "3"

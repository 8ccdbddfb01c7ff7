"""The units of length against published definitions."""

from __future__ import annotations

from fractions import Fraction

import pytest

from booklet.measure.resolve import Scope
from booklet.measure.units import INCH, POINT, UNITS
from booklet.problem import Place, Written

# NIST Special Publication 811 (2008), Appendix B.8, conversion factors in bold type (exact), from
# memory; the yard of 0.9144 m also in NBS Circular 572, addendum of 1960, read.
_NIST_SP_811 = {"in": "25.4", "ft": "304.8", "yd": "914.4"}

# SI Brochure (BIPM, 9th edition 2019), table 7, prefixes, from memory: centi 10^-2, milli 10^-3.
_SI_BROCHURE = {"mm": "1", "cm": "10", "m": "1000"}


@pytest.mark.parametrize(("unit", "mm"), [*_NIST_SP_811.items(), *_SI_BROCHURE.items()])
def test_units_have_their_published_size(unit: str, mm: str) -> None:
    """The factor is exact, no float."""
    assert UNITS[unit] == Fraction(mm)


def test_a_yard_is_three_feet_of_twelve_inches() -> None:
    """NBS Circular 572, addendum of 1960: 1 yd = 0.9144 m exactly, from 1959-07-01."""
    assert UNITS["yd"] == 3 * UNITS["ft"] == 36 * UNITS["in"] == Fraction(9144, 10)


def test_a_point_is_a_seventy_second_of_an_inch() -> None:
    """ISO 32000-1:2008, 8.3.2.3 (PDF Reference 1.7, 4.2.1): default user space unit 1/72 inch."""
    assert POINT * 72 == INCH
    # Letter is 8.5 x 11 in (ANSI/ASME Y14.1), and 612 x 792 of these units.
    assert [INCH * 17 / 2 / POINT, INCH * 11 / POINT] == [612, 792]


@pytest.mark.parametrize(
    ("written", "mm"),
    [
        # ISO/IEC 7810 as quoted in a reference article: ID-1 is 85.60 mm; 3 3/8 in is not it.
        ("3 3/8 in", "85.725"),
        # US No. 10 envelope, 4 1/8 x 9 1/2 in (105 x 241 mm to the millimetre).
        ("4 1/8 in", "104.775"),
        ("9 1/2 in", "241.3"),
        # NIST SP 811, B.8: one foot is 30.48 cm.
        ("30.48 cm", "304.8"),
    ],
)
def test_written_lengths_have_their_published_size(written: str, mm: str) -> None:
    """The way from text to millimetres keeps every digit."""
    scope = Scope("in", INCH / 16)
    assert scope.length(Written(written, Place("p.toml", 1, 1)), []) == Fraction(mm)

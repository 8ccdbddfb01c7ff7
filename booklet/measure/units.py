"""Units of length and their exact size.

In: the name of a unit. Out: its size in millimetres as a fraction.

Source of every factor: NIST Special Publication 811 (2008), Guide for the Use of the
International System of Units, Appendix B: inch, foot and yard, all exact, from the yard of
0.9144 m. The point is the default unit of ISO 32000-1, 8.3.2.3: 1/72 inch; it is not offered in
formulas, where paper traders would mistake it for their thousandth of an inch.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from types import MappingProxyType
from typing import Final

INCH: Final = Fraction(254, 10)
CENTIMETRE: Final = Fraction(10)
POINT: Final = INCH / 72

UNITS: Final[Mapping[str, Fraction]] = MappingProxyType(
    {
        "in": INCH,
        '"': INCH,
        "″": INCH,
        "mm": Fraction(1),
        "cm": CENTIMETRE,
        "m": Fraction(1000),
        "ft": 12 * INCH,
        "yd": 36 * INCH,
    }
)
"""Millimetres in each unit that a formula may name."""

NAMED: Final = tuple(unit for unit in UNITS if unit.isalpha())
"""The units that are words, not marks such as the inch's double prime."""

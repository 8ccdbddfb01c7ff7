"""A quantity: an exact number together with its power of length.

In: a fraction. Out: `Quantity`, the value that formulas are computed with. A length that leaves
the measure stage is a bare `fractions.Fraction` of a millimetre.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import Final

NUMBER: Final = 0
LENGTH: Final = 1

_NAMES: Final = {0: "a plain number", 1: "a length", 2: "an area", 3: "a volume"}


@dataclass(frozen=True)
class Quantity:
    """A value with its dimension.

    `dimension` is the power of length: 0 a plain number, 1 a length (`value` in millimetres),
    2 an area (square millimetres), and so on; only 0 and 1 may be a formula's result. `exact` is
    False once a root or an angle function had to round.
    """

    value: Fraction
    dimension: int
    exact: bool = True


def dimension_name(dimension: int) -> str:
    """The dimension in words, with its article: "a length"."""
    return _NAMES.get(dimension, f"a length to the power {dimension}")

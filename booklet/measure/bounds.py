"""Bounds against numbers and formulas that explode.

In: numbers as written, and every intermediate result. Out: the same value as a fraction, or a
`FormulaError`. Everything is refused before it is expanded: a decimal of a million digits
is never turned into an integer.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Final

MAX_TEXT: Final = 400
"""Characters in one formula; the longest in a real project has about sixty."""

MAX_DEPTH: Final = 24
"""Brackets, functions and signs inside one another; bounds the parser's own recursion."""

MAX_DIGITS: Final = 24
"""Digits of one number as written; ten metres to a billionth of a millimetre have 13."""

MAX_POWER: Final = 12
"""Largest power of ten, up or down, of one number as written."""

MAX_BITS: Final = 512
"""Bits of a numerator or denominator while a formula is computed; keeps floats finite too."""

MAX_DIMENSION: Final = 6
"""Largest power of length while a formula is computed."""

LONGEST_MM: Final = Fraction(10_000)
"""Millimetres. No paper is longer than ten metres; a larger value is a slip of the pen."""

SHORTEST_MM: Final = Fraction(1, 100)
"""Millimetres. The thinnest paper has twice that; below it, points of an outline coincide."""


class FormulaError(Exception):
    """A formula that has no value: raised and caught inside the measure stage only.

    `at` is the offset of the offending character in the text, or None for the whole value.
    """

    def __init__(self, code: str, message: str, way_out: str, at: int | None = None) -> None:
        super().__init__(message)
        self.code = code
        self.message = message
        self.way_out = way_out
        self.at = at


def shown(value: object) -> str:
    """The value as text for a message, shortened in the middle where it is long."""
    text = str(value)
    return text if len(text) <= 60 else f"{text[:40]} ... {text[-10:]}"


def from_written(value: int | Decimal) -> Fraction:
    """The exact fraction of a TOML number; FormulaError `number-out-of-range` if unusable."""
    if isinstance(value, int):
        if value.bit_length() > 4 * MAX_POWER:
            raise _out_of_range(f"a number of {value.bit_length()} bits is too large")
        return Fraction(value)
    if not value.is_finite():
        raise _out_of_range(f"{value} is not a finite number")
    if value.is_zero():
        return Fraction(0)
    if abs(value.adjusted()) > MAX_POWER:
        raise _out_of_range(f"{shown(value)} is too large or too small for a size")
    if len(value.as_tuple().digits) > MAX_DIGITS:
        raise _out_of_range(f"{shown(value)} has more than {MAX_DIGITS} digits")
    return Fraction(value)


def bounded(value: Fraction, at: int | None) -> Fraction:
    """The value itself while it stays within MAX_BITS; FormulaError otherwise."""
    if max(value.numerator.bit_length(), value.denominator.bit_length()) > MAX_BITS:
        raise _out_of_range("the formula's numbers grow too large here", at)
    return value


def _out_of_range(message: str, at: int | None = None) -> FormulaError:
    return FormulaError(
        "number-out-of-range", message, "Write an ordinary number such as 5 1/8 or 130.", at
    )

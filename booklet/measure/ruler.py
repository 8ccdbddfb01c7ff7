"""The marks of the maker's ruler.

In: a length and the ruler's smallest mark, both in millimetres. Out: whether it lies on a mark,
and the nearest one.
"""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Final

from booklet.measure.tolerance import SAME_MM
from booklet.measure.units import INCH

DEFAULT_RULER: Final = {"in": INCH / 16, "mm": Fraction(1), "cm": Fraction(1)}
"""Smallest mark in millimetres where a project names none. Common practice, no source."""


def exact(mm: Fraction | float) -> Fraction:
    """The length as a fraction; a float loses the noise below a billionth of a millimetre."""
    return mm if isinstance(mm, Fraction) else Fraction(mm).limit_denominator(10**9)


def nearest_mark(mm: Fraction | float, ruler: Fraction) -> Fraction:
    """The mark nearest to `mm`; halfway between two, the larger one, as makers round up."""
    return math.floor(exact(mm) / ruler + Fraction(1, 2)) * ruler


def mark_up(mm: Fraction | float, ruler: Fraction) -> Fraction:
    """The next mark from `mm` up, for advice that must not be too small."""
    return math.ceil(exact(mm) / ruler - Fraction(SAME_MM)) * ruler


def on_ruler(mm: Fraction | float, ruler: Fraction) -> bool:
    """Whether `mm` lies on a mark, but for the noise of floats."""
    return abs(exact(mm) - nearest_mark(mm, ruler)) <= SAME_MM

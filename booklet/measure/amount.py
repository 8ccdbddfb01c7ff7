"""Amounts of supplies in words.

In: a number with its unit. Out: text; a length is said in the project's units, rounded up to a
whole inch or centimetre, since nobody cuts tape by the sixteenth.
"""

from __future__ import annotations

import math
from fractions import Fraction

from booklet.measure.rounding import Printer
from booklet.measure.units import CENTIMETRE, INCH


def amount_text(amount: Fraction | float, unit: str, printer: Printer) -> str:
    """`amount` in `unit`; millimetres are rounded up and printed as a length."""
    if unit == "mm":
        step = INCH if printer.units == "in" else CENTIMETRE
        whole = math.ceil(Fraction(amount) / step - Fraction(1, 10**6)) * step
        return printer.both(whole)
    number = Fraction(amount).limit_denominator(1000)
    text = str(number.numerator) if number.denominator == 1 else f"{float(number):g}"
    if unit in ("pair", "pairs"):
        unit = "pair" if number == 1 else "pairs"
    return f"{text} {unit}".strip()

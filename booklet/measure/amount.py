"""Amounts of supplies in words.

In: a number with its unit. Out: text; a length is said in the project's units, rounded up to a
whole inch or centimetre, since nobody cuts tape by the sixteenth; a long one, as a class needs it,
to a whole foot or a tenth of a metre, as rolls are sold.
"""

from __future__ import annotations

import math
from fractions import Fraction

from booklet.measure.rounding import Printer
from booklet.measure.units import CENTIMETRE, INCH

LONG = 3000
"""Millimetres from which a length is told in feet and metres."""


def amount_text(amount: Fraction | float, unit: str, printer: Printer) -> str:
    """`amount` in `unit`; millimetres are rounded up and printed as a length."""
    if unit == "mm" and amount >= LONG:
        feet = f"{_steps(amount, 12 * INCH)} ft"
        metres = f"{_steps(amount, 10 * CENTIMETRE) / 10:.1f} m"
        return f"{feet} ({metres})" if printer.units == "in" else f"{metres} ({feet})"
    if unit == "mm":
        step = INCH if printer.units == "in" else CENTIMETRE
        return printer.both(_steps(amount, step) * step)
    number = Fraction(amount).limit_denominator(1000)
    text = str(number.numerator) if number.denominator == 1 else f"{float(number):g}"
    if unit in ("pair", "pairs"):
        unit = "pair" if number == 1 else "pairs"
    return f"{text} {unit}".strip()


def _steps(amount: Fraction | float, step: Fraction) -> int:
    """How many steps hold that many millimetres, but for the noise of geometry."""
    return math.ceil(Fraction(amount) / step - Fraction(1, 10**6))

"""`--measured`: what a printer makes of a length that is known.

In: the option as typed, such as "98.2mm". Out: what that printer makes of 100 mm, in mm.
"""

from __future__ import annotations

import argparse
from fractions import Fraction
from typing import Final

from booklet.command.show import harmless
from booklet.measure.resolve import Scope
from booklet.measure.ruler import DEFAULT_RULER
from booklet.measure.units import INCH
from booklet.problem import Place, Problem, Written

MOST: Final = 10
"""Percent that a printer may be out. More is no printer's fault, but a wrong setting or line."""
LETTERS: Final = 40
"""Longer words are no measure."""


def measured(word: str) -> float:
    """Raises ArgumentTypeError with words for what is no measure of the scale check.

    Millimetres and centimetres are those of the 100 mm line, inches those of the 4 in line.
    """
    text = word.strip()
    if len(text) > LETTERS or not any(text.endswith(unit) for unit in ("mm", "cm", "in", '"')):
        raise argparse.ArgumentTypeError(
            f"{word[:LETTERS]!r} says no unit: write what the check measured, as in 98.2mm"
        )
    inches = text.endswith(("in", '"'))
    unit = "in" if inches else "mm"
    found: list[Problem] = []
    length = Scope(unit, DEFAULT_RULER[unit]).length(Written(text, Place("", 1, 1)), found)
    if length is None:
        raise argparse.ArgumentTypeError(harmless(found[0].message))
    line, name = (4 * INCH, "4 in") if inches else (Fraction(100), "100 mm")
    # Exact: in floats 110 mm is a little more than 10 % out, and 90 mm is not.
    share = length / line * 100
    if abs(share - 100) > MOST:
        raise argparse.ArgumentTypeError(
            f"{word!r} is not within {MOST} % of the {name} line of the scale check: look at the "
            "print settings, or measure again"
        )
    return float(share)

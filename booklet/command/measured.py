"""`--measured`: what a printer makes of a length that is known.

In: the option as typed, such as "98.2mm". Out: what that printer makes of 100 mm, in mm.
"""

from __future__ import annotations

import argparse
import math
from typing import Final

from booklet.command.show import harmless
from booklet.measure.resolve import Scope
from booklet.measure.ruler import DEFAULT_RULER
from booklet.measure.units import INCH
from booklet.problem import Place, Problem, Written

MOST: Final = 10.0
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
    line, name = (float(4 * INCH), "4 in") if inches else (100.0, "100 mm")
    share = float(length) / line * 100
    if not math.isfinite(share) or abs(share - 100) > MOST:
        raise argparse.ArgumentTypeError(
            f"{word!r} is not within {MOST:g} % of the {name} line of the scale check: look at the "
            "print settings, or measure again"
        )
    return share

"""Another unit with a ruler of its own: to which mark each length as written goes.

In: millimetres that a file gives as a literal, and the place of the value that it stands in. Out:
millimetres on a mark of the other ruler. Formulas then follow from rounded parts, so that parts
that are printed add up to the whole that is printed.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from fractions import Fraction

from booklet.measure.ruler import DEFAULT_RULER, nearest_mark
from booklet.problem import Place


@dataclass(frozen=True)
class Reround:
    """`unit` names the other unit, `ruler` is its smallest mark in mm.

    A literal goes to the nearest mark, in a value at a place of `up` or `down` that way. One that
    is shorter than a mark, such as a reveal on a ruler of 5 mm, goes to the finer marks that are
    usual for the unit unless it goes up; none vanishes.
    """

    unit: str
    ruler: Fraction
    up: frozenset[Place] = field(default_factory=frozenset)
    down: frozenset[Place] = field(default_factory=frozenset)

    def mark(self, mm: Fraction, place: Place) -> Fraction:
        """The mark that a literal of `mm` in the value at `place` goes to."""
        size = abs(mm)
        coarse = size >= self.ruler or place in self.up
        ruler = self.ruler if coarse else min(self.ruler, DEFAULT_RULER[self.unit])
        if place in self.up:
            mark = math.ceil(size / ruler) * ruler
        elif place in self.down:
            mark = math.floor(size / ruler) * ruler
        else:
            mark = nearest_mark(size, ruler)
        if size:
            mark = max(mark, ruler)
        return mark if mm >= 0 else -mark

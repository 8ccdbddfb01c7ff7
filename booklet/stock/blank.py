"""Blanks and sheets in whole numbers, and the distances at which a cut can be of use.

In: rectangles in exact millimetres. Out: `Blank`s in whole units (a common measure of all sides),
and the sums of sides ("normal patterns") that suffice for every cut: a layout can always be pushed
to the left and down until each cut lies at a sum of sides (Herz, IBM Journal of Research and
Development 16 (1972) 462-469).
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

FINEST = Fraction(1, 1_000_000)
"""Millimetres: sides without a common measure are rounded to this or more, see `common_unit`."""

LARGEST = 2**26
"""Units in the longest side: areas have 52 bits then, and sums of a thousand of them stay exact."""


@dataclass(frozen=True)
class Blank:
    """A rectangle to be cut, in whole units; `turns` says that it may lie turned by a quarter.

    `copies` bounds how many are of use (the demand).
    """

    w: int
    h: int
    turns: bool
    copies: int

    def ways(self) -> tuple[tuple[int, int, bool], ...]:
        """The ways it may lie, as (w, h, turned)."""
        straight = (self.w, self.h, False)
        return (
            (straight, (self.h, self.w, True)) if self.turns and self.w != self.h else (straight,)
        )


def fits(blank: Blank, w: int, h: int) -> bool:
    """Whether the blank fits into w x h in some way that it may lie."""
    return any(bw <= w and bh <= h for bw, bh, _ in blank.ways())


def common_unit(lengths: Iterable[Fraction]) -> Fraction:
    """The largest unit (mm) of which every length is a whole multiple.

    Where that is too fine for exact work in 64 bits (lengths from roots and sines), the unit is the
    least power of ten from `FINEST` on that is not (1/100,000 mm for sheets up to 67 cm); lengths
    are then rounded down to it.
    """
    values = [value for value in lengths if value]
    if not values:
        return Fraction(1)
    denominator = math.lcm(*(value.denominator for value in values))
    numerator = math.gcd(
        *(value.numerator * (denominator // value.denominator) for value in values)
    )
    unit = Fraction(numerator, denominator)
    if max(values) / unit <= LARGEST:
        return unit
    unit = FINEST
    while max(values) / unit > LARGEST:
        unit *= 10
    return unit


def sums(limit: int, sides: Sequence[tuple[int, int]], most: int) -> list[int] | None:
    """All sums of sides up to `limit`, 0 included, in order; a side is (length, copies).

    Copies of the same length in several sides add up. None where there are more than `most`.
    """
    together: Counter[int] = Counter()
    for side, copies in sides:
        together[side] += copies
    found = {0}
    for side, copies in sorted(together.items(), reverse=True):
        fresh = set(found)
        for _ in range(min(copies, limit // side)):
            fresh = {value + side for value in fresh if value + side <= limit} - found
            if not fresh:
                break
            found |= fresh
            if len(found) > most:
                return None
    return sorted(found)

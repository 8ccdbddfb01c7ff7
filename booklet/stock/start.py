"""First plans: sheet after sheet filled with the largest blank that fits, quickly and many times.

In: a sheet and blanks in whole units, with how many of each are wanted. Out: plans as layouts with
how many sheets of each. None of them is proved; together they are layouts to choose from, and the
best of them is never far off.

Each rectangle gets a blank in its corner and is cut beside it or above it; the two rests are filled
in the same way. Blanks come in the order of their areas, next time a little shaken, and what came
late, on the emptiest sheet, comes earlier from then on ("squeaky wheel", Joslin and Clements,
Journal of Artificial Intelligence Research 10 (1999) 353-373; from memory).
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from booklet.stock.blank import Blank
from booklet.stock.part import Part, row, single

Layouts = list[tuple[int, Part]]
"""Sheets of each layout."""

SHAKEN = 0.35
"""How far a blank may come before one that is larger, as a share of its weight."""
SOONER = 1.15
"""What the weight of a blank grows by when it came last."""
CLOSE = 4
"""Of so many blanks that come next and fit, the one that leaves the narrowest rest is taken."""


@dataclass
class _Sheet:
    """One sheet being filled: what is still wanted of each kind, and the steps spent."""

    blanks: Sequence[Blank]
    order: Sequence[int]
    left: list[int]
    dice: random.Random
    close: int
    spent: int = 0

    def fill(self, w: int, h: int) -> Part | None:
        """The tree for a rectangle; None where nothing fits."""
        found = self._chosen(w, h)
        if found is None:
            return None
        kind, bw, bh, turned = found
        self.left[kind] -= 1
        part = single(bw, bh, kind, turned)
        # The cut that leaves the larger rectangle whole, mostly: the other way makes other plans.
        upright = (w - bw) * h > (h - bh) * w
        if self.dice.random() < 0.25:
            upright = not upright
        if upright:
            return self._joined(part, (bw, h - bh), (w - bw, h), upright)
        return self._joined(part, (w - bw, bh), (w, h - bh), upright)

    def _joined(
        self, part: Part, close: tuple[int, int], far: tuple[int, int], upright: bool
    ) -> Part:
        """The blank with what fills the rest of its strip, and then the rest of the rectangle."""
        for (w, h), beside in ((close, not upright), (far, upright)):
            more = self.fill(w, h) if w > 0 and h > 0 else None
            if more is not None:
                part = row([part, more], beside)
        return part

    def _chosen(self, w: int, h: int) -> tuple[int, int, int, bool] | None:
        """Kind, sides and whether it is turned of the blank that goes into the corner."""
        best: tuple[int, int, int, bool] | None = None
        least, seen = 0, 0
        for kind in self.order:
            if not self.left[kind]:
                continue
            self.spent += 1
            fitted = False
            for bw, bh, turned in self.blanks[kind].ways():
                rest = min(w - bw, h - bh)
                if rest >= 0:
                    fitted = True
                    if best is None or rest < least:
                        best, least = (kind, bw, bh, turned), rest
            seen += fitted
            if seen >= self.close or (best is not None and least == 0):
                break
        return best


def first_plans(
    w: int, h: int, blanks: Sequence[Blank], most: int
) -> Iterator[tuple[Layouts, int]]:
    """Plan after plan with the steps that it took; each has no more than `most` layouts."""
    dice = random.Random(0)
    weights = [float(blank.w * blank.h) for blank in blanks]
    shake = 0.0
    while True:
        keys = [weight * (1 + shake * dice.random()) for weight in weights]
        order = sorted(range(len(blanks)), key=lambda kind: -keys[kind])
        close = 1 if not shake else dice.randint(1, CLOSE)
        plan, spent = _plan(w, h, blanks, order, close, dice, most)
        yield plan, spent
        if plan:
            for kind in plan[-1][1].counts:
                weights[kind] *= SOONER
        shake = SHAKEN


def _plan(
    w: int,
    h: int,
    blanks: Sequence[Blank],
    order: Sequence[int],
    close: int,
    dice: random.Random,
    most: int,
) -> tuple[Layouts, int]:
    """Sheets filled until nothing is wanted, the emptiest last; none if it takes more layouts."""
    left = [blank.copies for blank in blanks]
    plan: Layouts = []
    spent = 0
    while any(left):
        if len(plan) == most:
            return [], spent
        sheet = _Sheet(blanks, order, list(left), dice, close)
        part = sheet.fill(w, h)
        assert part is not None
        spent += sheet.spent
        times = min(left[kind] // count for kind, count in part.counts.items())
        left = [n - times * part.counts[kind] for kind, n in enumerate(left)]
        plan.append((times, part))
    areas = [blank.w * blank.h for blank in blanks]
    plan.sort(key=lambda each: -sum(areas[kind] * n for kind, n in each[1].counts.items()))
    return plan, spent

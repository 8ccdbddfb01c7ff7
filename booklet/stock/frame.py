"""A sheet and its blanks, ready for the dynamic programme.

In: a sheet and blanks in whole units. Out: a `Frame`: the grid of sums of sides, or, where there
are too many sums, two coarser grids: one with every side rounded down, whose best values bound the
true ones from above (sides that fit one behind the other still do), and one with every side rounded
up, whose layouts can be cut.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from booklet.stock.blank import Blank
from booklet.stock.part import Part, row
from booklet.stock.yield_dp import Grid, Whole, best_part, best_values, grid_of


@dataclass(frozen=True)
class Frame:
    """`below` and `above` are grids in steps of `unit`; they are one and exact where it is 1."""

    w: int
    h: int
    blanks: tuple[Blank, ...]
    unit: int
    below: Grid
    above: Grid
    strip: int = 0

    @property
    def exact(self) -> bool:
        """Whether values and layouts are the best there are."""
        return self.unit == 1

    @property
    def effort(self) -> int:
        """What one table of best values costs, in pairs of builds (see `limited`)."""
        wide, tall = len(self.below.xs), len(self.below.ys)
        return wide * tall * (wide + tall) // 40


def frame_of(w: int, h: int, blanks: Sequence[Blank], most: int, strip: int = 0) -> Frame:
    """The frame of a sheet with up to `most` sums along one edge.

    `strip` is the narrowest strip that can be cut off. The tables do not know of it: where there
    is one, their values are bounds, and `limited` finds the layouts.
    """
    exact = grid_of(w, h, blanks, most)
    if exact is not None:
        return Frame(w, h, tuple(blanks), 1, exact, exact, strip)
    unit = step(w, h, most)
    low = grid_of(w // unit, h // unit, [rounded(one, unit, up=False) for one in blanks], most)
    high = grid_of(w // unit, h // unit, [rounded(one, unit, up=True) for one in blanks], most)
    assert low is not None and high is not None
    return Frame(w, h, tuple(blanks), unit, low, high, strip)


def step(w: int, h: int, most: int) -> int:
    """The coarse unit of a sheet; a side below it cannot be planned."""
    return -(-max(w, h) // (most // 2))


def rounded(blank: Blank, unit: int, up: bool) -> Blank:
    """The blank in coarse units, its sides rounded up or down."""
    extra = unit - 1 if up else 0
    return Blank((blank.w + extra) // unit, (blank.h + extra) // unit, blank.turns, blank.copies)


def upper_values(frame: Frame, values: Sequence[int], cap: Whole | None = None) -> Whole:
    """Upper bounds on the value of each rectangle of the grid `below`."""
    blanks = [rounded(blank, frame.unit, up=False) for blank in frame.blanks]
    return best_values(frame.below, blanks, values, cap)


def best_layout(frame: Frame, values: Sequence[int]) -> tuple[Part | None, int]:
    """A layout of great value with any number of copies, and an upper bound that none exceeds."""
    if frame.exact:
        table = best_values(frame.below, frame.blanks, values)
        return best_part(frame.below, table, frame.blanks, values), int(table[-1, -1])
    bound = int(upper_values(frame, values)[-1, -1])
    blanks = [rounded(blank, frame.unit, up=True) for blank in frame.blanks]
    table = best_values(frame.above, blanks, values)
    found = best_part(frame.above, table, blanks, values)
    plain = _rows(frame, values)
    candidates = [_true_size(found, frame.blanks)] if found else []
    candidates += [plain] if plain else []
    worth = [sum(values[k] * n for k, n in part.counts.items()) for part in candidates]
    return (candidates[worth.index(max(worth))] if candidates else None), bound


def _rows(frame: Frame, values: Sequence[int]) -> Part | None:
    """One kind of blank in rows and columns: exact fits that coarse units would miss."""
    best: tuple[int, Part] | None = None
    for kind, (blank, value) in enumerate(zip(frame.blanks, values, strict=True)):
        for w, h, turned in blank.ways():
            across, up = min(frame.w // w, blank.copies), frame.h // h
            if across and up and (best is None or across * up * value > best[0]):
                strip = row([Part(w, h, kind, turned)] * across, True)
                best = (across * up * value, row([strip] * min(up, blank.copies), False))
    return best[1] if best and best[0] else None


def _true_size(part: Part, blanks: Sequence[Blank]) -> Part:
    """A layout of rounded blanks with their true sides."""
    if part.kind >= 0:
        w, h = blanks[part.kind].w, blanks[part.kind].h
        return Part(*((h, w) if part.turned else (w, h)), part.kind, part.turned)
    return row([_true_size(child, blanks) for child in part.parts], part.beside)

"""A cutting plan as values: what `stock` hands to the pages, the terminal and the report.

In: nothing (pure definitions). Out: frozen dataclasses, exact `Fraction` millimetres. Places in a
sheet are measured from its lower left corner, x to the right and y up, the sheet as it is bought.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

Size = tuple[Fraction, Fraction]


@dataclass(frozen=True)
class Placement:
    """One blank on a sheet. `piece` is the id of a piece or a mat; `w` and `h` are as it lies."""

    piece: str
    x: Fraction
    y: Fraction
    w: Fraction
    h: Fraction
    turned: bool


@dataclass(frozen=True)
class Leftover:
    """A rectangle that is left of one sheet when its layout is cut."""

    x: Fraction
    y: Fraction
    w: Fraction
    h: Fraction


@dataclass(frozen=True)
class Cut:
    """One setting of the fence, in the order of work.

    `number` counts from 1. `stack` is the letter of the parts in hand: "A" is the sheet as bought,
    every part that is cut further gets the next letter. `size` (w, h) is one such part before this
    setting, as it lies in the layout. `upright` says that the blade runs parallel to y: the left
    edge is against the fence and `fence` is measured along x; otherwise the lower edge is against
    the fence and `fence` is measured along y.
    `turn` is how many quarters the part is turned since the last cut of it or of the stack that it
    comes from: 0, 1, or 2 to cut the opposite edge. The cut is made `times` times at this setting,
    and `parts` parts lie in hand for one sheet (1 for the sheet itself): multiply by the layout's
    `sheets`. `gives` names what lies between fence and blade: the id of a piece or mat, the letter
    of a stack that is cut further, or "" for what is left over; `rest` names in the same way what
    remains beyond the blade after the last of these cuts.
    """

    number: int
    stack: str
    size: Size
    upright: bool
    turn: int
    fence: Fraction
    times: int
    parts: int
    gives: str
    rest: str


@dataclass(frozen=True)
class Layout:
    """How some sheets are cut, all alike. `leftovers` are those of one sheet, largest first."""

    sheets: int
    placements: tuple[Placement, ...]
    cuts: tuple[Cut, ...]
    leftovers: tuple[Leftover, ...]

    def counts(self) -> dict[str, int]:
        """How often each piece or mat lies on one sheet."""
        found: dict[str, int] = {}
        for placed in self.placements:
            found[placed.piece] = found.get(placed.piece, 0) + 1
        return found


@dataclass(frozen=True)
class StockPlan:
    """The plan of one stock for `kits` projects: one for each maker, and the spare ones.

    `per_sheet` says how many of that piece alone one sheet yields (0 where it does not fit);
    `wanted` how many are needed altogether. `needed` sheets are planned; no plan needs fewer than
    `bound`; `proved` says that the two are equal, else `gap` is how many sheets lie between them.
    `unplaced` lists pieces and mats that are larger than the sheet as they may lie: they are left
    out. `note` tells a reader what was bounded or left out, "" where nothing was.
    """

    stock: str
    sheet: Size
    trim: Fraction
    kits: int
    per_sheet: dict[str, int]
    wanted: dict[str, int]
    needed: int
    bound: int
    proved: bool
    gap: int
    layouts: tuple[Layout, ...]
    unplaced: tuple[str, ...] = ()
    note: str = ""

    @property
    def settings(self) -> int:
        """How many different fence positions the whole plan sets."""
        return len({cut.fence for layout in self.layouts for cut in layout.cuts})

"""The best layout of one sheet when every blank may be cut only so often.

In: a sheet and blanks in whole units, a value for each kind. Out: the greatest total value with its
layout and whether it is proved, or every layout whose value reaches a given floor.

Search from small to large: a build is joined to every build met before, side by side and one above
the other (Wang, Operations Research 31 (1983) 573 ff.), the most promising first (Viswanathan and
Bagchi, Operations Research 41 (1993) 768-776). A build is dropped only for reasons that hold
without exception, since published shortcuts have been refuted (Russo, Boccia, Sforza and Sterle,
International Transactions in Operational Research 27 (2020) 794-834): its value together with the
most that the rest of the sheet could hold is too small, or the same blanks are met in a smaller
rectangle. (A build that holds the same blanks and more in no larger room is no reason: where copies
are limited, both halves of the best layout can be ruled out so, each for the other's sake.)
"""

from __future__ import annotations

import heapq
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import numpy.typing as npt

from booklet.stock.blank import Blank
from booklet.stock.outer import Bounds
from booklet.stock.part import Part, row, single

Whole = npt.NDArray[np.int64]
Flags = npt.NDArray[np.bool_]
Extent = tuple[int, bool, int, bool]
"""Width, whether any larger one will do, height, whether any larger one will do."""
Words = npt.NDArray[np.uint64]


BUILD = 50
"""Pairs of builds that are looked at in the time that one new build takes to be kept."""


@dataclass(frozen=True)
class Filling:
    """What is asked: a sheet w by h, blanks with as many copies as are wanted, what one is worth.

    `values` are by kind, `bounds` those of these blanks and values.
    """

    w: int
    h: int
    blanks: Sequence[Blank]
    values: Sequence[int]
    bounds: Bounds


@dataclass(frozen=True)
class Found:
    """`best` is the most valuable layout (None where nothing is worth more than the floor).

    `parts` are all that are worth more, where they were asked for; `proved` says that the search
    ran to its end; no layout is worth more than `bound`; `spent` is the work that it took.
    """

    best: Part | None
    value: int
    parts: tuple[Part, ...]
    proved: bool
    bound: int
    spent: int


def fill(asked: Filling, work: int, floor: int = 0, others: int = 0) -> Found:
    """The most valuable layout worth more than `floor`; `work` bounds the pairs looked at.

    `parts` are up to `others` more layouts worth more than the floor that were met on the way.
    """
    search = _Search(asked, floor, rising=True)
    proved = search.run(work)
    best = None if search.best < 0 else search.part(search.best)
    met = search.dearest()[: others + 1]
    parts = tuple(search.part(at) for at in met if at != search.best)
    return Found(
        best, search.floor if best else 0, parts[:others], proved, search.ceiling, search.spent
    )


def list_layouts(asked: Filling, work: int, floor: int, most: int, hopeful: int) -> Found:
    """Every layout (as the blanks on it, once) with more than `floor`.

    Where there are more than `most`, or the work is spent: `hopeful` of them, the most valuable.
    """
    search = _Search(asked, floor, rising=False, most=most)
    proved = search.run(work)
    kept = search.reached if proved else search.dearest()[:hopeful]
    hits = tuple(search.part(index) for index in kept)
    top = int(search.value[search.reached].max()) if hits else 0
    return Found(None, top, hits, proved, top if proved else search.ceiling, search.spent)


def arrangements(asked: Filling, work: int, floor: int) -> tuple[tuple[Part, ...], int]:
    """Layouts worth more than `floor`, the same blanks in rectangles of several sizes; the work."""
    search = _Search(asked, floor, rising=False, every=True)
    search.run(work)
    return tuple(search.part(index) for index in search.reached), search.spent


@dataclass
class _Search:
    """The builds met so far, one row each: size, value, copies used, and how it was joined."""

    asked: Filling
    floor: int
    rising: bool
    every: bool = False
    most: int | None = None
    size: int = 0
    best: int = -1
    ceiling: int = 0
    spent: int = 0
    reached: list[int] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.w, self.h, self.blanks = self.asked.w, self.asked.h, self.asked.blanks
        self.values = np.array(self.asked.values, dtype=np.int64)
        self.bounds = self.asked.bounds
        self.worth = self.floor
        self.bits = [max(1, blank.copies).bit_length() + 1 for blank in self.blanks]
        self.words, self.shifts = _layout_of_words(self.bits)
        self.limit = np.zeros(self.words, dtype=np.uint64)
        self.guard = np.zeros(self.words, dtype=np.uint64)
        for (word, shift), bits, blank in zip(self.shifts, self.bits, self.blanks, strict=True):
            # A count above its limit carries into the guard bit of its field.
            spare = (1 << (bits - 1)) - 1 - blank.copies
            self.limit[word] |= np.uint64(spare << shift)
            self.guard[word] |= np.uint64(1 << (bits - 1 + shift))
        rows = 1024
        self.wide, self.tall, self.value = (np.zeros(rows, dtype=np.int64) for _ in range(3))
        self.used = np.zeros((rows, self.words), dtype=np.uint64)
        self.counts = np.zeros((rows, len(self.blanks)), dtype=np.int32)
        self.made = np.zeros((rows, 3), dtype=np.int64)
        self.free_w, self.free_h = (np.zeros(rows, dtype=np.bool_) for _ in range(2))
        self.seen: dict[bytes, list[Extent]] = {}
        self.ended: set[bytes] = set()
        self.heap: list[tuple[int, int, int]] = []

    def _make_room(self, rows: int) -> None:
        self.wide, self.tall = grown(self.wide, rows), grown(self.tall, rows)
        self.value, self.made = grown(self.value, rows), grown(self.made, rows)
        self.used, self.counts = grown(self.used, rows), grown(self.counts, rows)
        self.free_w, self.free_h = grown(self.free_w, rows), grown(self.free_h, rows)

    def run(self, work: int) -> bool:
        """Search until nothing promising is left (True) or the work is spent (False)."""
        self._single_blanks()
        order = np.zeros(1024, dtype=np.int64)
        closed = before = 0
        while self.heap:
            bound, _, index = heapq.heappop(self.heap)
            if -bound <= self.floor:
                break
            if closed == order.size:
                order = grown(order, 2 * closed)
            order[closed] = index
            closed += 1
            self.spent += closed + BUILD * (self.size - before)
            before = self.size
            if self.spent > work or (self.most is not None and len(self.reached) > self.most):
                self.ceiling = -bound
                return False
            self._join_all(index, order[:closed])
        self.ceiling = self.floor
        return True

    def _single_blanks(self) -> None:
        for kind, blank in enumerate(self.blanks):
            if blank.copies < 1:
                continue
            for w, h, turned in blank.ways():
                if w <= self.w and h <= self.h:
                    counts = np.zeros((1, len(self.blanks)), dtype=np.int64)
                    counts[0, kind] = 1
                    used = np.zeros((1, self.words), dtype=np.uint64)
                    word, shift = self.shifts[kind]
                    used[0, word] = np.uint64(1 << shift)
                    row = np.array([[kind, int(turned), -1]], dtype=np.int64)
                    free = np.array([not self.bounds.strip])
                    sides = np.array([w], dtype=np.int64), np.array([h], dtype=np.int64)
                    self._add(*sides, free, free, used, counts, row)

    def _join_all(self, index: int, others: Whole) -> None:
        """Join one build to each of the others, both ways."""
        room = ((self.used[others] + self.used[index] + self.limit) & self.guard) == 0
        others = others[room.all(axis=1)]
        if not others.size:
            return
        for beside in (True, False):
            wide, free_w = self._side(self.wide, self.free_w, index, others, in_line=beside)
            tall, free_h = self._side(self.tall, self.free_h, index, others, in_line=not beside)
            keep = np.flatnonzero((wide <= self.w) & (tall <= self.h))
            if keep.size:
                pair = others[keep]
                made = np.empty((keep.size, 3), dtype=np.int64)
                made[:, 0], made[:, 1], made[:, 2] = index, pair, int(beside)
                used = self.used[pair] + self.used[index]
                counts = self.counts[pair] + self.counts[index]
                frees = free_w[keep], free_h[keep]
                self._add(wide[keep], tall[keep], *frees, used, counts, made)

    def _side(
        self, sides: Whole, frees: Flags, index: int, others: Whole, in_line: bool
    ) -> tuple[Whole, Flags]:
        """The side of each join and whether any larger one will do (`part.meet` for arrays)."""
        one, other = sides[index], sides[others]
        one_free, other_free = frees[index], frees[others]
        if in_line:
            return one + other, one_free | other_free
        strip = self.bounds.strip
        longer = np.maximum(one, other)
        if not strip:
            return longer, other_free
        long_free = np.where(other > one, other_free, one_free)
        short_free = np.where(other > one, one_free, other_free)
        gap = np.abs(one - other)
        held = (gap > 0) & (gap < strip) & ~short_free
        free = held | np.where(gap == 0, one_free & other_free, long_free)
        side = np.where(held, np.where(long_free, longer - gap, longer) + strip, longer)
        return side, free

    def _ends(self, w: int, h: int, free_w: bool, free_h: bool) -> bool:
        """Whether a build can be cut from the sheet as it is."""
        right, above, strip = self.w - w, self.h - h, self.bounds.strip
        return (free_w or not right or right >= strip) and (free_h or not above or above >= strip)

    def _add(
        self,
        wide: Whole,
        tall: Whole,
        free_w: Flags,
        free_h: Flags,
        used: Words,
        counts: Whole,
        made: Whole,
    ) -> None:
        """Keep the builds that are promising and new."""
        value = counts @ self.values
        bound = value + self.bounds.outside(wide, tall)
        keep = np.flatnonzero(bound > self.floor)
        if not keep.size:
            return
        rest = self.bounds.by_area(counts[keep], self.w * self.h - wide[keep] * tall[keep])
        bound[keep] = np.minimum(bound[keep], value[keep] + rest)
        keep = keep[bound[keep] > self.floor]
        for new in keep[np.lexsort((-value[keep], -bound[keep]))].tolist():
            if bound[new] <= self.floor:
                continue
            key = used[new].tobytes()
            sizes = self.seen.setdefault(key, [])
            w, h = int(wide[new]), int(tall[new])
            extent = (w, bool(free_w[new]), h, bool(free_h[new]))
            if any(replaces(other, extent, self.bounds.strip) for other in sizes):
                continue
            sizes.append(extent)
            if self.size == len(self.wide):
                self._make_room(2 * self.size)
            at = self.size
            self.wide[at], self.tall[at], self.value[at] = w, h, value[new]
            self.used[at], self.counts[at], self.made[at] = used[new], counts[new], made[new]
            self.free_w[at], self.free_h[at] = free_w[new], free_h[new]
            self.size += 1
            heapq.heappush(self.heap, (-int(bound[new]), -int(value[new]), at))
            if value[new] <= self.worth or not self._ends(w, h, extent[1], extent[3]):
                continue
            if key not in self.ended or self.every:
                self.ended.add(key)
                self.reached.append(at)
            if self.rising and value[new] > self.floor:
                self.floor, self.best = int(value[new]), at

    def dearest(self) -> list[int]:
        """The layouts met, the most valuable first."""
        return sorted(self.reached, key=lambda at: (-int(self.value[at]), at))

    def part(self, index: int) -> Part:
        """The tree of a build."""
        first, second, beside = self.made[index].tolist()
        if beside < 0:
            w, h = int(self.wide[index]), int(self.tall[index])
            return single(w, h, first, bool(second), self.bounds.strip)
        return row([self.part(first), self.part(second)], bool(beside), self.bounds.strip)


def grown(array: npt.NDArray[Any], rows: int) -> npt.NDArray[Any]:
    """The array with room for more rows."""
    more = np.zeros((rows, *array.shape[1:]), dtype=array.dtype)
    more[: len(array)] = array
    return more


def replaces(one: Extent, other: Extent, strip: int) -> bool:
    """Whether whatever room the other build can be cut from, this one can be cut from too."""
    for (side, free), (longer, larger) in ((one[:2], other[:2]), (one[2:], other[2:])):
        same = side == longer and not larger
        if side > longer or not (free or same or side + strip <= longer):
            return False
    return True


def _layout_of_words(bits: Sequence[int]) -> tuple[int, list[tuple[int, int]]]:
    """Where each count lies in 64-bit words: the number of words, and (word, shift) of each."""
    places = []
    word = shift = 0
    for width in bits:
        if shift + width > 63:
            word, shift = word + 1, 0
        places.append((word, shift))
        shift += width
    return word + 1, places

"""A layout as settings of the fence, in the order in which one cuts a stack of sheets.

In: the tree of a layout, the room it has on the sheet. Out: `Cut`s and `Leftover`s in millimetres.

All sheets of one layout are cut together. Strips come first; then each stack of equal parts is
turned and cut further, the largest stacks last, as the letters run.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from booklet.stock.part import Part, Room, Spot, split, spots
from booklet.stock.plan_value import Cut, Leftover, Placement


@dataclass(frozen=True)
class Scale:
    """Whole units to millimetres, kinds to ids, the sheet's trimmed edge.

    `strip` is the narrowest strip that can be cut off, in units.
    """

    unit: Fraction
    ids: tuple[str, ...]
    trim: Fraction
    strip: int = 0

    def mm(self, units: int) -> Fraction:
        """A length."""
        return units * self.unit


@dataclass
class _Bench:
    """The stacks that wait, and the cuts written so far."""

    scale: Scale
    cuts: list[Cut] = field(default_factory=list)
    stacks: list[tuple[str, Room, int, bool | None]] = field(default_factory=list)
    letters: int = 0

    def name(self, room: Room, parts: int, upright: bool) -> str:
        """What a part is called: its id, "" for waste, or the letter of a new stack."""
        if room.part is None:
            return ""
        if room.done():
            return self.scale.ids[room.part.kind]
        for at, (letter, known, waiting, way) in enumerate(self.stacks):
            if known == room and way == upright:
                self.stacks[at] = (letter, known, waiting + parts, way)
                return letter
        self.stacks.append((letter_of(self.letters), room, parts, upright))
        self.letters += 1
        return self.stacks[-1][0]


def letter_of(number: int) -> str:
    """A, B, ... Z, AA, AB, ..."""
    text = ""
    number += 1
    while number:
        number, digit = divmod(number - 1, 26)
        text = chr(65 + digit) + text
    return text


def cuts_of(part: Part, w: int, h: int, scale: Scale) -> tuple[Cut, ...]:
    """The settings for a layout whose room (the sheet within its trimmed edges) is w x h."""
    bench = _Bench(scale)
    if scale.trim:
        _trim_edges(bench, w, h)
    bench.stacks.append(("A", Room(part, w, h), 1, False if scale.trim else None))
    bench.letters = 1
    while bench.stacks:
        letter, room, parts, way = bench.stacks.pop(0)
        _cut_stack(bench, letter, room, parts, way)
    return tuple(bench.cuts)


def fences(part: Part, w: int, h: int, strip: int = 0) -> frozenset[Fraction]:
    """The different fence positions, in units, that a layout takes."""
    ids = tuple(str(kind) for kind in range(1 + max(part.counts)))
    scale = Scale(Fraction(1), ids, Fraction(0), strip)
    return frozenset(cut.fence for cut in cuts_of(part, w, h, scale))


def _trim_edges(bench: _Bench, w: int, h: int) -> None:
    """Four cuts that take the trim margin off the sheet; the far edge is cut each time."""
    trim, mm = bench.scale.trim, bench.scale.mm
    wide, tall = mm(w), mm(h)
    steps = (
        (wide + trim, True, 0, wide + 2 * trim, tall + 2 * trim),
        (wide, True, 2, wide + trim, tall + 2 * trim),
        (tall + trim, False, 1, wide, tall + 2 * trim),
        (tall, False, 2, wide, tall + trim),
    )
    for fence, upright, turn, width, height in steps:
        number = len(bench.cuts) + 1
        size = (width, height)
        bench.cuts.append(Cut(number, "A", size, upright, turn, fence, 1, 1, "A", ""))


def _cut_stack(bench: _Bench, letter: str, room: Room, parts: int, way: bool | None) -> None:
    """Take one stack apart by cuts in one direction; `way` is the direction of the last cut."""
    if room.done():
        return
    upright, children = split(room, bench.scale.strip)
    groups: list[tuple[Room, int]] = []
    for child in children:
        if groups and groups[-1][0] == child:
            groups[-1] = (child, groups[-1][1] + 1)
        else:
            groups.append((child, 1))
    names = [bench.name(child, parts * times, upright) for child, times in groups]
    wide, tall = room.w, room.h
    for at, (child, times) in enumerate(groups):
        last = at + 1 == len(groups)
        cuts = times - 1 if last else times
        if not cuts:
            continue
        step = child.w if upright else child.h
        # Nothing lies beyond the last cut but one more part, which needs no cut of its own.
        ends = at + 2 == len(groups) and groups[-1][1] == 1
        rest = names[at] if last else names[-1] if ends else letter
        turn = int(way is not None and way != upright)
        size = (bench.scale.mm(wide), bench.scale.mm(tall))
        number, fence = len(bench.cuts) + 1, bench.scale.mm(step)
        bench.cuts.append(
            Cut(number, letter, size, upright, turn, fence, cuts, parts, names[at], rest)
        )
        way = upright
        wide, tall = (wide - step * cuts, tall) if upright else (wide, tall - step * cuts)


def placed(
    part: Part, w: int, h: int, scale: Scale, must_turn: Sequence[bool]
) -> tuple[tuple[Placement, ...], tuple[Leftover, ...]]:
    """Where blanks and leftovers lie; `must_turn` marks kinds that were handed over turned."""
    found = list(spots(part, 0, 0, w, h, scale.strip))
    mm, trim = scale.mm, scale.trim

    def corner(spot: Spot) -> tuple[Fraction, Fraction, Fraction, Fraction]:
        return mm(spot.x) + trim, mm(spot.y) + trim, mm(spot.w), mm(spot.h)

    blanks = tuple(
        Placement(scale.ids[spot.kind], *corner(spot), spot.turned != must_turn[spot.kind])
        for spot in found
        if spot.kind >= 0
    )
    left = [Leftover(*corner(spot)) for spot in found if spot.kind < 0]
    left.sort(key=lambda one: (-one.w * one.h, one.x, one.y))
    return blanks, tuple(left)

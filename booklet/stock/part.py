"""The tree of a layout: parts joined side by side or one above the other down to single blanks.

In: nothing (pure definitions), and a tree to be laid into a rectangle. Out: placed blanks and
leftovers in whole units. Every layout that edge-to-edge cuts can make is such a tree.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property


@dataclass(frozen=True)
class Part:
    """A blank (`kind` >= 0) or `parts` joined: side by side if `beside`, else bottom to top.

    `w` x `h` is the smallest rectangle that it can be cut from. Where there is a narrowest strip
    that can be cut off, it can also be cut from one that is larger by that strip or more; `free_w`
    and `free_h` say that any larger one will do, since inner cuts can take up the rest.
    """

    w: int
    h: int
    kind: int = -1
    turned: bool = False
    beside: bool = False
    parts: tuple[Part, ...] = ()
    free_w: bool = True
    free_h: bool = True

    @cached_property
    def counts(self) -> Counter[int]:
        """How often each kind of blank is in it."""
        if self.kind >= 0:
            return Counter({self.kind: 1})
        total: Counter[int] = Counter()
        for part in self.parts:
            total.update(part.counts)
        return total


@dataclass(frozen=True)
class Spot:
    """A rectangle in a sheet: a blank, or a leftover where `kind` is -1."""

    x: int
    y: int
    w: int
    h: int
    kind: int = -1
    turned: bool = False


def single(w: int, h: int, kind: int, turned: bool, strip: int = 0) -> Part:
    """One blank, where strips narrower than `strip` cannot be cut off."""
    return Part(w, h, kind, turned, free_w=not strip, free_h=not strip)


def row(joined: Sequence[Part], beside: bool, strip: int = 0) -> Part:
    """Parts side by side or one above the other; chains in one direction stay flat."""
    parts: list[Part] = []
    for part in joined:
        parts += part.parts if part.parts and part.beside == beside else (part,)
    if len(parts) == 1:
        return parts[0]
    # Tall (wide) parts first: what is left beside the short ones then lies together.
    parts.sort(key=lambda part: (-(part.h if beside else part.w), -part.w, -part.h))
    wide, tall = [(p.w, p.free_w) for p in parts], [(p.h, p.free_h) for p in parts]
    w, free_w = _in_line(wide) if beside else _common(wide, strip)
    h, free_h = _common(tall, strip) if beside else _in_line(tall)
    return Part(w, h, beside=beside, parts=tuple(parts), free_w=free_w, free_h=free_h)


def _in_line(sides: Sequence[tuple[int, bool]]) -> tuple[int, bool]:
    """Sides behind each other: what one can take up, the whole can."""
    return sum(side for side, _ in sides), any(free for _, free in sides)


def _common(sides: Sequence[tuple[int, bool]], strip: int) -> tuple[int, bool]:
    """The smallest side that all can be cut from."""
    least, free = sides[0]
    for side, other in sides[1:]:
        least, free = meet(least, free, side, other, strip)
    return least, free


def meet(one: int, one_free: bool, other: int, other_free: bool, strip: int) -> tuple[int, bool]:
    """The smallest side that two parts can be cut from, and whether any larger one will do."""
    if one < other:
        one, one_free, other, other_free = other, other_free, one, one_free
    if one == other:
        return one, one_free and other_free
    if other_free or one - other >= strip:
        return one, one_free
    return (other if one_free else one) + strip, True


def without(part: Part, drop: Counter[int], strip: int = 0) -> Part | None:
    """The part less so many blanks of each kind; `drop` is counted down as they are found."""
    if part.kind >= 0:
        if drop[part.kind] <= 0:
            return part
        drop[part.kind] -= 1
        return None
    kept = [
        less for child in reversed(part.parts) if (less := without(child, drop, strip)) is not None
    ]
    return row(kept[::-1], part.beside, strip) if kept else None


@dataclass(frozen=True)
class Room:
    """A part (None: waste) and the rectangle that the cuts before have given it."""

    part: Part | None
    w: int
    h: int

    def done(self) -> bool:
        """Whether nothing is left to cut."""
        part = self.part
        return part is None or (part.kind >= 0 and (part.w, part.h) == (self.w, self.h))


def split(room: Room, strip: int) -> tuple[bool, list[Room]]:
    """Whether the first cuts in a room are upright, and the rooms that they make; waste is last."""
    part = room.part
    assert part is not None
    if part.parts:
        beside = part.beside
        sizes = [child.w if beside else child.h for child in part.parts]
        left = (room.w if beside else room.h) - sum(sizes)
        if 0 < left < strip:
            # Too narrow to be cut off: a part takes it up whose own cuts leave room for it.
            frees = [child.free_w if beside else child.free_h for child in part.parts]
            taker = max((at for at, free in enumerate(frees) if free), default=len(sizes) - 1)
            sizes[taker] += left
            left = 0
        children: list[Part | None] = [*part.parts]
        if left:
            children.append(None)
            sizes.append(left)
        if beside:
            return True, [Room(c, s, room.h) for c, s in zip(children, sizes, strict=True)]
        return False, [Room(c, room.w, s) for c, s in zip(children, sizes, strict=True)]
    right, above = room.w - part.w, room.h - part.h
    # One blank: the first cut leaves the larger leftover whole.
    if right and right * room.h >= room.w * above:
        return True, [Room(part, part.w, room.h), Room(None, right, room.h)]
    return False, [Room(part, room.w, part.h), Room(None, room.w, above)]


def spots(part: Part, x: int, y: int, w: int, h: int, strip: int = 0) -> Iterator[Spot]:
    """The blanks and leftovers of a part that is given the room w x h at (x, y)."""
    waiting = [(Room(part, w, h), x, y)]
    while waiting:
        room, x, y = waiting.pop()
        if room.part is None:
            yield Spot(x, y, room.w, room.h)
        elif room.done():
            yield Spot(x, y, room.w, room.h, room.part.kind, room.part.turned)
        else:
            upright, children = split(room, strip)
            placed = []
            for child in children:
                placed.append((child, x, y))
                x, y = (x + child.w, y) if upright else (x, y + child.h)
            waiting += reversed(placed)


def cuttable(part: Part, w: int, h: int, strip: int) -> bool:
    """Whether no strip that is cut off in the room w x h is narrower than `strip`."""
    return all(
        spot.kind >= 0 or min(spot.w, spot.h) >= strip for spot in spots(part, 0, 0, w, h, strip)
    )

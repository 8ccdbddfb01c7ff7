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

    `w` x `h` is the smallest rectangle that holds it.
    """

    w: int
    h: int
    kind: int = -1
    turned: bool = False
    beside: bool = False
    parts: tuple[Part, ...] = ()

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


def join(first: Part, second: Part, beside: bool) -> Part:
    """Two parts side by side or one above the other."""
    return row([first, second], beside)


def row(joined: Sequence[Part], beside: bool) -> Part:
    """Parts side by side or one above the other; chains in one direction stay flat."""
    parts: list[Part] = []
    for part in joined:
        parts += part.parts if part.parts and part.beside == beside else (part,)
    if len(parts) == 1:
        return parts[0]
    # Tall (wide) parts first: what is left beside the short ones then lies together.
    parts.sort(key=lambda part: (-(part.h if beside else part.w), -part.w, -part.h))
    wide = sum(p.w for p in parts) if beside else max(p.w for p in parts)
    tall = max(p.h for p in parts) if beside else sum(p.h for p in parts)
    return Part(wide, tall, beside=beside, parts=tuple(parts))


def without(part: Part, drop: Counter[int]) -> Part | None:
    """The part less so many blanks of each kind; `drop` is counted down as they are found."""
    if part.kind >= 0:
        if drop[part.kind] <= 0:
            return part
        drop[part.kind] -= 1
        return None
    kept = [less for child in reversed(part.parts) if (less := without(child, drop)) is not None]
    return row(kept[::-1], part.beside) if kept else None


def spots(part: Part, x: int, y: int, w: int, h: int) -> Iterator[Spot]:
    """The blanks and leftovers of a part that is given the room w x h at (x, y)."""
    if part.kind >= 0:
        yield Spot(x, y, part.w, part.h, part.kind, part.turned)
        yield from _around(part, x, y, w, h)
        return
    along = 0
    for child in part.parts:
        if part.beside:
            yield from spots(child, x + along, y, child.w, h)
            along += child.w
        else:
            yield from spots(child, x, y + along, w, child.h)
            along += child.h
    if part.beside and along < w:
        yield Spot(x + along, y, w - along, h)
    if not part.beside and along < h:
        yield Spot(x, y + along, w, h - along)


def _around(part: Part, x: int, y: int, w: int, h: int) -> Iterator[Spot]:
    """What is left beside and above one blank; the first cut leaves the larger leftover whole."""
    right, above = w - part.w, h - part.h
    if right * h >= w * above:
        if right:
            yield Spot(x + part.w, y, right, h)
        if above:
            yield Spot(x, y + part.h, part.w, above)
        return
    if above:
        yield Spot(x, y + part.h, w, above)
    if right:
        yield Spot(x + part.w, y, right, part.h)

"""Drafts that hold standard things: turned, side by side and on each other, walls up to the ruler.

In: a draft, "tealight x 12" and further inputs. Out: drafts that keep the limits of their form,
the most natural first; `Refused` where there is none, with forms that take the things.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from booklet.command.draft import Draft, Held, length_text
from booklet.command.packing import STATED, Arrangement, arrangements
from booklet.command.sized import HERE, Refused, checked, keeps_limits, ruler_of, up, with_values
from booklet.flat.standard import StandardSize, nearest_names, standard_row
from booklet.measure.bounded import names_in
from booklet.measure.resolve import Scope
from booklet.problem import Problem, Written
from booklet.read.form import INSIDE, Fragment, read_fragment
from booklet.read.limit import Limit
from booklet.read.raw import Length
from booklet.read.spot import cropped

EASE = {"in": Fraction(254, 160), "mm": Fraction(1)}
"""Room in mm wanted in each direction round standard things: a mark of the usual ruler."""
MOST_COUNT = 10_000
MOST_TRIED = 24
"""Arrangements that are tried; what comes after them is no box that a person would make."""
MOST_GROWN = Fraction(3, 2)
"""How much larger than its contents a side may become so that a form can be folded."""
_INSTEAD = (
    "there are, among others, id-1, us-note, euro-20, gbp-10, a6, c6, photo, cd, aa, tealight and "
    "playing-card; else give the sizes instead: --inside 3x2x1"
)
_AFTER = re.compile(r"(?P<name>.+?)\s+[x×]\s*(?P<count>[0-9]{1,6})")
_BEFORE = re.compile(r"(?P<count>[0-9]{1,6})\s+(?:[x×]\s+)?(?P<name>.+)")


@dataclass(frozen=True)
class Things:
    """So many of a standard thing."""

    row: StandardSize
    count: int

    @property
    def name(self) -> str:
        """What they are called."""
        return self.row.named(self.count)


def standard_things(holds: str) -> Things:
    """A row of the table of standard sizes and a count, from "id-1 card x 3" or "3 tealights"."""
    text = " ".join(holds.split())[:200]
    match = _AFTER.fullmatch(text)
    row = None if match else _row(text)
    if row is not None:
        return Things(row, 1)
    match = match or _BEFORE.fullmatch(text)
    name, count = (match["name"], int(match["count"])) if match else (text, 1)
    if not 1 <= count <= MOST_COUNT:
        raise Refused(f"{count} is no count of things", f"write a count from 1 to {MOST_COUNT}")
    row = _row(name)
    if row is not None:
        return Things(row, count)
    words = name.split()
    names = dict.fromkeys([*nearest_names(words[0] if words else ""), *nearest_names(name)])
    near = ", ".join(f'"{one}"' for one in list(names)[:4])
    raise Refused(
        f'"{cropped(name)}" is not in the table of standard sizes',
        f"did you mean {near}?" if near else _INSTEAD,
    )


def _row(name: str) -> StandardSize | None:
    """The row of a name; what follows it is said for people: "id-1 card", "a6 cards"."""
    words = name.split()
    for end in range(len(words), 0, -1):
        for plain in (" ".join(words[:end]), " ".join(words[:end]).removesuffix("s")):
            row = standard_row(plain)
            if row is not None:
                return row
    return None


def holding(draft: Draft, things: Things, given: Mapping[str, Length]) -> Iterator[Draft]:
    """Drafts for the things, the most natural first; raises `Refused` where a form takes none."""
    fragment = read_fragment(draft.form, draft.words)
    first: Draft | None = None
    taken = False
    for way in _ways(fragment, things):
        inside, remarks = _inside(draft, fragment, things, way)
        lengths = [Written(length_text(side, draft.units), HERE) for side in inside]
        one = with_values(replace(draft, remarks=remarks), lengths, given)
        first = first or one
        if keeps_limits(draft, lengths, given):
            taken = True
            held = None if fragment.holds == "nothing" else _held(draft, things, way)
            yield replace(one, held=held)
    if first is not None and not taken:
        checked(first)  # says which limit it passes


def _ways(fragment: Fragment, things: Things) -> Sequence[Arrangement]:
    """How the things may lie; a pocket takes one stack, as stated."""
    one = things.row.size
    if fragment.holds != "box":
        return [Arrangement(STATED, (1, 1, things.count), (one[0], one[1], one[2] * things.count))]
    height = INSIDE.index(fragment.height)
    return arrangements(one, things.count, height, things.row.upright)[:MOST_TRIED]


def _inside(
    draft: Draft, fragment: Fragment, things: Things, way: Arrangement
) -> tuple[list[Fraction], dict[str, str]]:
    """Wide, tall and deep of the room, mm, and what is to be said of each of them."""
    scope = Scope(draft.units, ruler_of(draft.units))
    room = list(way.lot)
    remarks: dict[str, str] = {}
    if fragment.holds == "nothing":
        room[2] = Fraction(0)
    elif fragment.holds == "box":
        room = [up(side + EASE[draft.units], scope.ruler) for side in room]
        remarks = _told(things, way)
    for limit in fragment.limits:
        if limit.of.value in INSIDE:
            _widen(limit, room, remarks, scope, fragment.holds == "box")
    return room, remarks


def _told(things: Things, way: Arrangement) -> dict[str, str]:
    across, down, layers = way.rows
    ease = "and the ease, up to the ruler"
    told = {"wide": f"{things.row.name} {ease}"}
    if across > 1:
        told["wide"] = f"{across} side by side {ease}"
    if down > 1:
        told["tall"] = f"{down} of them {ease}"
    if layers > 1:
        told["deep"] = f"{layers} lie on each other" if across * down == 1 else f"{layers} layers"
    return told


def _widen(
    limit: Limit, room: list[Fraction], remarks: dict[str, str], scope: Scope, may_grow: bool
) -> None:
    """Enlarge a side to the least that its limit allows, or the sides that bound it from above."""
    at = INSIDE.index(limit.of.value)
    if limit.least is not None:
        least = _bound(limit.least, room, scope)
        if least is not None and room[at] < least:
            room[at] = up(least, scope.ruler)
            remarks[limit.of.value] = limit.reason
    if limit.most is None or not may_grow:
        return
    named = names_in(limit.most) - {limit.of.value}
    for name in [one for one in INSIDE if one in named]:
        grown = list(room)
        side = INSIDE.index(name)
        while grown[side] <= room[side] * MOST_GROWN:
            most = _bound(limit.most, grown, scope)
            if most is None:
                break
            if room[at] <= most:
                if grown != room:
                    remarks[name] = f"enough for {limit.of.value}, as {limit.reason}"
                room[:] = grown
                return
            grown[side] += scope.ruler


def _bound(written: Length, room: Sequence[Fraction], scope: Scope) -> Fraction | None:
    """A bound of a limit in a room of that size; None where it goes by more than the room."""
    silent: list[Problem] = []
    return replace(scope, measures=dict(zip(INSIDE, room, strict=True))).length(written, silent)


def _held(draft: Draft, things: Things, way: Arrangement) -> Held:
    pocket = read_fragment(draft.form, draft.words).holds == "pocket"
    sides = (INSIDE[way.turn[0]], INSIDE[way.turn[1]], INSIDE[way.turn[2]])
    return Held(
        standard=things.row.id,
        name=things.name,
        count=things.count,
        ease="ease" if pocket else length_text(EASE[draft.units], draft.units),
        source=things.row.source,
        grid=way.rows[:2],
        lies=sides,
    )

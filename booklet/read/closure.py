"""[[closure]]: what keeps a piece shut.

In: one raw table. Out: the frozen value `Closure`, lengths as written.
"""

from __future__ import annotations

from dataclasses import dataclass

from booklet.problem import Place, Written
from booklet.read.number import length
from booklet.read.raw import Length
from booklet.read.table import Key, Kind, Table
from booklet.read.text import choice, name


@dataclass(frozen=True, kw_only=True)
class Closure:
    """A closure on the panel `on` that meets the panel `meets`, made from a supply (`with`)."""

    kind: str
    on: Written[str]
    meets: Written[str] | None = None
    size: Length | None = None
    supply: Written[str] | None = None
    place: Place


KINDS = ("tuck", "hook_and_loop", "ribbon", "magnet", "belly_band", "tie", "button")

KIND = Key("kind", "what kind of closure it is", choice(*KINDS), required=True)
ON = Key("on", "the panel that it sits on", name, required=True)
MEETS = Key("meets", "the panel that it holds on to", name)
SIZE = Key("size", "how wide it is", length)
WITH = Key("with", "the supply that it is made from", name)


def _build(table: Table) -> Closure:
    return Closure(
        kind=table.need(KIND),
        on=table.need(ON),
        meets=table.get(MEETS),
        size=table.get(SIZE),
        supply=table.get(WITH),
        place=table.place,
    )


CLOSURE = Kind("closure", (KIND, ON, MEETS, SIZE, WITH), _build)

"""[[nest]]: one folded piece inside another.

In: one raw table. Out: the frozen value `Nest`, lengths as written.
"""

from __future__ import annotations

from dataclasses import dataclass

from booklet.problem import Place, Written
from booklet.read.number import length, share
from booklet.read.raw import Length, Raw
from booklet.read.table import Key, Kind, Table
from booklet.read.text import name


@dataclass(frozen=True, kw_only=True)
class Nest:
    """Piece `inner` lies in piece `outer`; pictures draw it out by the share `pulled`."""

    inner: Written[str]
    outer: Written[str]
    ease: Length | None = None
    pulled: Written[Raw] | None = None
    place: Place


INNER = Key("inner", "the piece that lies inside", name, required=True)
OUTER = Key("outer", "the piece that it lies in", name, required=True)
EASE = Key("ease", "the room between the two in each direction that they share", length)
PULLED = Key("pulled", "how far pictures draw it out, as a share of its length", share)


def _build(table: Table) -> Nest:
    return Nest(
        inner=table.need(INNER),
        outer=table.need(OUTER),
        ease=table.get(EASE),
        pulled=table.get(PULLED),
        place=table.place,
    )


NEST = Kind("nest", (INNER, OUTER, EASE, PULLED), _build)

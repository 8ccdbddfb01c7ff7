"""[[mat]]: a layer of decorative paper glued onto a panel.

In: one raw table. Out: the frozen value `Mat`, lengths as written.
"""

from __future__ import annotations

from dataclasses import dataclass

from booklet.problem import Place, Written
from booklet.read.number import length
from booklet.read.raw import Length
from booklet.read.table import Key, Kind, Table
from booklet.read.text import name, new_id, title


@dataclass(frozen=True, kw_only=True)
class Mat:
    """A mat on the panel `on`, smaller than it by `reveal` on every side."""

    id: Written[str]
    name: str | None = None
    on: Written[str]
    stock: Written[str] | None = None
    reveal: Length | None = None
    place: Place


ID = Key("id", "a name for it in the file", new_id, required=True)
NAME = Key("name", "what it is called in print", title)
ON = Key("on", "the panel that it is glued to", name, required=True)
STOCK = Key("stock", "the paper that it is cut from", name)
REVEAL = Key("reveal", "the border of the panel that stays visible on every side", length)


def _build(table: Table) -> Mat:
    return Mat(
        id=table.need(ID),
        name=table.get(NAME) or None,
        on=table.need(ON),
        stock=table.get(STOCK),
        reveal=table.get(REVEAL),
        place=table.place,
    )


MAT = Kind("mat", (ID, NAME, ON, STOCK, REVEAL), _build)

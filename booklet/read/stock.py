"""[[stock]]: a kind of paper that one buys.

In: one raw table. Out: the frozen value `Stock`, lengths as written.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from booklet.problem import Place, Written
from booklet.read.listed import pair
from booklet.read.number import length, money, whole
from booklet.read.raw import Length
from booklet.read.spot import Spot
from booklet.read.table import Key, Kind, Table
from booklet.read.text import choice, colour, name, new_id, spoken, title


@dataclass(frozen=True, kw_only=True)
class Stock:
    """A paper; `sheet` is a named size or width and height, `price` is for a pack of `pack`."""

    id: Written[str]
    name: str
    kind: str = "cardstock"
    sheet: Written[str] | tuple[Length, Length]
    thickness: Length | None = None
    weight: Written[str] | None = None
    grain: str = "none"
    pattern: str = "none"
    trim: Length | None = None
    strip: Length | None = None
    price: Written[Decimal] | None = None
    pack: int | None = None
    colour: str | None = None
    place: Place


def _sheet(spot: Spot, raw: object) -> Written[str] | tuple[Length, Length] | None:
    """A named size, or width and height."""
    return (
        name(spot, raw) if isinstance(raw, str) else pair(length, '"letter" or [12, 12]')(spot, raw)
    )


ID = Key("id", "a name for it in the file", new_id, required=True)
NAME = Key("name", "what it is called in print", title)
KIND = Key("kind", "what kind of paper it is, such as cardstock", title)
SHEET: Key[Written[str] | tuple[Length, Length]] = Key(
    "sheet", "the sheet as bought: a named size, or width and height", _sheet, required=True
)
THICKNESS = Key("thickness", "how thick one sheet is", length)
WEIGHT = Key("weight", 'its weight, such as "216 gsm" or "80 lb cover"', name)
GRAIN = Key(
    "grain", "along which side of the sheet the grain runs", choice("long", "short", "none")
)
PATTERN = Key("pattern", "whether its print has an upright direction", choice("none", "upright"))
TRIM = Key("trim", "the margin that is cut off all round first", length)
STRIP = Key("strip", "the narrowest strip that can be cut off", length)
PRICE = Key("price", "the price of a pack", money)
PACK = Key("pack", "how many sheets a pack has", whole(1, lambda limits: limits.count))
COLOUR = Key("colour", "its colour in diagrams, as #rrggbb", colour)


def _build(table: Table) -> Stock:
    identifier = table.need(ID)
    return Stock(
        id=identifier,
        name=table.get(NAME) or spoken(identifier.value),
        kind=table.get(KIND) or "cardstock",
        sheet=table.need(SHEET),
        thickness=table.get(THICKNESS),
        weight=table.get(WEIGHT),
        grain=table.get_or(GRAIN, "none"),
        pattern=table.get_or(PATTERN, "none"),
        trim=table.get(TRIM),
        strip=table.get(STRIP),
        price=table.get(PRICE),
        pack=table.get(PACK),
        colour=table.get(COLOUR),
        place=table.place,
    )


STOCK = Kind(
    "stock",
    (ID, NAME, KIND, SHEET, THICKNESS, WEIGHT, GRAIN, PATTERN, TRIM, STRIP, PRICE, PACK, COLOUR),
    _build,
)

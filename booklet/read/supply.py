"""[[supply]]: what one needs besides paper: adhesive, tools, trimmings.

In: one raw table. Out: the frozen value `Supply`, amounts as written.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from booklet.problem import Place, Written
from booklet.read.number import amount, money, whole
from booklet.read.raw import Raw
from booklet.read.table import Key, Kind, Table
from booklet.read.text import choice, new_id, spoken, title


@dataclass(frozen=True, kw_only=True)
class Supply:
    """A supply; `amount` "auto" is computed from the model, `holds` is what one purchase holds.

    `share` is how many makers share one purchase.
    """

    id: Written[str]
    name: str
    kind: str
    amount: Written[Raw]
    unit: str | None = None
    price: Written[Decimal] | None = None
    holds: Written[Raw] | None = None
    share: int | None = None
    place: Place


KINDS = ("adhesive", "tool", "trimming", "other")

ID = Key("id", "a name for it in the file", new_id, required=True)
NAME = Key("name", "what it is called in print", title)
KIND = Key("kind", "what kind of supply it is", choice(*KINDS), required=True)
AMOUNT = Key("amount", 'how much one project takes: a number, or "auto"', amount)
UNIT = Key("unit", "the unit of amount", title)
PRICE = Key("price", "the price of one purchase", money)
HOLDS = Key("holds", 'what one purchase holds, such as "27 yd"', amount)
SHARE = Key("share", "how many makers share one", whole(1, lambda limits: limits.count))


def _build(table: Table) -> Supply:
    identifier = table.need(ID)
    kind = table.need(KIND)
    usual: Raw = "auto" if kind == "adhesive" else 1
    return Supply(
        id=identifier,
        name=table.get(NAME) or spoken(identifier.value),
        kind=kind,
        amount=table.get_or(AMOUNT, Written(usual, table.place)),
        unit=table.get(UNIT) or None,
        price=table.get(PRICE),
        holds=table.get(HOLDS),
        share=table.get(SHARE),
        place=table.place,
    )


SUPPLY = Kind("supply", (ID, NAME, KIND, AMOUNT, UNIT, PRICE, HOLDS, SHARE), _build)

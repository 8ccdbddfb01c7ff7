"""[[stock]]: a kind of paper that one buys.

In: one raw table. Out: the frozen value `Stock`, lengths as written.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from booklet.problem import Place, Written
from booklet.read.raw import Length


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
    price: Decimal | None = None
    pack: int | None = None
    colour: str | None = None
    place: Place

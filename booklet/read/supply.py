"""[[supply]]: what one needs besides paper: adhesive, tools, trimmings.

In: one raw table. Out: the frozen value `Supply`, amounts as written.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from booklet.problem import Place, Written
from booklet.read.raw import Raw


@dataclass(frozen=True, kw_only=True)
class Supply:
    """A supply; `amount` "auto" is computed from the model, `holds` is what one purchase holds."""

    id: Written[str]
    name: str
    kind: str
    amount: Written[Raw]
    unit: str | None = None
    price: Decimal | None = None
    holds: Written[Raw] | None = None
    place: Place

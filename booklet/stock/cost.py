"""What a project costs, and what a class has to buy.

In: the cutting plans, the supply list and the prices of the file. Out: a `Cost`, sums exact. What
has no price is named and left out; everything else still adds up.

One project costs its share of the material: of each stock the sheets of the plan shared out over
all kits, whole sheets with what is left of them; of each supply the part of a purchase that it
uses up. A class buys whole packs and purchases. Tools last, so they stand apart and in no sum.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from booklet.measure.money import less, times, total
from booklet.problem import Problem, Written
from booklet.read.project import Project
from booklet.stock.batch import Batch
from booklet.stock.plan_value import StockPlan
from booklet.stock.supply import SupplyLine


@dataclass(frozen=True)
class CostLine:
    """One stock or supply.

    `price` is that of one pack or purchase, `holds` the sheets in a pack (None for supplies),
    `needed` the sheets that are planned. `share` is what one project uses up, exactly; `to_buy`
    counts packs or purchases for the batch, `whole` is their price. None where it is not known.
    """

    id: str
    name: str
    kind: str
    price: Decimal | None
    holds: int | None
    needed: int | None
    share: Fraction | None
    to_buy: int | None
    whole: Decimal | None


@dataclass(frozen=True)
class Cost:
    """The cost of a project for a batch. `missing` are (id, name, why it is not in the sums)."""

    currency: str | None
    batch: Batch
    lines: tuple[CostLine, ...]
    tools: tuple[CostLine, ...]
    missing: tuple[tuple[str, str, str], ...]
    fee: Decimal | None

    @property
    def priced(self) -> bool:
        """Whether anything has a price."""
        return any(line.price is not None for line in self.lines)

    @property
    def per_project(self) -> Fraction:
        """The material share of one project, of all that has a price."""
        return sum((line.share for line in self.lines if line.share is not None), Fraction(0))

    @property
    def bought(self) -> Decimal:
        """All packs and purchases of the batch that have a price."""
        return total(line.whole for line in self.lines if line.whole is not None)

    @property
    def income(self) -> Decimal | None:
        """The fees of all makers; spare kits pay none."""
        return None if self.fee is None else times(self.fee, self.batch.makers)

    @property
    def margin(self) -> Decimal | None:
        """What the fees leave when everything is bought."""
        return None if self.income is None else less(self.income, self.bought)


def check_money(project: Project, found: list[Problem]) -> None:
    """Report the first price or fee of a file that does not say its currency."""
    prices = [stock.price for stock in project.stocks]
    prices += [supply.price for supply in project.supplies]
    prices += [None if project.course is None else project.course.fee]
    first = next((price for price in prices if price is not None), None)
    if first is not None and project.project.currency is None:
        found.append(
            Problem(
                "price-without-currency",
                f"{first.value} is a price, but [project] does not say in which currency",
                first.place,
                'Add the currency of all prices to [project], as in currency = "USD".',
            )
        )


def cost_of(
    project: Project, plans: Sequence[StockPlan], supplies: Sequence[SupplyLine], batch: Batch
) -> Cost:
    """The cost of a project: one line for each stock that is cut and each supply."""
    lines = _stock_lines(project, plans, batch)
    prices = {supply.id.value: supply.price for supply in project.supplies}
    bought = [_supply_line(line, prices[line.id]) for line in supplies]
    lines += [line for line in bought if line.kind != "tool"]
    course = project.course
    fee = course.fee if course is not None else None
    return Cost(
        currency=project.project.currency,
        batch=batch,
        lines=tuple(lines),
        tools=tuple(line for line in bought if line.kind == "tool"),
        missing=(*_missing(lines), *_loose(project)),
        fee=None if fee is None else fee.value,
    )


def _stock_lines(project: Project, plans: Sequence[StockPlan], batch: Batch) -> list[CostLine]:
    """The stocks from which something is cut; one without `pack` is sold by the sheet."""
    stocks = {stock.id.value: stock for stock in project.stocks}
    lines = []
    for plan in plans:
        stock = stocks[plan.stock]
        if not plan.wanted:
            continue
        pack = stock.pack or 1
        packs = math.ceil(Fraction(plan.needed, pack))
        price = None if stock.price is None else stock.price.value
        used = Fraction(plan.needed, pack * batch.kits)
        known = price is not None and not plan.unplaced
        lines.append(
            CostLine(
                id=plan.stock,
                name=stock.name,
                kind="stock",
                price=price,
                holds=pack,
                needed=plan.needed,
                share=Fraction(price) * used if price is not None and known else None,
                to_buy=packs,
                whole=times(price, packs) if price is not None and known else None,
            )
        )
    return lines


def _supply_line(line: SupplyLine, written: Written[Decimal] | None) -> CostLine:
    price = None if written is None else written.value
    share = None if price is None or line.used is None else Fraction(price) * line.used
    whole = None if price is None or line.to_buy is None else times(price, line.to_buy)
    kind = line.kind
    return CostLine(line.id, line.name, kind, price, None, None, share, line.to_buy, whole)


def _missing(lines: Sequence[CostLine]) -> list[tuple[str, str, str]]:
    """What is in no sum, and why."""
    found = []
    for line in lines:
        if line.price is None:
            found.append((line.id, line.name, "no price"))
        elif line.whole is None and line.kind == "stock":
            found.append((line.id, line.name, "a piece does not fit the sheet"))
        elif line.whole is None:
            found.append((line.id, line.name, "amount or contents of a purchase not known"))
    return found


def _loose(project: Project) -> list[tuple[str, str, str]]:
    """Pieces and mats that name no stock."""
    owners = [(piece.id.value, piece.name, piece.stock) for piece in project.pieces]
    owners += [(mat.id.value, mat.name or mat.id.value, mat.stock) for mat in project.mats]
    return [(name, words, "no stock named") for name, words, stock in owners if stock is None]

"""The teacher's shopping list with what it costs, and what the fees leave.

In: a model. Out: pages; amounts of money are rounded to the currency's coin and add up.
"""

from __future__ import annotations

from decimal import Decimal

from booklet.draw.typeface import Faces
from booklet.measure.amount import amount_text
from booklet.measure.money import less, money_parts, money_text
from booklet.pages import type as scale
from booklet.pages.flow import Composer
from booklet.pages.grid import Paper
from booklet.pages.page import Page
from booklet.stages import Model
from booklet.stock.cost import Cost, CostLine
from booklet.stock.instruction import counted

MONEY = 22.0
"""Width of a column of money in mm."""


def money_pages(model: Model, paper: Paper, faces: Faces) -> list[Page]:
    """One table of what to buy, then the sums."""
    cost = model.cost
    sheet = Composer(paper, faces, "What to buy")
    sheet.title("What to buy, what it costs" if cost.priced else "What to buy")
    words = f"For {counted(cost.batch.kits, 'kit')}, in whole packs and purchases."
    if cost.priced:
        words += f" Prices are in {cost.currency}." if cost.currency else ""
        words += (
            " The last column is what one project uses up: its part of the sheets that are cut, "
            "and of the supplies."
        )
    sheet.words(words)
    sheet.skip(0.6)
    _table(model, sheet)
    sheet.skip()
    _sums(cost, sheet)
    _tools(cost, sheet)
    return sheet.pages()


def _table(model: Model, sheet: Composer) -> None:
    cost = model.cost
    first = sheet.paper.measure - 3 * MONEY - 62.0
    widths = (first, 34.0, 28.0, MONEY, MONEY, MONEY)
    rows = [
        (line.name, _needed(line, model), _buy(line), _money(line.price, cost), _whole(line, cost),
         share)
        for line, share in zip(cost.lines, _shares(cost), strict=True)
    ]  # fmt: skip
    if not cost.priced:
        sheet.table(
            ("Material", "Needed", "Buy"), [row[:3] for row in rows],
            (sheet.paper.measure - 90.0, 45.0, 45.0), name="buy",
        )  # fmt: skip
        return
    whole = money_text(cost.bought, cost.currency)
    rows.append(("Together", "", "", "", whole, money_text(cost.per_project, cost.currency)))
    head = ("Material", "Needed", "Buy", "Price", "Together", "One project")
    sheet.table(head, rows, widths, right=(3, 4, 5), name="buy")


def _shares(cost: Cost) -> list[str]:
    """The share of each line, "" where it is not known; the others add up to their printed sum."""
    known = [line.share for line in cost.lines if line.share is not None]
    texts = iter(money_parts(known, cost.currency))
    return ["" if line.share is None else next(texts) for line in cost.lines]


def _needed(line: CostLine, model: Model) -> str:
    if line.needed is not None:
        return counted(line.needed, "sheet")
    supply = next(supply for supply in model.supplies if supply.id == line.id)
    if supply.total is None:
        return "as needed"
    return amount_text(supply.total, supply.unit, model.printer)


def _buy(line: CostLine) -> str:
    if line.to_buy is None:
        return "see what you have"
    if line.holds is not None and line.holds > 1:
        return f"{counted(line.to_buy, 'pack')} of {line.holds}"
    return str(line.to_buy)


def _money(price: Decimal | None, cost: Cost) -> str:
    return "" if price is None else money_text(price, cost.currency)


def _whole(line: CostLine, cost: Cost) -> str:
    return _money(line.whole, cost)


def _sums(cost: Cost, sheet: Composer) -> None:
    if cost.fee is not None and cost.income is not None and cost.margin is not None:
        sheet.heading("Fee and margin")
        rows = [
            (f"{counted(cost.batch.makers, 'fee')} of {money_text(cost.fee, cost.currency)}",
             money_text(cost.income, cost.currency)),
            ("Material to buy", money_text(less(Decimal(0), cost.bought), cost.currency)),
            ("What is left for room, tools and work", money_text(cost.margin, cost.currency)),
        ]  # fmt: skip
        head = ("", cost.currency or "")
        sheet.table(head, rows, (sheet.paper.measure - 40.0, 40.0), right=(1,), name="margin")
        sheet.skip()
    if cost.missing and (cost.priced or cost.fee is not None):
        sheet.heading("Not in these sums")
        for _, name, why in cost.missing:
            sheet.words(f"{name}: {why}.")
        sheet.skip()


def _tools(cost: Cost, sheet: Composer) -> None:
    if not cost.tools:
        return
    sheet.heading("Tools")
    sheet.words("They last, so they are in no sum. Tick what you have.", scale.TEXT)
    for line in cost.tools:
        price = "" if line.whole is None else f"{_whole(line, cost)} if you have to buy them"
        sheet.tick(f"{line.to_buy or 1} × {line.name}", price, "tools")

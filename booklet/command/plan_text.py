"""The cutting plan, supplies and cost of a project as text for the terminal.

In: a model. Out: lines of at most 80 columns (unless a name is longer).
"""

from __future__ import annotations

from collections.abc import Sequence

from booklet.command.columns import paragraph, table
from booklet.measure.amount import amount_text
from booklet.measure.money import money_parts, money_text
from booklet.measure.rounding import Printer
from booklet.pages.across import size_name
from booklet.stages import Model
from booklet.stock.batch import Batch, batch_of
from booklet.stock.cost import Cost, CostLine
from booklet.stock.instruction import (
    Instruction,
    counted,
    instructions,
    lie_words,
    plain_size,
    sheet_words,
    sheets_words,
    yield_words,
)
from booklet.stock.plan_value import Layout, StockPlan
from booklet.stock.supply import SupplyLine

HOW_TO_READ = (
    "What is cut off between fence and blade is named first, the rest second. "
    "Letters name the stacks that are cut further; A is the whole sheets. Sizes are wide × tall."
)


def plan_lines(model: Model) -> list[str]:
    """Everything, section by section."""
    batch = batch_of(model.project.course)
    lines = paragraph(f"{_titled(model)}: {batch_words(batch)}", 0)
    for plan in model.stock_plans:
        lines += ["", *_stock(plan, model)]
    if any(layout.cuts for plan in model.stock_plans for layout in plan.layouts):
        lines += ["", *paragraph(HOW_TO_READ)]
    if model.supplies:
        lines += ["", "SUPPLIES", *_supplies(model.supplies, model.printer, batch)]
    return [*lines, "", "COST", *_cost(model.cost)]


def _titled(model: Model) -> str:
    """The title, and where there are several sizes the one that is planned."""
    title = model.project.project.title or "Untitled"
    return title if model.size is None else f"{title}, {size_name(model)}"


def batch_words(batch: Batch) -> str:
    """ "for one maker", "14 kits for 12 makers, 2 of them spare"."""
    if batch.kits == 1:
        return "for one maker"
    spare = batch.kits - batch.makers
    more = f", {spare} of them spare" if spare else ""
    return f"{counted(batch.kits, 'kit')} for {counted(batch.makers, 'maker')}{more}"


def _stock(plan: StockPlan, model: Model) -> list[str]:
    stock = next(stock for stock in model.project.stocks if stock.id.value == plan.stock)
    printer, names = model.printer, model.names
    sheet = sheet_words(stock, plan.sheet, printer)
    lines = paragraph(f"{stock.name}, {plain_size(plan.sheet, printer)}", 0)
    if not plan.wanted:
        return [*lines, "  nothing is cut from it"]
    packs = next((line for line in model.cost.lines if line.id == plan.stock), None)
    buy = ""
    if packs is not None and packs.to_buy is not None and stock.pack:
        buy = f"; buy {counted(packs.to_buy, 'pack')} of {stock.pack}"
    lines += paragraph(sheets_words(plan) + buy)
    lines += table(
        [
            (yield_words(count, sheet), names[name], f"{plan.wanted[name]} wanted")
            for name, count in plan.per_sheet.items()
        ],
        wide=1,
    )
    lie = lie_words(stock, plan.sheet, printer)
    lines += paragraph(lie) if lie else []
    for number, layout in enumerate(plan.layouts, 1):
        lines += _layout(number, layout, names, printer)
    return lines + (paragraph(plan.note) if plan.note else [])


def _layout(number: int, layout: Layout, names: dict[str, str], printer: Printer) -> list[str]:
    holds = ", ".join(f"{count} × {names[name]}" for name, count in layout.counts().items())
    lines = paragraph(f"Layout {number}, {counted(layout.sheets, 'sheet')}: {holds} on each")
    rows = []
    for one in instructions(layout, names, printer):
        rows += [(str(one.number), _setting(one, printer)), ("", f"gives {one.gives}")]
    return lines + table(rows, right=(0,), indent=4, wide=1)


def _setting(one: Instruction, printer: Printer) -> str:
    turn = f"{one.turn}, " if one.turn else ""
    edge = f", {one.edge} against it" if one.edge else ""
    return f"{turn}fence at {printer.first(one.fence)}{edge}: cut {one.cut}"


def _supplies(lines: Sequence[SupplyLine], printer: Printer, batch: Batch) -> list[str]:
    rows = [("", "for one", "for all" if batch.kits > 1 else "", "to buy", "")]
    for line in lines:
        one, everyone = (
            "?" if amount is None else amount_text(amount, line.unit, printer)
            for amount in (line.amount, line.total)
        )
        buy = "?" if line.to_buy is None else str(line.to_buy)
        shared = f"one for {line.share}" if line.share and batch.makers > 1 else ""
        rows.append((line.name, one, everyone if batch.kits > 1 else "", buy, shared))
    return table(rows, right=(1, 2, 3))


def _cost(cost: Cost) -> list[str]:
    if not cost.priced and cost.fee is None:
        return ["  the file gives no prices"]
    money = cost.currency or "no currency given"
    lines = [line for line in cost.lines if line.share is not None and line.whole is not None]
    shares = money_parts([line.share for line in lines if line.share is not None], cost.currency)
    rows = [(money, "price", "one project", "to buy", "together")]
    for line, share in zip(lines, shares, strict=True):
        rows.append((line.name, _money(line, cost), share, str(line.to_buy), _whole(line, cost)))
    one, bought = (money_text(sum_, cost.currency) for sum_ in (cost.per_project, cost.bought))
    rows.append(("all of this", "", one, "", bought))
    text = table(rows, right=(1, 2, 3, 4))
    if cost.fee is not None and cost.income is not None and cost.margin is not None:
        fees = f"{cost.batch.makers} fees of {money_text(cost.fee, cost.currency)}"
        text += paragraph(
            f"{fees} are {money_text(cost.income, cost.currency)}; "
            f"when all is bought {money_text(cost.margin, cost.currency)} are left"
        )
    for _, name, why in cost.missing:
        text += paragraph(f"not in these sums: {name} ({why})")
    for line in cost.tools:
        if line.whole is not None:
            text += paragraph(
                f"tools are in no sum: {line.to_buy} × {line.name}, {_whole(line, cost)}"
            )
    return text


def _money(line: CostLine, cost: Cost) -> str:
    return "" if line.price is None else money_text(line.price, cost.currency)


def _whole(line: CostLine, cost: Cost) -> str:
    return "" if line.whole is None else money_text(line.whole, cost.currency)

"""At a glance, and the supply list.

In: a model and a composer. Out: the composer's pages with what to have ready: stock and what to cut
from it, adhesives, trimmings and tools, each with a square to tick.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from booklet.measure.amount import amount_text
from booklet.pages import type as scale
from booklet.pages.across import across
from booklet.pages.cover import SUMMARY
from booklet.pages.flow import Composer, wrap
from booklet.pages.page import Role
from booklet.pages.panel_words import lowered
from booklet.pages.sizes import separate
from booklet.read.contents import Contents
from booklet.stages import Model
from booklet.stock.instruction import sheet_words, yield_words
from booklet.stock.supply import SupplyLine

KINDS = (
    ("adhesive", "To stick with"),
    ("trimming", "Trimmings"),
    ("tool", "Tools"),
)


LEAST = 90.0
"""The room in mm in which the list may begin below another section."""
TICKED = 7.0
"""About what a line to tick takes, in mm."""


def supplies(model: Model, sheet: Composer, *, handed: bool = False) -> None:
    """The supply list.

    Where it is `handed` out in a class, what makers share stands apart from what each has.
    """
    sheet.begin("What you need", LEAST)
    sheet.title("What you need")
    summary, measure = model.project.project.summary, sheet.paper.measure
    if sheet.paper.columns > 1 or len(wrap(summary, scale.LEAD, measure, sheet.faces)) > SUMMARY:
        # In a narrow frame the cover's words are not said again.
        sheet.words(summary, scale.LEAD)
        sheet.skip()
    _stocks(model, sheet)
    gap = 0.6 if sheet.paper.columns > 1 else 0.2
    in_class = handed and model.project.course is not None
    for heading, lines in _shared(model) if in_class else _by_kind(model):
        if lines:
            sheet.skip(gap)
            sheet.heading(heading, min(24.0, TICKED * len(lines)))
            for line in lines:
                sheet.tick(line.name, _detail(line, model), heading)
    if model.project.contents:
        sheet.skip(gap)
        sheet.heading("What goes inside", min(24.0, TICKED * len(model.project.contents)))
        for contents in model.project.contents:
            sheet.tick(_counted(contents, model), "", "contents")


def _by_kind(model: Model) -> list[tuple[str, list[SupplyLine]]]:
    """Supplies under a heading for each kind."""
    others = [line.kind for line in model.supplies if line.kind not in dict(KINDS)]
    kinds = (*KINDS, *((kind, kind.capitalize()) for kind in dict.fromkeys(others)))
    return [
        (heading, [line for line in model.supplies if line.kind == kind]) for kind, heading in kinds
    ]


def _shared(model: Model) -> list[tuple[str, list[SupplyLine]]]:
    """What lies at each maker's place, and what a table shares."""
    own = [line for line in model.supplies if line.share is None]
    return [
        ("At your place", own),
        ("On the table", [line for line in model.supplies if line.share is not None]),
    ]


def _yields(model: Model) -> dict[tuple[str, str], str]:
    """The yield line of each piece and mat on its stock."""
    stocks = {stock.id.value: stock for stock in model.project.stocks}
    return {
        (plan.stock, name): yield_words(
            count, sheet_words(stocks[plan.stock], plan.sheet, model.printer)
        )
        for plan in model.stock_plans
        for name, count in plan.per_sheet.items()
    }


def _counted(contents: Contents, model: Model) -> str:
    """How many of the contents go inside, with their name; size by size where that differs."""

    def many(one: Model) -> str:
        inside = {item.id.value: item.count for item in one.project.contents}
        return str(inside[contents.id.value])

    counts = across(model, many, "")
    return contents.name if counts in ("1", "") else f"{counts} {lowered(contents.name)}"


def _stocks(model: Model, sheet: Composer) -> None:
    sizes = [(one, _yields(one)) for one in separate(model)]
    sheet.heading("Paper and card")
    for stock in model.project.stocks:
        name = stock.id.value
        size = model.sheets.get(name)
        of = f"sheet {model.printer.bought(size)}" if size else ""
        sheet.tick(stock.name, of, f"stock {name}")
        rows = [row for one, yields in sizes for row in _parts(one, yields, name)]
        if rows:
            _cut_from(rows, f"cut {name}", sheet)
            sheet.skip(0.6)
    loose = [p for p in model.patterns if p.stock is None]
    for pattern in loose:
        sheet.tick(f"{pattern.name}: {model.printer.size(pattern.blank)}", "", "loose")
    if not model.project.stocks and not loose:
        sheet.words("Any card that folds well.", scale.TEXT, Role("paragraph"))


def _parts(
    model: Model, yields: Mapping[tuple[str, str], str], stock: str
) -> list[tuple[str, str, str, str]]:
    """What one size cuts from a stock: name, size, how many and the yield."""
    parts = [(p.id, p.name, p.blank, p.count) for p in model.patterns if p.stock == stock]
    parts += [(m.id, m.name, m.size, m.count) for m in model.mats if m.stock == stock]
    return [
        (words, model.printer.size(size), str(count), yields.get((stock, id_), ""))
        for id_, words, size, count in parts
    ]


def _cut_from(rows: Sequence[tuple[str, str, str, str]], name: str, sheet: Composer) -> None:
    """What is cut from a stock: name, size, how many, yield; a narrow frame takes three columns."""
    x = sheet.paper.left + 7.0
    room = sheet.paper.right - x
    if sheet.paper.columns == 1:
        three = [(words, f"{size}; {gives}", count) for words, size, count, gives in rows]
        widths = (room * 0.28, room * 0.72 - 15.0, 15.0)
        head = ("Cut from it", "Size, wide × tall; yield", "Pieces")
        sheet.table(head, three, widths, right=(2,), x=x, name=name)
        return
    columns = (48.0, room - 48.0 - 68.0, 20.0, 48.0)
    heads = ("Cut from it", "Size, wide × tall", "How many", "Yield")
    sheet.table(heads, rows, columns, right=(2,), x=x, name=name)


def _amount(line: SupplyLine, model: Model) -> str:
    """How much of a supply one size takes."""
    own = next((other for other in model.supplies if other.id == line.id), line)
    return amount_text(own.amount or 0, own.unit, model.printer)


def _detail(line: SupplyLine, model: Model) -> str:
    parts: list[str] = []
    if line.amount is not None and not (line.kind == "tool" and line.amount == 1):
        words = across(model, lambda one: _amount(line, one), "as the table of sizes says")
        whom = f"{line.share} makers" if line.grouped else "one"
        reckoned = ", reckoned from the pattern" if line.computed else ""
        parts.append(f"{words} for {whom}{reckoned}")
    if line.note:
        parts.append(line.note)
    return "; ".join(part for part in parts if part)

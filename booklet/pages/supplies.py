"""At a glance, and the supply list.

In: a model. Out: pages with what to have ready: stock and what to cut from it, adhesives, trimmings
and tools, each with a square to tick.
"""

from __future__ import annotations

from booklet.draw.typeface import Faces
from booklet.measure.amount import amount_text
from booklet.pages import type as scale
from booklet.pages.flow import Composer
from booklet.pages.grid import Paper
from booklet.pages.page import Page, Role
from booklet.stages import Model
from booklet.stock.supply import SupplyLine

KINDS = (
    ("adhesive", "To stick with"),
    ("trimming", "Trimmings"),
    ("tool", "Tools"),
)


def supplies(model: Model, paper: Paper, faces: Faces, *, handed: bool = False) -> list[Page]:
    """The pages of the supply list.

    Where it is `handed` out in a class, what makers share stands apart from what each has.
    """
    sheet = Composer(paper, faces, "What you need")
    sheet.title("What you need")
    sheet.words(model.project.project.summary, scale.LEAD)
    sheet.skip()
    _stocks(model, sheet)
    in_class = handed and model.project.course is not None
    for heading, lines in _shared(model) if in_class else _by_kind(model):
        if lines:
            sheet.skip(0.6)
            sheet.heading(heading)
            for line in lines:
                sheet.tick(line.name, _detail(line, model), heading)
    if model.project.contents:
        sheet.skip(0.6)
        sheet.heading("What goes inside")
        for contents in model.project.contents:
            many = f"{contents.count} " if contents.count > 1 else ""
            sheet.tick(f"{many}{contents.name}", "", "contents")
    return sheet.pages()


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


def _stocks(model: Model, sheet: Composer) -> None:
    sheet.heading("Paper and card")
    for stock in model.project.stocks:
        name = stock.id.value
        size = model.sheets.get(name)
        of = f"sheet {model.printer.size(size)}" if size else ""
        sheet.tick(stock.name, of, f"stock {name}")
        rows = [
            (pattern.name, model.printer.size(pattern.blank), str(pattern.count))
            for pattern in model.patterns
            if pattern.stock == name
        ]
        rows += [
            (mat.name, model.printer.size(mat.size), str(mat.count))
            for mat in model.mats
            if mat.stock == name
        ]
        if rows:
            x = sheet.paper.left + 7.0
            room = sheet.paper.right - x - 20.0
            widths = (min(62.0, room * 0.4), room - min(62.0, room * 0.4), 20.0)
            head = ("Cut from it", "Size, wide × tall", "How many")
            sheet.table(head, rows, widths, right=(2,), x=x, name=f"cut {name}")
            sheet.skip(0.6)
    loose = [p for p in model.patterns if p.stock is None]
    for pattern in loose:
        sheet.tick(f"{pattern.name}: {model.printer.size(pattern.blank)}", "", "loose")
    if not model.project.stocks and not loose:
        sheet.words("Any card that folds well.", scale.TEXT, Role("paragraph"))


def _detail(line: SupplyLine, model: Model) -> str:
    parts: list[str] = []
    if line.amount is not None and not (line.kind == "tool" and line.amount == 1):
        words = amount_text(line.amount, line.unit, model.printer)
        parts.append(f"{words} for one" + (", reckoned from the pattern" if line.computed else ""))
    if line.note:
        parts.append(line.note)
    return "; ".join(part for part in parts if part)

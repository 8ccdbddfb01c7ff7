"""The printed cutting plan: each different layout with its picture and the order of cuts.

In: a model. Out: pages; all pictures are drawn to one scale.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from booklet.draw.cutting import EDGE, Look, cutting_picture
from booklet.draw.typeface import Faces
from booklet.pages import type as scale
from booklet.pages.flow import Composer, leading, wrap
from booklet.pages.grid import GUTTER, Paper
from booklet.pages.page import Line, Page, Role
from booklet.stages import Model
from booklet.stock.instruction import (
    Instruction,
    counted,
    instructions,
    lie_words,
    sheet_words,
    sheets_words,
    yield_words,
)
from booklet.stock.plan_value import Layout, StockPlan

SCALES = ((0.60, 130.0), (0.53, 110.0), (0.46, 92.0), (0.40, 78.0))
"""How large the largest sheet may be drawn: its share of the page's width, its height in mm."""
INDENT = 8.0
"""From a cut's number to its words, in mm."""


@dataclass(frozen=True)
class Measures:
    """One scale for all pictures, and where the words beside them begin (mm)."""

    scale: float
    words: float


def cutting_pages(model: Model, paper: Paper, faces: Faces) -> list[Page]:
    """The plan of every stock that something is cut from: few pages, then large pictures."""
    plans = [plan for plan in model.stock_plans if plan.layouts]
    if not plans:
        return []
    tries = []
    for share, tall in SCALES:
        wide = paper.measure * share - EDGE - GUTTER
        k = min(min(wide / float(p.sheet[0]), tall / float(p.sheet[1])) for p in plans)
        words = paper.left + k * max(float(plan.sheet[0]) for plan in plans) + EDGE + GUTTER
        tries.append(_pages(plans, Measures(k, words), model, paper, faces))
    return min(tries, key=len)


def _pages(
    plans: Sequence[StockPlan], measures: Measures, model: Model, paper: Paper, faces: Faces
) -> list[Page]:
    sheet = Composer(paper, faces, "Cutting plan")
    sheet.title("Cutting plan")
    sheet.words(
        "Read the safety page first. Cut all sheets of a layout at one setting, as many at a time "
        "as the trimmer takes, then set the fence anew. The numbers in the picture are the "
        "settings. Start with the sheet as it lies in the picture, its left edge against the fence "
        "for an upright line, its lower edge for a level one. What is cut off between fence and "
        "blade is named first, the rest second. Letters name the stacks that are cut further; A is "
        "the stack of whole sheets."
    )
    for plan in plans:
        _plan(plan, measures, model, sheet)
    return sheet.pages()


def _plan(plan: StockPlan, measures: Measures, model: Model, sheet: Composer) -> None:
    stock = next(stock for stock in model.project.stocks if stock.id.value == plan.stock)
    sheet.skip(0.8)
    high = float(plan.sheet[1]) * measures.scale + 2 * EDGE
    sheet.heading(stock.name, keep=high + 12)
    name = sheet_words(stock, plan.sheet, model.printer)
    lines = [sheets_words(plan)]
    lines += [
        f"{model.names[piece]}: {yield_words(count, name)}"
        for piece, count in plan.per_sheet.items()
    ]
    lie = lie_words(stock, plan.sheet, model.printer)
    lines += [lie] if lie else []
    sheet.words(". ".join(line[:1].upper() + line[1:] for line in lines) + ".")
    if plan.note:
        sheet.words(plan.note, scale.SMALL)
    look = Look(measures.scale, stock.colour, model.names, model.printer, sheet.faces)
    for number, layout in enumerate(plan.layouts, 1):
        _layout(number, layout, plan, look, measures.words, sheet)


def _layout(
    number: int, layout: Layout, plan: StockPlan, look: Look, x: float, sheet: Composer
) -> None:
    """The picture at the left, the settings at the right from `x`."""
    paper = sheet.paper
    title = f"Layout {number}: {counted(layout.sheets, 'sheet')}"
    holds = ", ".join(f"{count} × {look.names[name]}" for name, count in layout.counts().items())
    drawing = cutting_picture(layout, plan.sheet, look, f"{title}, {holds} on each.")
    width = paper.right - x
    items = instructions(layout, look.names, look.printer)
    heights = [_height(item, width, look, sheet) for item in items]
    head = leading(scale.STRONG) + leading(scale.SMALL) * 2 + 2.0
    picture = drawing.box[3] + 2.0
    room = paper.top - paper.bottom
    sheet.skip(0.5)
    sheet.need(min(room, max(picture, min(head + sum(heights), picture + 20))))
    top = sheet.y
    turned = False
    sheet.figure(drawing, paper.left - EDGE, top - 1.2)
    sheet.words(title, scale.STRONG, Role("heading", 3), x=x)
    sheet.words(f"{holds} on each", scale.SMALL, x=x, colour="grey")
    sheet.y -= 1.5
    for item, height in zip(items, heights, strict=True):
        turned = sheet.need(height) or turned
        _item(item, x, width, look, sheet)
    if not turned:
        sheet.y = min(sheet.y, top - picture)


def _texts(item: Instruction, look: Look) -> tuple[str, str]:
    turn = f"{item.turn.capitalize()}, fence" if item.turn else "Fence"
    cut = f"{item.edge} against the fence, cut {item.cut}" if item.edge else f"Cut {item.cut}"
    return f"{turn} at {look.printer.both(item.fence)}", f"{cut}: {item.gives}"


def _height(item: Instruction, width: float, look: Look, sheet: Composer) -> float:
    first, second = _texts(item, look)
    lines = len(wrap(first, scale.STRONG, width - INDENT, sheet.faces))
    more = len(wrap(second, scale.TEXT, width - INDENT, sheet.faces))
    return (lines + more) * leading(scale.TEXT) + 1.6


def _item(item: Instruction, x: float, width: float, look: Look, sheet: Composer) -> None:
    """One setting: its number, the measure, then what to cut and what comes of it."""
    first, second = _texts(item, look)
    inner = x + INDENT
    top = sheet.y
    lines = wrap(first, scale.STRONG, width - INDENT, sheet.faces)
    more = wrap(second, scale.TEXT, width - INDENT, sheet.faces)
    inks: list[Line] = sheet.set([str(item.number)], scale.STRONG, x, top)
    inks += sheet.set(lines, scale.STRONG, inner, top)
    below = top - leading(scale.STRONG) * len(lines)
    inks += sheet.set(more, scale.TEXT, inner, below)
    sheet.add(Role("list_item", group=("cuts",)), *inks)
    sheet.y = below - leading(scale.TEXT) * len(more) - 1.6

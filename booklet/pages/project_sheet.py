"""The project sheet: one project on one page, first in its section of a binder.

In: a model. Out: a page with picture, size, stock, yield, time, and lines for whom it was made.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from booklet.draw.typeface import Faces
from booklet.fold.prove import contents_of
from booklet.measure.money import money_text
from booklet.pages import type as scale
from booklet.pages.cover import picture_between
from booklet.pages.flow import Composer, clipped
from booklet.pages.grid import BASELINE, Paper
from booklet.pages.page import Page, Role, Rule
from booklet.pages.panel_words import lowered
from booklet.pages.shot import Stage
from booklet.stages import Model

LOG_HEAD: Final = ("Made for", "Date", "Notes")
LOG_ROWS: Final = 5
PICTURE: Final = 92.0
"""Height of the picture, in mm."""


def project_sheet(model: Model, stage: Stage, paper: Paper, faces: Faces) -> list[Page]:
    """The page."""
    project = model.project.project
    sheet = Composer(paper, faces, project.title)
    sheet.title(clipped(project.title, scale.TITLE, paper.measure * 1.8, faces))
    if project.summary:
        # Two lines hold a usual summary.
        sheet.words(clipped(project.summary, scale.LEAD, paper.measure * 1.8, faces), scale.LEAD)
    top = sheet.y
    picture_between(model, stage, paper, sheet, top - PICTURE, top - 4)
    sheet.y = top - PICTURE - 6
    rows = facts(model)
    lines = (sheet.y - paper.bottom - (LOG_ROWS + 1) * 1.6 * BASELINE) / (1.35 * BASELINE)
    widths = (30.0, paper.measure - 30.0)
    shown = [(name, clipped(words, scale.TEXT, widths[1] - 3, faces)) for name, words in rows]
    sheet.table(("", "At a glance"), shown[: max(3, int(lines))], widths, name="facts")
    sheet.skip()
    log_lines(sheet, LOG_HEAD, (0.32, 0.18, 0.5))
    return sheet.pages()


def facts(model: Model) -> list[tuple[str, str]]:
    """What one wants to know before choosing a project."""
    project = model.project.project
    printer = model.printer
    rows: list[tuple[str, str]] = []
    if model.patterns:
        largest = max(model.patterns, key=lambda p: p.blank[0] * p.blank[1])
        pieces = sum(pattern.count for pattern in model.patterns)
        more = f", the largest of {pieces} pieces" if pieces > 1 else ""
        rows.append(("Size", f"blank {printer.size(largest.blank)}{more}"))
    fits = {fit.id: fit.fits for fit in contents_of(model.folded)}
    held = [
        f"{c.count} {lowered(c.name)}" if c.count > 1 else c.name
        for c in model.project.contents
        if fits.get(c.id.value, True)
    ]
    if held:
        rows.append(("Holds", ", ".join(held)))
    for stock in model.project.stocks:
        size = model.sheets.get(stock.id.value)
        sheet = f", sheet {printer.bought(size)}" if size else ""
        rows.append(("Stock", f"{stock.name}{sheet}"))
    if yields := _yields(model):
        rows.append(("A sheet gives", yields))
    cost = model.cost
    if cost.currency is not None and cost.per_project > 0:
        missing = " and what has no price" if cost.missing else ""
        amount = money_text(cost.per_project, cost.currency)
        rows.append(("Cost", f"{cost.currency} {amount} of material{missing}"))
    if project.minutes:
        rows.append(("Time", f"{project.minutes} minutes"))
    if project.level:
        rows.append(("Level", project.level))
    tools = [line.name for line in model.supplies if line.kind == "tool"]
    if tools:
        rows.append(("Tools", "; ".join((tools[0], *map(lowered, tools[1:])))))
    return rows


def _yields(model: Model) -> str:
    """How many of each piece or mat a sheet of its stock gives when cut to that alone."""
    names = model.names
    counts = (
        [f"{count} × {lowered(names.get(piece, piece))}" for piece, count in each.items() if count]
        for each in (plan.per_sheet for plan in model.stock_plans)
    )
    return "; ".join(" or ".join(one) for one in counts if one)


def log_lines(sheet: Composer, head: Sequence[str], shares: Sequence[float]) -> None:
    """Columns with heads and empty lines to write on, down to the page's foot."""
    paper = sheet.paper
    x = paper.left
    for words, share in zip(head, shares, strict=True):
        line = sheet.set([words], scale.SMALL_STRONG, x, sheet.y)
        sheet.add(Role("table_header", group=("log", "head")), *line)
        x += share * paper.measure
    y = sheet.y - 5.0
    style = "medium"
    while y > paper.bottom - 1:
        rule = Rule(paper.left, y, paper.right, y, style, "grey")
        sheet.add(Role("decoration"), rule)
        style = "hair"
        y -= 1.6 * BASELINE
    sheet.y = paper.bottom

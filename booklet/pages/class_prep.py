"""The prep sheet: cut, score and bundle, with squares to tick and minutes.

In: a model. Out: pages.
"""

from __future__ import annotations

from booklet.draw.typeface import Faces
from booklet.pages import type as scale
from booklet.pages.flow import Composer, leading
from booklet.pages.grid import BASELINE, Paper
from booklet.pages.page import Box, Line, Page, Role, Rule
from booklet.stages import Model
from booklet.stock.batch import batch_of
from booklet.stock.prep import Task, by_kind, kit_of, tasks, total_minutes

HEADINGS = {"cut": "Cut", "score": "Score", "bundle": "Bundle"}
NOTES = 45.0
"""Room in mm in which notes are worth a heading."""
MOST = 60
"""Kits that are ticked off one by one; with more the squares would fill the page."""


def prep_pages(model: Model, paper: Paper, faces: Faces) -> list[Page]:
    """Tasks in the order of work, then a square for each kit."""
    batch = batch_of(model.project.course)
    kit = kit_of(model.patterns, model.mats, model.supplies, model.printer)
    made = tasks(model.project, model.stock_plans, model.patterns, kit, batch)
    sheet = Composer(paper, faces, "Prep sheet")
    sheet.title("Prep sheet")
    sheet.words(
        f"About {total_minutes(made)} minutes for one person. Minutes are a guess for practised "
        "hands: note your own beside them for next time."
    )
    for kind, some in by_kind(made).items():
        if some:
            sheet.skip(0.6)
            sheet.heading(HEADINGS[kind])
            for task in some:
                _task(task, sheet)
    sheet.skip(0.4)
    rows = [(portion.name, portion.amount) for portion in kit]
    width = paper.measure - 60.0
    sheet.table(("In each kit", "How much"), rows, (width, 60.0), name="kit")
    if batch.kits <= MOST:
        _kits(batch.kits, sheet)
    _notes(sheet)
    return sheet.pages()


def _task(task: Task, sheet: Composer) -> None:
    """A square, what to do, and the minutes at the right with a line for one's own."""
    paper = sheet.paper
    height = leading(scale.TEXT) + leading(scale.SMALL)
    sheet.need(height)
    top = sheet.y
    base = sheet.set([f"{task.minutes} min"], scale.TEXT, paper.right, top)[0]
    minutes = Line(paper.right - 26.0, base.y, base.text, scale.TEXT, "end")
    blank = Line(paper.right, base.y, "______ min", scale.TEXT, "end", "grey")
    sheet.tick(task.what, task.detail, f"prep {task.kind}")
    sheet.add(Role("paragraph"), minutes, blank)


def _kits(count: int, sheet: Composer) -> None:
    """A numbered square for each kit."""
    sheet.skip(0.8)
    x0, step = sheet.paper.left, 14.0
    columns = int(sheet.paper.measure // step)
    rows = -(-count // columns)
    sheet.need(leading(scale.STRONG) + 7.0 * rows)
    sheet.words("Tick each kit when it is bundled", scale.STRONG)
    for row in range(rows):
        inks: list[Box | Line] = []
        for place in range(min(columns, count - row * columns)):
            x = x0 + place * step
            inks.append(Box(x, sheet.y - 4.6, 3.2, 3.2))
            inks += sheet.set([str(row * columns + place + 1)], scale.SMALL, x + 4.6, sheet.y - 0.8)
        sheet.add(Role("list_item", group=("kits",)), *inks)
        sheet.y -= 7.0


def _notes(sheet: Composer) -> None:
    """Lines for what to do better next time, where the page has room."""
    paper = sheet.paper
    if sheet.y - paper.bottom < NOTES:
        return
    sheet.skip(0.8)
    sheet.heading("For next time")
    y = sheet.y - 2 * BASELINE
    while y > paper.bottom:
        sheet.add(Role("decoration"), Rule(paper.left, y, paper.right, y, "hair", "grey"))
        y -= 2 * BASELINE

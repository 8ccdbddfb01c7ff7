"""The gallery of ready forms: of each a folded picture, its flat pattern, name and inputs.

In: forms, each with a sample project built from it. Out: a `Document`, two forms on a page. The
first page lists them all, with the first of them if their number is odd: no page is half empty.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from booklet.draw.diagram import finished_flat
from booklet.draw.mark import Drawing
from booklet.draw.typeface import Faces
from booklet.flat.pattern import Pattern
from booklet.pages import type as scale
from booklet.pages.flow import Composer, leading, wrap
from booklet.pages.grid import GUTTER, SAFE, Paper
from booklet.pages.page import Document, Element, Line, Page, Picture, Role, Rule
from booklet.pages.staging import set_stage
from booklet.pages.step_picture import fitted
from booklet.pages.wording import planned_steps
from booklet.stages import Model

TITLE = "Forms to start from"
INTRO = (
    "Each form is sized from what goes inside: `booklet start NAME --form FORM --inside WxTxD` "
    "writes a project of your own. The values in the lists are those of the pictures."
)
ON_A_PAGE = 2
HEAD = ("Form", "Page")
FOLDED_SHARE = 0.5
"""The folded picture's share of the width; the flat pattern has the rest."""
GAP = 6.0
"""Millimetres between the flat patterns of a form with several pieces."""


@dataclass(frozen=True)
class Entry:
    """A form as it is shown; `inputs` are name, words and the sample's value."""

    id: str
    title: str
    summary: str
    inputs: tuple[tuple[str, str, str], ...]
    model: Model


def gallery(entries: Sequence[Entry], paper: Paper, faces: Faces) -> Document:
    """A list of all forms, then two on a page."""
    sheet = Composer(paper, faces, TITLE)
    sheet.title(TITLE)
    sheet.words(INTRO.replace("`", ""), scale.TEXT, Role("paragraph"))
    sheet.skip(0.6)
    first = len(entries) % ON_A_PAGE
    _overview(entries, first, sheet)
    for entry in entries[:first]:
        _entry(entry, sheet, sheet.y, sheet.y - paper.bottom - 5.0)
    for index, entry in enumerate(entries[first:]):
        if index % ON_A_PAGE == 0:
            sheet.turn()
            top = sheet.y
        room = (top - paper.bottom) / ON_A_PAGE
        _entry(entry, sheet, top - room * (index % ON_A_PAGE), room - 5.0)
    pages = sheet.pages()
    numbered = tuple(_numbered(page, at, len(pages), paper) for at, page in enumerate(pages, 1))
    return Document(TITLE, "", "The ready forms of booklet", "en", "#2f6f73", numbered)


def _overview(entries: Sequence[Entry], first: int, sheet: Composer) -> None:
    """All forms with their pages, in two columns; `first` of them stand on the first page."""
    rows = [
        (entry.title, str(1 + (at + ON_A_PAGE - first) // ON_A_PAGE))
        for at, entry in enumerate(entries)
    ]
    half = (len(rows) + 1) // 2
    top = low = sheet.y
    for column, part in enumerate((rows[:half], rows[half:])):
        sheet.y = top
        x, width = sheet.paper.column(column, 2)
        sheet.table(HEAD, part, (width - 14.0, 14.0), right=(1,), x=x, name=f"forms {column}")
        low = min(low, sheet.y)
    sheet.y = low - 4.0


def _entry(entry: Entry, sheet: Composer, top: float, room: float) -> None:
    """One form in the full width, from `top` downward."""
    paper = sheet.paper
    rule = Rule(paper.left, top, paper.right, top, "hair", "grey")
    sheet.add(Role("decoration"), rule)
    sheet.y = top - 2.0
    name = Line(paper.right, 0.0, entry.id, scale.SMALL, "end", "grey")
    heading = sheet.set([entry.title], scale.HEADING, paper.left, sheet.y)
    sheet.add(Role("heading", 2), *heading)
    sheet.add(Role("paragraph"), replace(name, y=heading[0].y))
    sheet.y -= leading(scale.HEADING)
    sheet.words(entry.summary, scale.TEXT)
    list_height = _inputs_height(entry, sheet)
    low = top - room + list_height
    _pictures(entry, sheet, low + 3.0, sheet.y - 3.0)
    _inputs(entry, sheet, low)


def _pictures(entry: Entry, sheet: Composer, low: float, high: float) -> None:
    paper = sheet.paper
    wide = paper.measure - GUTTER
    left_room, right_room = wide * FOLDED_SHARE, wide * (1 - FOLDED_SHARE)
    shown = set_stage(entry.model, planned_steps(entry.model))
    scenes = list(shown.finished)
    if shown.opened is not None and len(scenes) == 1 and not shown.filled_open:
        scenes.append(shown.opened)
    room = (left_room - GAP * (len(scenes) - 1)) / max(1, len(scenes))
    drawings = fitted(scenes, room, high - low, sheet.faces).drawn(sheet.faces) if scenes else []
    for at, drawing in enumerate(drawings):
        _place(drawing, sheet, paper.left + at * (room + GAP), room, low, high)
    flats = _flats(entry.model.patterns, entry.model, right_room, high - low)
    if not drawings:
        left_room, right_room = 0.0, wide  # nothing folds: the flat piece is the finished one
    total = sum(drawing.box[2] for drawing in flats) + GAP * (len(flats) - 1)
    x = paper.right - right_room + (right_room - total) / 2
    for drawing in flats:
        _place(drawing, sheet, x, drawing.box[2], low, high)
        x += drawing.box[2] + GAP


def _flats(patterns: Sequence[Pattern], model: Model, width: float, height: float) -> list[Drawing]:
    """The flat patterns beside one another, on one scale."""
    sides = [tuple(float(side) for side in pattern.blank) for pattern in patterns]
    free = width - GAP * (len(sides) - 1)
    k = min(free / sum(w for w, _ in sides), height / max(h for _, h in sides), 0.8)
    colours = {stock.id.value: stock.colour for stock in model.project.stocks}
    return [
        finished_flat(
            pattern, (), k, colours.get(pattern.stock or "") or "panel",
            f"{pattern.name}, flat.", {},
        )
        for pattern in patterns
    ]  # fmt: skip


def _place(
    drawing: Drawing, sheet: Composer, x: float, width: float, low: float, high: float
) -> None:
    """A drawing in the middle of its room."""
    w, h = drawing.size
    at = x + (width - w) / 2, low + (high - low - h) / 2
    sheet.add(Role("figure", alt=drawing.alt), Picture(*at, drawing))


def _rows(entry: Entry, sheet: Composer) -> list[list[tuple[str, list[str]]]]:
    """Two columns of inputs: name, and the lines of its words with its value."""
    width = (sheet.paper.measure - GUTTER) / 2 - _names(entry, sheet)
    rows = [
        (name, wrap(f"{says}: {value}", scale.SMALL, width, sheet.faces))
        for name, says, value in entry.inputs
    ]
    half = (len(rows) + 1) // 2
    return [rows[:half], rows[half:]]


def _names(entry: Entry, sheet: Composer) -> float:
    """The width that the longest name takes, with a gap."""
    names = (sheet.faces.width(name, scale.SMALL_STRONG) for name, _, _ in entry.inputs)
    return max(names) + 3.0


def _inputs_height(entry: Entry, sheet: Composer) -> float:
    columns = _rows(entry, sheet)
    return max(sum(len(lines) for _, lines in rows) for rows in columns) * leading(scale.SMALL)


def _inputs(entry: Entry, sheet: Composer, top: float) -> None:
    for index, rows in enumerate(_rows(entry, sheet)):
        x, _ = sheet.paper.column(index, 2)
        y = top
        for name, lines in rows:
            group = (entry.id, name)
            named = sheet.set([name], scale.SMALL_STRONG, x, y)
            words = sheet.set(lines, scale.SMALL, x + _names(entry, sheet), y)
            sheet.add(Role("list_item", group=group), *named, *words)
            y -= leading(scale.SMALL) * len(lines)


def _numbered(page: Page, number: int, of: int, paper: Paper) -> Page:
    y = SAFE + 1.5
    lines = (
        Line(paper.left, y, TITLE, scale.SMALL, "start", "grey"),
        Line(paper.right, y, f"{number} / {of}", scale.SMALL, "end", "grey"),
    )
    return replace(page, elements=(*page.elements, Element(Role("decoration"), lines)))

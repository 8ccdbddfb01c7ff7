"""The score chart: positions as one sets them on a scoring board.

In: a model and a composer. Out: the composer's pages with a table from the left and one from the
top for each piece.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import TypeAlias

from booklet.draw.chart import chart_picture
from booklet.draw.flat_marks import score_style
from booklet.draw.typeface import Faces
from booklet.flat.chart import ChartRow, ScoreChart, line_letters, score_chart
from booklet.flat.pattern import Pattern
from booklet.measure.rounding import Printer
from booklet.pages import type as scale
from booklet.pages.flow import Composer, leading, wrap
from booklet.pages.grid import BASELINE
from booklet.pages.panel_words import capital
from booklet.pages.score_words import score_sentence
from booklet.pages.sizes import separate
from booklet.stages import Model

HIGHEST = 150.0
"""A picture's height in mm at most."""
SMALLER = 0.7
"""How much smaller than its column a picture is drawn where it then goes below what is there."""
LEAST = 75.0
"""Millimetres on paper that a picture is given, or it goes to a page of its own."""
SHARE = 0.55
"""The share of the frame's width that is enough for a picture that is not tall."""
LETTER, POSITION = 11.0, 41.0
"""Widths in mm of the first two columns of a table; the second gives way to the third."""
GUTTER = 3.1
"""What a cell leaves free on its right, in mm, and a little more."""
Table: TypeAlias = tuple[tuple[str, str, str], list[tuple[str, str, str]]]
FOLDS = (
    ("valley", "a dashed line folds toward you"),
    ("mountain", "a dash-dot line folds away from you"),
)
"""What a line of the picture says by its style."""


def charts(model: Model, sheet: Composer) -> None:
    """A chart for each piece that has scores, in each size in which it differs."""
    for one in separate(model):
        for pattern in one.patterns:
            if pattern.scores:
                _chart(pattern, model.printer, sheet)


def _chart(pattern: Pattern, printer: Printer, sheet: Composer) -> None:
    chart = score_chart(pattern)
    trial = Composer(sheet.paper, sheet.faces)
    _opening(pattern, chart, printer, trial)
    room = sheet.paper.top - trial.y + _wanted(pattern, chart, printer, sheet)
    sheet.begin(f"Score chart: {pattern.name.lower()}", room)
    _opening(pattern, chart, printer, sheet)
    follow = _below if sheet.paper.columns == 1 else _beside
    follow(pattern, chart, printer, sheet)


def _opening(pattern: Pattern, chart: ScoreChart, printer: Printer, sheet: Composer) -> None:
    """The title and the words above picture and tables."""
    sheet.title(f"Score chart: {pattern.name.lower()}")
    sheet.words(
        f"Blank {printer.size(pattern.blank)}. Lay it on the scoring board with the inside up, "
        "left edge and top edge against the stops. Letters in the picture are the lines of the "
        "tables.",
    )
    sheet.skip(0.5)
    sentence = score_sentence(pattern, printer)
    if chart.left_repeats or chart.top_repeats or chart.slanted or chart.curved:
        repeats = chart.left_repeats or chart.top_repeats
        sheet.heading("The short way" if repeats else "How to score it")
        sheet.words(sentence)
        sheet.skip(0.5)


def _wanted(pattern: Pattern, chart: ScoreChart, printer: Printer, sheet: Composer) -> float:
    """The least height in mm that the section takes behind its words; in one column, its tables."""
    paper = sheet.paper
    _, width = paper.column(paper.columns - 1, paper.columns)
    tables = _tables_of(chart, printer)
    widths = _widths(tables, width, sheet.faces)
    listed = sum(sheet.table_height(*table, widths) + BASELINE for table in tables)
    if paper.columns == 1:
        return listed
    picture = chart_picture(pattern, chart, width, HIGHEST, sheet.faces)
    return max(SMALLER * (picture.box[3] - picture.box[1]) + 10.0, listed)


def _beside(pattern: Pattern, chart: ScoreChart, printer: Printer, sheet: Composer) -> None:
    """Picture and tables beside each other."""
    paper = sheet.paper
    x, width = paper.column(0, paper.columns)
    high = min(sheet.y - paper.bottom - 9.0, HIGHEST)
    drawing = chart_picture(pattern, chart, width, high, sheet.faces)
    top, page = sheet.y, sheet.finished
    sheet.figure(drawing, x + (width - drawing.box[2]) / 2, top - 1.0)
    right, column = paper.column(paper.columns - 1, paper.columns)
    tables = _tables_of(chart, printer)
    widths = _widths(tables, column, sheet.faces)
    for head, rows in tables:
        sheet.table(head, rows, widths, x=right, name=head[1])
        sheet.skip(1)
    if sheet.finished == page:
        sheet.y = min(sheet.y, top - (drawing.box[3] - drawing.box[1]) - 4)
    sheet.words(_folds(pattern), scale.SMALL)


def _below(pattern: Pattern, chart: ScoreChart, printer: Printer, sheet: Composer) -> None:
    """In one column the tables come first; the picture takes what is left, or a page of its own."""
    paper = sheet.paper
    tables = _tables_of(chart, printer)
    widths = _widths(tables, paper.measure, sheet.faces)
    for head, rows in tables:
        sheet.need(min(sheet.table_height(head, rows, widths), paper.top - paper.bottom))
        sheet.table(head, rows, widths, name=head[1])
        sheet.skip(1)
    w, h = (float(side) for side in pattern.blank)
    told = wrap(_folds(pattern), scale.SMALL, paper.measure, sheet.faces)
    words = leading(scale.SMALL) * len(told)
    if sheet.need(min(LEAST / paper.zoom, SHARE * paper.measure * h / w) + words + 4.0):
        sheet.heading(f"{pattern.name}: where the lines lie")
    sheet.words(_folds(pattern), scale.SMALL)
    room = sheet.y - 3.0 - paper.bottom
    drawing = chart_picture(pattern, chart, paper.measure, room, sheet.faces)
    x = paper.left + (paper.measure - drawing.box[2]) / 2
    sheet.figure(drawing, x, sheet.y - 3.0)
    sheet.y -= drawing.box[3] - drawing.box[1] + 6.0


def _folds(pattern: Pattern) -> str:
    """How the lines that are drawn fold."""
    drawn = {score_style(score.angle) for score in pattern.scores}
    return f"{capital(', '.join(words for style, words in FOLDS if style in drawn))}."


def _widths(tables: Sequence[Table], column: float, faces: Faces) -> tuple[float, float, float]:
    """The same for both tables; what the positions leave goes to a last column that is short."""

    def needed(index: int) -> float:
        heads = [faces.width(head[index], scale.SMALL_STRONG) for head, _ in tables]
        cells = [faces.width(row[index], scale.TEXT) for _, rows in tables for row in rows]
        return max([0.0, *heads, *cells]) + GUTTER

    place = min(POSITION, max(needed(1), column - LETTER - needed(2)))
    return LETTER, place, column - LETTER - place


def _tables_of(chart: ScoreChart, printer: Printer) -> list[Table]:
    """The tables of the two directions that have lines, lettered through both."""
    letters = line_letters()
    tables: list[Table] = []
    for head, rows, side in (
        ("From the left", chart.from_left, "top"),
        ("From the top", chart.from_top, "left"),
    ):
        body = [(next(letters), printer.both(row.position), _spans(row, printer)) for row in rows]
        if body:
            tables.append((("Line", head, f"Scored, from the {side}"), body))
    return tables


def _spans(row: ChartRow, printer: Printer) -> str:
    """Where the line is scored: the whole way, or between two marks from the other edge."""
    if row.whole:
        return "the whole way"
    spans: Sequence[tuple[Fraction, Fraction]] = row.spans
    words = [f"{printer.bare(start)} to {printer.first(end)}" for start, end in spans]
    return ", ".join(words)

"""The score chart: positions as one sets them on a scoring board.

In: a model and a composer. Out: the composer's pages with a table from the left and one from the
top for each piece.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from booklet.draw.chart import chart_picture
from booklet.flat.chart import ChartRow, ScoreChart, line_letters, score_chart
from booklet.flat.pattern import Pattern
from booklet.measure.rounding import Printer
from booklet.pages import type as scale
from booklet.pages.flow import Composer, leading
from booklet.pages.score_words import score_sentence
from booklet.pages.sizes import separate
from booklet.stages import Model

WORDS = 64.0
"""About what a title and the words above a picture take, in mm."""
HIGHEST = 150.0
"""A picture's height in mm at most."""
SMALLEST = 40.0
"""The height in mm to which a picture shrinks so that its tables stay on its page."""
FOLDS = "A dashed line folds toward you, a dash-dot line away from you."


def charts(model: Model, sheet: Composer) -> None:
    """A chart for each piece that has scores, in each size in which it differs."""
    for one in separate(model):
        for pattern in one.patterns:
            if pattern.scores:
                _chart(pattern, model.printer, sheet)


def _chart(pattern: Pattern, printer: Printer, sheet: Composer) -> None:
    chart = score_chart(pattern)
    sheet.begin(f"Score chart: {pattern.name.lower()}", WORDS + _wanted(pattern, chart, sheet))
    sheet.title(f"Score chart: {pattern.name.lower()}")
    sheet.words(
        f"Blank {printer.size(pattern.blank)}. Lay it on the scoring board with the inside up, "
        "left edge and top edge against the stops. Letters in the picture are the lines below.",
    )
    sheet.skip(0.5)
    sentence = score_sentence(pattern, printer)
    if chart.left_repeats or chart.top_repeats or chart.slanted or chart.curved:
        repeats = chart.left_repeats or chart.top_repeats
        sheet.heading("The short way" if repeats else "How to score it")
        sheet.words(sentence)
        sheet.skip(0.5)
    _tables(pattern, chart, printer, sheet)


def _wanted(pattern: Pattern, chart: ScoreChart, sheet: Composer) -> float:
    """The height in mm that the picture and the tables take where they have room."""
    paper = sheet.paper
    _, width = paper.column(0, paper.columns)
    picture = chart_picture(pattern, chart, width, HIGHEST, sheet.faces)
    high = picture.box[3] - picture.box[1] + 8.0
    return max(high, _height(chart)) if paper.columns > 1 else high + _height(chart)


def _tables(pattern: Pattern, chart: ScoreChart, printer: Printer, sheet: Composer) -> None:
    paper = sheet.paper
    x, width = paper.column(0, paper.columns)
    if paper.columns == 1:
        sheet.words(FOLDS, scale.SMALL)
        sheet.skip(0.3)
    room = sheet.y - paper.bottom - 9.0
    high = min(room, HIGHEST)
    drawing = chart_picture(pattern, chart, width, high, sheet.faces)
    if paper.columns == 1:
        # Below it the tables, unless the picture would become too small to read.
        rest = room - _height(chart)
        if rest > SMALLEST:
            drawing = chart_picture(pattern, chart, width, min(high, rest), sheet.faces)
    top, page = sheet.y, sheet.finished
    sheet.figure(drawing, x + (width - drawing.box[2]) / 2, top - 1.0)
    if paper.columns == 1:
        sheet.y -= drawing.box[3] - drawing.box[1] + 5
    right, column = paper.column(paper.columns - 1, paper.columns)
    widths = (11.0, 41.0, column - 52.0)
    letters = line_letters()
    for head, rows, side in (
        ("From the left", chart.from_left, "top"),
        ("From the top", chart.from_top, "left"),
    ):
        if not rows:
            continue
        body = [(next(letters), printer.both(row.position), _spans(row, printer)) for row in rows]
        sheet.table(("Line", head, f"Scored, from the {side}"), body, widths, x=right, name=head)
        sheet.skip(1)
    if paper.columns > 1:
        if sheet.finished == page:
            sheet.y = min(sheet.y, top - (drawing.box[3] - drawing.box[1]) - 4)
        sheet.words(FOLDS, scale.SMALL)


def _height(chart: ScoreChart) -> float:
    """About what the tables of a chart take below a picture, in mm."""
    rows = len(chart.from_left) + len(chart.from_top)
    return rows * (leading(scale.TEXT) + 1.4) + 2 * (leading(scale.SMALL_STRONG) + 1.4) + 26.0


def _spans(row: ChartRow, printer: Printer) -> str:
    """Where the line is scored: the whole way, or between two marks from the other edge."""
    if row.whole:
        return "the whole way"
    spans: Sequence[tuple[Fraction, Fraction]] = row.spans
    words = [f"{printer.bare(start)} to {printer.first(end)}" for start, end in spans]
    return ", ".join(words)

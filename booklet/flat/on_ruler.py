"""Do the scores and the blank fall on the maker's ruler?

In: a pattern, its piece as written and the scope. Out: warnings that name the nearest mark.
"""

from __future__ import annotations

from fractions import Fraction

from booklet.flat.chart import score_chart
from booklet.flat.pattern import Pattern
from booklet.measure.resolve import Scope
from booklet.measure.rounding import Printer
from booklet.measure.ruler import nearest_mark, on_ruler
from booklet.problem import Place, Problem
from booklet.read.piece import Piece


def check_ruler(pattern: Pattern, piece: Piece, scope: Scope, found: list[Problem]) -> None:
    """Warn of each score position and blank side that lies between two marks of the ruler."""
    printer = Printer(scope.units, scope.ruler)
    chart = score_chart(pattern)
    columns = [c.place for c in piece.columns]
    rows = [r.place for r in piece.rows]
    for row in chart.from_left:
        place = _place(pattern, row.position, True) or _blame(
            pattern.columns, columns, row.position
        )
        _check(row.position, "score", "from the left", place, pattern.id, scope, printer, found)
    for row in chart.from_top:
        place = _place(pattern, row.position, False) or _blame(pattern.rows, rows, row.position)
        _check(row.position, "score", "from the top", place, pattern.id, scope, printer, found)
    if not piece.map:
        return  # a drawn outline is cut along its template, whatever the size of the blank
    _check(pattern.blank[0], "blank", "wide", columns[-1], pattern.id, scope, printer, found)
    _check(pattern.blank[1], "blank", "tall", rows[-1], pattern.id, scope, printer, found)


def _place(pattern: Pattern, position: Fraction, upright: bool) -> Place | None:
    """Where a score at this position is drawn as path data; None in a map."""
    line = position if upright else pattern.blank[1] - position
    scores = [s for s in pattern.scores if s.aligned and s.upright == upright and s.line == line]
    return next((score.place for score in scores), None)


def _blame(widths: tuple[Fraction, ...], places: list[Place], position: Fraction) -> Place:
    total = Fraction(0)
    for width, place in zip(widths, places, strict=True):
        total += width
        if total == position:
            return place
    return places[-1]


def _check(
    position: Fraction,
    what: str,
    side: str,
    place: Place,
    piece: str,
    scope: Scope,
    printer: Printer,
    found: list[Problem],
) -> None:
    if on_ruler(position, scope.ruler):
        return
    mark = nearest_mark(position, scope.ruler)
    off = abs(float(position - mark))
    text = f"a score {side}" if what == "score" else f"the blank, {side},"
    found.append(
        Problem(
            f"{what}-off-ruler",
            f'"{piece}": {text} at {printer.first(position)} ({float(position):.2f} mm) '
            f"is off the ruler's marks by {off:.2f} mm",
            place,
            f"the nearest mark is {printer.first(mark)} ({float(mark):.2f} mm)",
        )
    )

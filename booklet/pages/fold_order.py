"""The fold order: a numbered list, and the numbers on a small flat picture.

In: a model, its planned steps as their pictures part them, and a composer. Out: the composer's
pages.
"""

from __future__ import annotations

from collections.abc import Sequence

from booklet.draw.diagram import numbered
from booklet.flat.own_label import own_labels
from booklet.flat.pattern import Pattern
from booklet.measure.rounding import degrees_text
from booklet.pages.flow import Composer
from booklet.pages.planned import PlannedStep
from booklet.pages.score_words import own_pattern
from booklet.stages import Model

WORDS, IN_NARROW = 27.5, 32.0
"""What a title and the words above a picture take, in mm, and about that where they run on."""
BELOW = 5.0
"""White between a picture and the list below it, in mm."""
HIGHEST = 100.0
"""A picture's height in mm at most, where the list stands beside it."""
LEAST, IN_LARGE_PRINT = 75.0, 102.0
"""Millimetres on paper of the longer side that a picture is given above its list, and beside it."""
HEAD = ("", "Panel", "Fold")


def fold_rounds(pattern: Pattern, steps: Sequence[PlannedStep]) -> list[list[str]]:
    """Panels folded together, each panel where it is folded last; panels no step names come last.

    A panel that is creased early and folded for good later counts at its later fold.
    """
    rounds: list[list[str]] = []
    for step in steps:
        names = [name for piece, name in step.fold if piece == pattern.id]
        tabs = [name for name in names if (pattern.id, name) in step.join]
        # What closes over the tabs comes after them.
        rounds += [tabs, [name for name in names if name not in tabs]]
    folds = pattern.folding
    seen: set[str] = set()
    result: list[list[str]] = []
    for names in reversed(rounds):
        fresh = [name for name in dict.fromkeys(names) if name in folds - seen]
        seen.update(fresh)
        if fresh:
            result.insert(0, fresh)
    rest = [hinge.panel for hinge in pattern.hinges if hinge.panel in folds - seen]
    return [*result, *([rest] if rest else [])]


def creased_only(model: Model, pattern: Pattern) -> list[str]:
    """The panels beside a score that no size folds: it is pressed so that the paper gives there."""
    folds = {name for one in model.sizes for name in own_pattern(one, pattern).folding}
    return [hinge.panel for hinge in pattern.hinges if hinge.panel not in folds]


def fold_order(model: Model, steps: Sequence[PlannedStep], sheet: Composer) -> None:
    """A list and a picture for each piece that folds."""
    for pattern in model.patterns:
        if pattern.hinges:
            _order(model, pattern, steps, sheet)


def _angles(model: Model, pattern: Pattern, panel: str) -> str:
    """How a panel folds; where sizes differ, from the least to the most."""
    found = [
        hinge.angle
        for one in model.sizes
        for hinge in own_pattern(one, pattern).hinges
        if hinge.panel == panel
    ]
    least, most = min(found, key=abs), max(found, key=abs)
    way = "valley" if most >= 0 else "mountain"
    low, high = round(abs(least)), round(abs(most))
    return f"{way} {f'{low}° to {high}°' if low < high else degrees_text(most)}"


def _order(model: Model, pattern: Pattern, steps: Sequence[PlannedStep], sheet: Composer) -> None:
    paper = sheet.paper
    narrow = paper.columns == 1
    x, width = paper.column(0, paper.columns)
    right, column = paper.column(paper.columns - 1, paper.columns)
    widths = (10.0, column - 48.0, 38.0)
    rounds = fold_rounds(pattern, steps)
    w, h = (float(side) for side in pattern.blank)
    high = min(h, HIGHEST, h * width / w)
    longer = (IN_LARGE_PRINT if paper.zoom > 1 else LEAST) / paper.zoom
    least = min(high, longer * h / max(w, h)) if narrow else min(high, longer)

    def taken(rows: Sequence[tuple[str, str, str]]) -> float:
        listed = sheet.table_height(HEAD, rows, widths)
        return IN_NARROW + least + listed + BELOW if narrow else WORDS + max(least, listed)

    rows = _rows(model, pattern, rounds, together=narrow)
    short = _rows(model, pattern, rounds, together=True)
    if sheet.has_below(taken(short)) and not sheet.has_below(taken(rows)):
        rows = short  # rather than to begin on a new page
    sheet.begin(f"Fold order: {pattern.name.lower()}", taken(rows))
    listed = sheet.table_height(HEAD, rows, widths) + (BELOW if narrow else 0.0)
    sheet.title(f"Fold order: {pattern.name.lower()}")
    sheet.words("Panels with the same number fold together. The picture shows the inside.")
    sheet.skip(0.6)
    numbers = {name: k + 1 for k, names in enumerate(rounds) for name in names}
    top, page = sheet.y, sheet.finished
    room = top - paper.bottom
    room = max(least, room - listed) if narrow else min(room, HIGHEST)
    k = min(width / w, room / h, 1)
    alt = f"{pattern.name} flat, each panel with the number of its fold."
    drawing = numbered(pattern, k, numbers, sheet.faces, alt)
    sheet.figure(drawing, x + (width - drawing.box[2]) / 2, top)
    if narrow:
        sheet.y -= drawing.box[3] - drawing.box[1] + 4
    sheet.table(HEAD, rows, widths, x=right, name=f"folds {pattern.id}")
    if not narrow and sheet.finished == page:
        sheet.y = min(sheet.y, top - (drawing.box[3] - drawing.box[1]))


def _rows(
    model: Model, pattern: Pattern, rounds: Sequence[Sequence[str]], together: bool
) -> list[tuple[str, str, str]]:
    """A row for each panel, or for neighbours that fold `together` in one way."""
    rows: list[tuple[str, str, str]] = []
    called = own_labels(pattern)
    for number, names in enumerate(rounds, 1):
        for name in names:
            row = str(number), called[name], _angles(model, pattern, name)
            rows.append(_joined(rows, row) if together else row)
    for name in creased_only(model, pattern):
        row = "–", called[name], "crease only"
        rows.append(_joined(rows, row) if together else row)
    return rows


def _joined(rows: list[tuple[str, str, str]], row: tuple[str, str, str]) -> tuple[str, str, str]:
    """The row, with the last one's panels taken out of `rows` if they fold alike."""
    if not rows or (rows[-1][0], rows[-1][2]) != (row[0], row[2]):
        return row
    return row[0], f"{rows.pop()[1]}, {row[1]}", row[2]

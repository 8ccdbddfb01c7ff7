"""The fold order: a numbered list, and the numbers on a small flat picture.

In: a model, its planned steps and a composer. Out: the composer's pages.
"""

from __future__ import annotations

from collections.abc import Sequence

from booklet.draw.diagram import numbered
from booklet.flat.pattern import Pattern
from booklet.measure.rounding import degrees_text
from booklet.measure.tolerance import ANGLE_DEG
from booklet.pages import type as scale
from booklet.pages.flow import Composer, leading
from booklet.pages.planned import PlannedStep
from booklet.pages.score_words import own_pattern
from booklet.stages import Model

WORDS = 32.0
"""About what a title and the words above a picture take, in mm."""
SMALLEST, HIGHEST = 30.0, 100.0
"""A picture's height in mm, where the page has room for it and for the list."""


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
    folds = {hinge.panel for hinge in pattern.hinges if abs(hinge.angle) > ANGLE_DEG}
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
    folds = {
        hinge.panel
        for one in model.sizes
        for hinge in own_pattern(one, pattern).hinges
        if abs(hinge.angle) > ANGLE_DEG
    }
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
    x, width = paper.column(0, paper.columns)
    w, h = (float(side) for side in pattern.blank)
    listed = 12.0 + (leading(scale.TEXT) + 1.4) * len(pattern.hinges)
    high = min(h, HIGHEST, h * width / w)
    wanted = max(high, listed) if paper.columns > 1 else high + listed
    sheet.begin(f"Fold order: {pattern.name.lower()}", WORDS + wanted)
    sheet.title(f"Fold order: {pattern.name.lower()}")
    sheet.words("Panels with the same number fold together. The picture shows the inside.")
    sheet.skip(0.6)
    rounds = fold_rounds(pattern, steps)
    numbers = {name: k + 1 for k, names in enumerate(rounds) for name in names}
    top, page = sheet.y, sheet.finished
    room = top - paper.bottom
    if paper.columns == 1:
        room = max(SMALLEST, room - listed)
    k = min(width / w, min(room, HIGHEST) / h, 1)
    alt = f"{pattern.name} flat, each panel with the number of its fold."
    drawing = numbered(pattern, k, numbers, sheet.faces, alt)
    sheet.figure(drawing, x + (width - drawing.box[2]) / 2, top)
    if paper.columns == 1:
        sheet.y -= drawing.box[3] - drawing.box[1] + 4
    right, column = paper.column(paper.columns - 1, paper.columns)
    rows = []
    for number, names in enumerate(rounds, 1):
        for name in names:
            rows.append((str(number), pattern.panel(name).label, _angles(model, pattern, name)))
    rows += [
        ("–", pattern.panel(name).label, "crease only") for name in creased_only(model, pattern)
    ]
    widths = (10.0, column - 48.0, 38.0)
    sheet.table(("", "Panel", "Fold"), rows, widths, x=right, name=f"folds {pattern.id}")
    if paper.columns > 1 and sheet.finished == page:
        sheet.y = min(sheet.y, top - (drawing.box[3] - drawing.box[1]))

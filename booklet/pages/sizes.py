"""Several sizes in one booklet: the table of what differs, and what each size prints for itself.

In: a model with its sizes, and a composer. Out: its pages with the table, and for each size a model
with only those pieces and mats that no earlier size has alike.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace

import shapely
from shapely.affinity import translate
from shapely.geometry import Polygon

from booklet.flat.pattern import MatLayer
from booklet.measure.amount import amount_text
from booklet.measure.sentence import formulas
from booklet.measure.tolerance import SAME_MM
from booklet.pages import type as scale
from booklet.pages.across import MANY_SIZES, size_name
from booklet.pages.ending import finished_piece
from booklet.pages.flow import Composer
from booklet.pages.grid import Paper
from booklet.pages.page import Picture, Role
from booklet.pages.panel_words import lowered
from booklet.pages.step_picture import fitted
from booklet.problem import Written
from booklet.stages import Model

COLUMNS = 4
"""Sizes beside each other in a table; more of them make another table below."""
FIRST = 40.0
"""Width of the column that says what a row measures, in mm."""

LEAST, ROW = 60.0, 6.4
"""About what the words above the table take, and one of its rows, in mm."""
HIGH = 80.0
"""Height that a picture of a size keeps, in mm."""


def separate(model: Model) -> list[Model]:
    """One model for each size, holding what is to be printed for it.

    A piece or mat that several sizes have alike stays with the first of them; where not all have
    it alike, its name says for which it is.
    """
    if not model.others:
        return [model]
    shown: list[Model] = []
    for index, one in enumerate(model.sizes):
        before = model.sizes[:index]
        patterns = tuple(
            replace(p, name=_named(p.name, model, [p in m.patterns for m in model.sizes]))
            for p in one.patterns
            if not any(p in m.patterns for m in before)
        )
        mats = tuple(
            replace(mat, name=_named(mat.name, model, [_has(m, mat) for m in model.sizes]))
            for mat in one.mats
            if not any(_has(m, mat) for m in before)
        )
        shown.append(replace(one, patterns=patterns, mats=mats, others=()))
    return shown


def _has(model: Model, mat: MatLayer) -> bool:
    """Whether a size has the mat alike, wherever it lies on its piece."""
    return any(_cornered(mat) == _cornered(other) for other in model.mats)


def _cornered(mat: MatLayer) -> MatLayer:
    """The mat with its lower left corner at the origin, free of the noise of floats."""
    x, y, _, _ = mat.shape.bounds
    moved = shapely.set_precision(translate(mat.shape, -x, -y), SAME_MM).normalize()
    return replace(mat, shape=moved) if isinstance(moved, Polygon) else mat


def _named(name: str, model: Model, has: Sequence[bool]) -> str:
    """The name, with those sizes behind it that have it so unless all have."""
    if all(has):
        return name
    sizes = [size_name(one) for one, alike in zip(model.sizes, has, strict=True) if alike]
    return f"{name}, {' and '.join(sizes)}"


def size_table(model: Model, sheet: Composer) -> None:
    """A table with all that differs between the sizes, and the finished piece in each of them."""
    if not model.others:
        return
    paper = sheet.paper
    sheet.begin("Sizes", _wanted(model, paper))
    sheet.title("Sizes")
    count = len(model.sizes)
    sheet.words(
        f"This booklet holds {count} sizes: choose one, and keep to its column. The steps are the "
        "same for all. What is cut and scored to size has pages of its own for each. The pictures "
        f"of the steps show {size_name(model)}.",
        scale.LEAD,
    )
    sheet.skip()
    rows = _differing(model)
    if not rows:
        sheet.words("The sizes differ in their names only.")
    beside = _beside(paper)
    for first in range(0, count if rows else 0, beside):
        part = slice(first, first + beside)
        head = ["", *(one.size.name if one.size else "" for one in model.sizes[part])]
        width = min(60.0, (paper.measure - FIRST) / (len(head) - 1))
        body = [[name, *values[part]] for name, values in rows]
        sheet.table(head, body, [FIRST, *(width for _ in head[1:])], name=f"sizes {first}")
        sheet.skip(1.5)
    _pictures(model, sheet)


def _wanted(model: Model, paper: Paper) -> float:
    """About what words, tables and a row of pictures take, in mm."""
    tables = math.ceil(len(model.sizes) / _beside(paper))
    return LEAST + HIGH + tables * (ROW * len(_differing(model)) + 8.0)


def _beside(paper: Paper) -> int:
    """Sizes that stand beside each other."""
    return COLUMNS if paper.columns > 1 else COLUMNS // 2


def _pictures(model: Model, sheet: Composer) -> None:
    """The finished piece in every size, all on one scale, as many in a row as the table has."""
    folding = [pattern for pattern in model.patterns if pattern.hinges]
    if not folding:
        return
    main = max(folding, key=lambda p: p.blank[0] * p.blank[1]).id
    shown = [(one, p) for one in model.sizes for p in one.patterns if p.id == main]
    per_row, high = min(_beside(sheet.paper), len(shown)), HIGH
    if sheet.paper.columns == 1 and sheet.y - sheet.paper.bottom < HIGH / 2:
        # Two on a page of their own, each as large as half of it.
        sheet.turn()
        per_row, high = 1, (sheet.paper.top - sheet.paper.bottom) / 2 - 12
    _, width = sheet.paper.column(0, per_row)
    scenes = [finished_piece(one, pattern) for one, pattern in shown]
    drawings = fitted(scenes, width * 0.92, high, sheet.faces).drawn(sheet.faces)
    high = max(drawing.size[1] for drawing in drawings)
    for index, ((one, _), drawing) in enumerate(zip(shown, drawings, strict=True)):
        if index % per_row == 0:
            sheet.need(high + 12)
        x, _ = sheet.paper.column(index % per_row, per_row)
        alt = f"{drawing.alt} Size {size_name(one)}."
        sheet.add(Role("figure", alt=alt), Picture(x, sheet.y - high, replace(drawing, alt=alt)))
        name = sheet.set([size_name(one)], scale.STRONG, x, sheet.y - high - 3)
        sheet.add(Role("caption"), *name)
        if index % per_row == per_row - 1:
            sheet.y -= high + 12


def _differing(model: Model) -> list[tuple[str, list[str]]]:
    """The rows of the table, each with a value for every size, that are not the same in all."""
    sizes = [_cells(one, len(model.sizes) > MANY_SIZES) for one in model.sizes]
    names = dict.fromkeys(name for cells in sizes for name in cells)
    rows = [(name, [cells.get(name, "–") for cells in sizes]) for name in names]
    return [row for row in rows if len(set(row[1])) > 1]


def _cells(model: Model, sentences: bool) -> dict[str, str]:
    """What the table says of one size, by row; with `sentences` also what steps send here for."""
    printer = model.printer
    names = _told_apart({pattern.id: pattern.name for pattern in model.patterns})
    mats = _told_apart({mat.id: mat.name for mat in model.mats})
    # What only follows from these has a name for formulas, and shows in what is cut and scored.
    chosen = {name for one in model.project.sizes for name in one.measures}
    measures = model.scope.measures.items()
    cells = {_spoken(name): printer.both(mm) for name, mm in measures if name in chosen}
    if sentences:
        for step in model.project.steps:
            for formula in formulas(step.say.value) if step.say else ():
                mm = model.scope.length(Written(formula, step.place), [])
                if mm is not None:
                    cells.setdefault(_spoken(formula), printer.both(mm))
    cells |= {f"{names[p.id]}: blank": printer.size(p.blank) for p in model.patterns}
    for folded in model.folded:
        if folded.cavity is not None and not folded.cavity.pocket:
            cells[f"{names[folded.piece]}: inside"] = printer.roughly(folded.cavity.inside)
    cells |= {f"{mats[mat.id]}: size": printer.size(mat.size) for mat in model.mats}
    cells |= {f"How many {lowered(item.name)}": str(item.count) for item in model.project.contents}
    stocks = {stock.id.value: stock.name for stock in model.project.stocks}
    cells |= {f"Sheets of {stocks[p.stock]}, for one": f"{p.needed}" for p in model.plan_for(1)}
    for line in model.supplies:
        if line.amount is not None:
            cells[line.name] = amount_text(line.amount, line.unit, printer)
    return cells


def _told_apart(names: Mapping[str, str]) -> dict[str, str]:
    """Names by id, each with its id behind it where another has the same name."""
    many = Counter(names.values())
    return {id_: name if many[name] == 1 else f"{name} ({id_})" for id_, name in names.items()}


def _spoken(formula: str) -> str:
    return formula.strip().replace("_", " ").capitalize()

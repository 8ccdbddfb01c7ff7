"""What to prepare before a class, and how long it takes about.

In: the cutting plans, the patterns and the supplies of a batch. Out: tasks with minutes, and what
goes into one kit. The times of single movements are common practice, no source; a task is rounded
up to 5 minutes.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from booklet.flat.chart import score_chart
from booklet.flat.pattern import MatLayer, Pattern
from booklet.measure.amount import amount_text
from booklet.measure.rounding import Printer
from booklet.read.project import Project
from booklet.stock.batch import Batch
from booklet.stock.instruction import counted
from booklet.stock.plan_value import Layout, StockPlan
from booklet.stock.supply import SupplyLine

SETTING: Final = 60
"""Seconds to set the fence and try it."""
CUT: Final = 8
"""Seconds for one cut of one sheet or part."""
SCORE: Final = 8
"""Seconds for one score."""
HANDLE: Final = 10
"""Seconds to lay one blank on the scoring board and take it off."""
BUNDLE: Final = 10
"""Seconds to lay one thing into a kit."""
STEP: Final = 5
"""Minutes to which a task is rounded up."""


@dataclass(frozen=True)
class Task:
    """One line of the prep sheet: `kind` is cut, score or bundle."""

    kind: str
    what: str
    detail: str
    minutes: int


@dataclass(frozen=True)
class Portion:
    """What goes into one kit: a name and how much of it."""

    name: str
    amount: str


def tasks(
    project: Project,
    plans: Sequence[StockPlan],
    patterns: Sequence[Pattern],
    kit: Sequence[Portion],
    batch: Batch,
) -> tuple[Task, ...]:
    """Cutting by layout, scoring by piece, bundling; in the order of work."""
    stocks = {stock.id.value: stock.name for stock in project.stocks}
    made = [
        _cutting(number, layout, stocks[plan.stock])
        for plan in plans
        for number, layout in enumerate(plan.layouts, 1)
    ]
    made += [_scoring(pattern, batch) for pattern in patterns if pattern.scores]
    bundle = _minutes(BUNDLE * batch.kits * max(1, len(kit)))
    return (*made, Task("bundle", counted(batch.kits, "kit"), "each as listed below", bundle))


def _cutting(number: int, layout: Layout, stock: str) -> Task:
    cuts = sum(cut.parts * cut.times for cut in layout.cuts) * layout.sheets
    seconds = SETTING * len(layout.cuts) + CUT * cuts
    settings = counted(len(layout.cuts), "setting")
    what = f"{counted(layout.sheets, 'sheet')} of {stock}, layout {number}"
    return Task("cut", what, f"{settings}, {counted(cuts, 'cut')}", _minutes(seconds))


def _scoring(pattern: Pattern, batch: Batch) -> Task:
    blanks = pattern.count * batch.kits
    chart = score_chart(pattern)
    lines, pressed = len(chart.from_left) + len(chart.from_top), chart.slanted + chart.curved
    seconds = blanks * (HANDLE + SCORE * (lines + pressed))
    ways = [f"{counted(lines, 'line')} on each, by the score chart"] if lines else []
    if pressed:
        ways.append(f"{counted(pressed, 'score')} on each, pressed along the template")
    detail = "; ".join(ways)
    return Task("score", f"{blanks} × {pattern.name}", detail, _minutes(seconds))


def _minutes(seconds: int) -> int:
    return math.ceil(Fraction(seconds, 60 * STEP)) * STEP


def kit_of(
    patterns: Sequence[Pattern],
    mats: Sequence[MatLayer],
    supplies: Sequence[SupplyLine],
    printer: Printer,
) -> tuple[Portion, ...]:
    """Blanks, mats and what each maker has of their own; shared things stay on the table."""
    portions = [Portion(pattern.name, str(pattern.count)) for pattern in patterns]
    portions += [Portion(mat.name, str(mat.count)) for mat in mats]
    for line in supplies:
        if line.share is None and line.amount is not None:
            portions.append(Portion(line.name, amount_text(line.amount, line.unit, printer)))
    return tuple(portions)


def total_minutes(made: Sequence[Task]) -> int:
    """Minutes of all tasks."""
    return sum(task.minutes for task in made)


def by_kind(made: Sequence[Task]) -> Mapping[str, tuple[Task, ...]]:
    """The tasks under cut, score and bundle, in this order."""
    kinds = ("cut", "score", "bundle")
    return {kind: tuple(task for task in made if task.kind == kind) for kind in kinds}

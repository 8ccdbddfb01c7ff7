"""Limits: does each measure stay between what its [[limit]] tables allow?

In: a project and its scope. Out: problems that say the measure, the bound and the reason. A limit
that goes by a measure which is itself beyond a limit is passed over: one reason is enough.
"""

from __future__ import annotations

import math
from fractions import Fraction

from booklet.measure.bounds import FormulaError
from booklet.measure.form import as_asked
from booklet.measure.formula import names, parse
from booklet.measure.resolve import Scope
from booklet.measure.rounding import Printer
from booklet.measure.ruler import on_ruler
from booklet.measure.tolerance import SAME_MM
from booklet.problem import Problem, Written
from booklet.read.limit import Limit
from booklet.read.project import Project
from booklet.read.raw import Length


def check_limits(project: Project, scope: Scope, found: list[Problem]) -> bool:
    """Whether every measure keeps its limits; each that does not is reported."""
    beyond: set[str] = set()
    before = len(found)
    for limit in project.limits:
        value = scope.length(Written(limit.of.value, limit.of.place), found)
        least = None if limit.least is None else scope.length(limit.least, found)
        most = None if limit.most is None else scope.length(limit.most, found)
        if value is None or beyond & _roots(limit, project):
            continue
        if least is not None and value < least - SAME_MM:
            found.append(_problem(limit, value, least, True, project, scope))
        elif most is not None and value > most + SAME_MM:
            found.append(_problem(limit, value, most, False, project, scope))
        else:
            continue
        beyond.add(limit.of.value)
    return len(found) == before


def _roots(limit: Limit, project: Project) -> set[str]:
    """All measures that a limit goes by, those behind other measures too."""
    todo = [written for written in (limit.of, limit.least, limit.most) if written is not None]
    reached: set[str] = set()
    while todo:
        new = names_in(todo.pop()) - reached
        reached |= new
        todo += [project.measures[name] for name in new if name in project.measures]
    return reached


def names_in(written: Length) -> set[str]:
    """The measures that a formula names; none where it cannot be read."""
    if not isinstance(written.value, str):
        return set()
    try:
        return {node.name for node in names(parse(written.value))}
    except FormulaError:
        return set()  # reported where the measure stands


def _problem(
    limit: Limit,
    value: Fraction,
    bound: Fraction,
    is_least: bool,
    project: Project,
    scope: Scope,
) -> Problem:
    printer = Printer(scope.units, scope.ruler)
    name = as_asked(limit.of.value, project.pieces)
    exact = on_ruler(bound, scope.ruler) or scope.units == "mm"
    shown = printer.first(bound).removeprefix("about ")
    shown += "" if exact else f" ({float(bound):.1f} mm)"
    word = "at least" if is_least else "at most"
    steps = bound / scope.ruler
    mark = scope.ruler * (math.ceil(steps) if is_least else math.floor(steps))
    way_out = f"make {name} {word} {printer.first(mark)}"
    if mark <= 0 and not is_least:
        way_out = f"change the measures that bound {name}"
    return Problem(
        "limit-passed",
        f"{name} is {printer.first(value)}, but must be {word} {shown}: {limit.reason}",
        limit.of.place,
        f"{way_out}, or change what it depends on",
    )

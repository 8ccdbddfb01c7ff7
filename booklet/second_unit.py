"""A project in another unit: the rounding with which its proofs still hold.

In: a project, the unit and ruler that are asked for, and a way to build it with a rounding. Out:
what was built with the best rounding found, or a problem that says why there is none.

Every measure, column and row that the file gives as a number goes to the nearest mark. Where a
proof then fails that holds as written, all of them are tried up (what holds something must not
shrink), then down (a blank must not outgrow its sheet), then one by one; of those that were moved
as many as may go back to the nearest mark. The same file gives the same rounding.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Generic, TypeVar

from booklet.measure.reround import Reround
from booklet.measure.resolve import Scope
from booklet.measure.rounding import Printer
from booklet.measure.ruler import DEFAULT_RULER
from booklet.measure.units import INCH
from booklet.problem import Place, Problem, Severity, Written
from booklet.read.project import Project

BUILDS = 24
"""How often a project is built at most to find its rounding: each build proves everything."""

SEVERITIES: tuple[Severity, ...] = ("error", "warning", "note")

T = TypeVar("T")
Build = Callable[[Reround | None], tuple[T, list[Problem]]]
Key = tuple[str, Place | None]


def asked_rounding(
    project: Project, units: str | None, ruler: str | None, found: list[Problem]
) -> Reround | None:
    """The rounding to nearest marks; None where the project stays as written.

    A ruler that cannot be used is a problem of the command line.
    """
    own = project.project.units
    if ruler is None:
        if units is None or units == own:
            return None
        return Reround(units, DEFAULT_RULER[units])
    unit = units or own
    complaints: list[Problem] = []
    written = Written(ruler, Place("--ruler", 1, 1))
    mark = Scope(unit, DEFAULT_RULER[unit]).length(written, complaints, positive=True)
    if mark is None or mark > INCH:
        why = complaints[0].message if complaints else f'"{ruler}" is coarser than an inch'
        way_out = 'Write the smallest mark that you cut and score to, such as "5 mm".'
        found.append(Problem("option-unusable", f"--ruler: {why}", None, way_out))
        return None
    return Reround(unit, mark)


@dataclass(frozen=True)
class Attempt(Generic[T]):
    """What one rounding makes, its problems, and how many errors, warnings and notes are new."""

    rounding: Reround
    made: T
    problems: list[Problem]
    new: tuple[int, ...]


def settled(build: Build[T], start: Reround, project: Project) -> tuple[T, list[Problem]]:
    """What `build` makes with the best rounding found from `start`, and its problems."""
    before = {_key(problem) for problem in build(None)[1]}
    best = _attempt(build, start, before)
    places = _literals(project)
    left = BUILDS - 1
    for rounding in (replace(start, up=frozenset(places)), replace(start, down=frozenset(places))):
        if any(best.new):
            best, left = _better(best, _attempt(build, rounding, before)), left - 1
    for place in places:
        for rounding in _moved(best.rounding, place):
            if any(best.new) and left:
                best, left = _better(best, _attempt(build, rounding, before)), left - 1
    for place in sorted(best.rounding.up | best.rounding.down):
        if left:
            back = _attempt(build, _moved(best.rounding, place)[-1], before)
            best, left = (back if back.new <= best.new else best), left - 1
    return best.made, [*best.problems, *_why(best, project)]


def _attempt(build: Build[T], rounding: Reround, before: set[Key]) -> Attempt[T]:
    made, problems = build(rounding)
    new = [problem.severity for problem in problems if _key(problem) not in before]
    return Attempt(rounding, made, problems, tuple(new.count(word) for word in SEVERITIES))


def _better(one: Attempt[T], other: Attempt[T]) -> Attempt[T]:
    return other if other.new < one.new else one


def _key(problem: Problem) -> Key:
    return problem.code, problem.place


def _moved(rounding: Reround, place: Place) -> list[Reround]:
    """The rounding with one value the other ways: up, down, last to the nearest mark."""
    up, down = rounding.up - {place}, rounding.down - {place}
    ways = [
        replace(rounding, up=up | {place}, down=down),
        replace(rounding, up=up, down=down | {place}),
        replace(rounding, up=up, down=down),
    ]
    return [way for way in ways if way != rounding]


def _literals(project: Project) -> list[Place]:
    """The places of measures, columns and rows that are written with a number in them."""
    values = list(project.measures.values())
    for size in project.sizes:
        values += size.measures.values()
    for piece in project.pieces:
        values += [*piece.columns, *piece.rows]
    return [
        written.place
        for written in values
        if not isinstance(written.value, str) or any(c.isnumeric() for c in written.value)
    ]


def _why(best: Attempt[T], project: Project) -> list[Problem]:
    """What to say where no rounding was found with which all proofs hold."""
    if not best.new[0]:
        return []
    printer = Printer(best.rounding.unit, best.rounding.ruler)
    marks = printer.first(best.rounding.ruler)
    count = f"{best.new[0]} error{'' if best.new[0] == 1 else 's'}"
    return [
        Problem(
            "units-not-proved",
            f"rounded to marks of {marks} the project has {count} that it does not have as "
            "written, however its measures are rounded",
            project.project.place,
            "see the other problems; ask for a finer --ruler, or give the measures that they "
            "name more room",
        )
    ]

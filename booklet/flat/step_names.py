"""Do the steps of a project name things that exist?

In: the project's steps, patterns and mats. Out: problems for names that nothing answers to.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from booklet.flat.pattern import Pattern
from booklet.flat.reference import find_panel
from booklet.problem import Problem, Written
from booklet.read.closure import Closure
from booklet.read.nearest import did_you_mean
from booklet.read.project import Project


def check_steps(project: Project, patterns: Sequence[Pattern], found: list[Problem]) -> None:
    """Folds, joins and closes name panels; scores, cuts and creases pieces or panels; attach mats.

    A `fill` names contents, or a piece for all that it holds.
    """
    if len(patterns) < len(project.pieces):
        return  # names may belong to a piece that could not be built
    pieces = [pattern.id for pattern in patterns]
    mats = [mat.id.value for mat in project.mats]
    inside = [*(one.id.value for one in project.contents), *pieces]
    for step in project.steps:
        for name in (*step.fold, *step.join, *step.glue, *step.close):
            find_panel(name, patterns, found)
        for name in (*step.score, *step.cut, *step.crease):
            if name.value not in pieces:
                find_panel(name, patterns, found)
        for name in step.attach:
            _known("mat", name, mats, found)
        for name in step.fill:
            _known("contents", name, inside, found)
    _check_repeats(project, patterns, found)
    shut = [find_panel(name, patterns, []) for step in project.steps for name in step.close]
    for closure in project.closures:
        on = find_panel(closure.on, patterns, found)
        if closure.meets is not None:
            find_panel(closure.meets, patterns, found)
        if project.steps and not project.steps_of_forms and on is not None and on not in shut:
            found.append(_left_open(closure))


def _check_repeats(project: Project, patterns: Sequence[Pattern], found: list[Problem]) -> None:
    """What is stuck once stays stuck: a step that does it again would puzzle its reader."""
    stuck: dict[tuple[str, str], int] = {}
    for number, step in enumerate(project.steps, 1):
        done = [("attaches", name.value, name) for name in step.attach]
        for name in step.join:
            panel = find_panel(name, patterns, [])
            if panel is not None:
                done.append(("joins", ".".join(panel), name))
        for verb, key, name in done:
            if (verb, key) in stuck:
                found.append(_done_twice(verb, name, stuck[verb, key], number))
            else:
                stuck[verb, key] = number


def _done_twice(verb: str, name: Written[str], before: int, now: int) -> Problem:
    done = {"attaches": "glued on", "joins": "joined"}[verb]
    when = "in the same step" if before == now else f"in step {before}"
    return Problem(
        "stuck-twice",
        f'step {now} {verb} "{name.value}", which is already {done} {when}',
        name.place,
        "take it out of one of the two",
    )


def _left_open(closure: Closure) -> Problem:
    """The maker's steps go on without a closure: nobody would learn how it is shut."""
    panel = closure.on.value
    way_out = f'add close = ["{panel}"] to the step that shuts it, or a [[step]] with that alone'
    if closure.kind == "button":
        way_out += "; a step before it, while the piece is flat, says how the buttons go on"
    return Problem(
        "closure-in-no-step",
        f'no step shuts the {closure.kind.replace("_", " ")} on "{panel}"',
        closure.on.place,
        way_out,
    )


def _known(
    table: Literal["mat", "contents"], name: Written[str], known: list[str], found: list[Problem]
) -> None:
    if name.value not in known:
        found.append(
            Problem(
                f"unknown-{table}",
                f'there is no {table} "{name.value}"',
                name.place,
                did_you_mean(name.value, known, f"describe it as a [[{table}]] first"),
            )
        )

"""Lengths that nothing is cut by: what goes inside, the room round it, how large closures are.

In: a project with its scope. Out: problems where such a length cannot be read or makes no sense.
Stages after this one take what is not reported here as it is.
"""

from __future__ import annotations

from booklet.measure.bounds import shown
from booklet.measure.resolve import Scope
from booklet.problem import Problem
from booklet.read.project import Project


def check_facts(project: Project, scope: Scope, found: list[Problem]) -> None:
    """Contents and closures are larger than nothing; room is not less than that."""
    facts = scope.facts
    for item in project.contents:
        for side in item.size or ():
            facts.length(side, found, positive=True)
    rooms = [*(item.ease for item in project.contents), *(nest.ease for nest in project.nests)]
    for ease in rooms:
        if ease is not None:
            facts.length(ease, found, positive=True, allow_zero=True)
    for closure in project.closures:
        if closure.size is not None:
            facts.length(closure.size, found, positive=True)
    for nest in project.nests:
        share = None if nest.pulled is None else scope.number(nest.pulled, found)
        if nest.pulled is not None and share is not None and not 0 <= share <= 1:
            message = f"pulled = {shown(nest.pulled.value)} is not from 0 to 1"
            way_out = "Write a share of its length, such as 1/2, or leave it out."
            found.append(Problem("number-out-of-range", message, nest.pulled.place, way_out))

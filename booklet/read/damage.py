"""Keeps one mistake from being reported twice.

In: a project with some tables dropped or mended because of problems, and where these are. Out:
the same project without what the later stages could only complain about again: a piece that lost
a column would be blamed for its map, and a dropped one for every panel that others name.
"""

from __future__ import annotations

from dataclasses import replace

from booklet.problem import Written
from booklet.read.places import Path
from booklet.read.project import Project
from booklet.read.spot import Reading

# Keys of a piece or mat on whose value no geometry and no other table depends.
_HARMLESS = frozenset({"name", "count", "stock", "grain"})
_GEOMETRY = frozenset({"measures", "piece", "mat"})


def without_damage(project: Project, reading: Reading) -> Project:
    """The project, without its pieces and what names them if one of them is damaged."""
    lost = {
        path[1]: reading.places.value(path)
        for path in reading.damaged
        if path[0] == "measures" and len(path) > 1
    }
    # Any length will do: formulas with it then mean something, and nothing is printed from it.
    stand_in = {str(name): Written(1, place) for name, place in lost.items()}
    project = replace(project, measures={**project.measures, **stand_in})
    if not any(map(_is_damage, reading.damaged)):
        return project
    return replace(project, pieces=(), mats=(), closures=(), nests=(), steps=(), limits=())


def _is_damage(path: Path) -> bool:
    if path[0] not in _GEOMETRY:
        return False
    return path[0] == "measures" or len(path) < 3 or path[2] not in _HARMLESS

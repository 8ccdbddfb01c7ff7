"""Projects written as text become patterns, for tests of the fold stage."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from booklet.flat.build import build_pattern
from booklet.flat.free import build_free
from booklet.flat.pattern import Pattern
from booklet.flat.reference import with_joins
from booklet.measure.resolve import Scope, resolve
from booklet.problem import Problem
from booklet.read.project import Project
from booklet.read.toml_file import read_project

HEAD = """
[project]
title = "Test"
units = "mm"

[[stock]]
id = "card"
name = "Card"
sheet = "a4"
thickness = "0.3 mm"
"""


@dataclass(frozen=True)
class Flat:
    """A project that is read, measured and flat."""

    project: Project
    scope: Scope
    patterns: tuple[Pattern, ...]

    @property
    def pattern(self) -> Pattern:
        """The only piece."""
        return self.patterns[0]


def flat_project(text: str, folder: Path) -> Flat:
    """Make the patterns of a project from its tables (head in mm with 0.3 mm card if none)."""
    whole = text if "[project]" in text else HEAD + text
    path = folder / "test.toml"
    path.write_text(whole, "utf-8")
    found: list[Problem] = []
    project = read_project(path, found)
    assert project is not None, found
    scope = resolve(project, found)
    built = [
        (build_pattern if piece.map else build_free)(piece, scope, found)
        for piece in project.pieces
    ]
    patterns = with_joins([p for p in built if p is not None], project.pieces, found)
    assert not [p for p in found if p.severity == "error"], found
    return Flat(project, scope, patterns)

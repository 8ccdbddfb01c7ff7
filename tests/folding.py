"""Projects written as text: made flat, folded, checked, or pictured, for tests of those stages.

What a test changes of a project stands in the test; what all of them do with it stands here.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from booklet.command.line import main
from booklet.flat.build import build_pattern
from booklet.flat.free import build_free
from booklet.flat.pattern import Pattern
from booklet.flat.reference import with_joins
from booklet.fold.pose import Posed, pose_piece
from booklet.fold.prove import Folded, prove
from booklet.measure.resolve import Scope, resolve
from booklet.pages.shot import Stage
from booklet.pages.staging import set_stage
from booklet.pages.wording import planned_steps
from booklet.problem import Problem
from booklet.read.project import Project
from booklet.read.toml_file import read_project
from booklet.stages import Model, check_file

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
FOLDER = """
[[piece]]
id = "folder"
stock = "card"
columns = [40]
rows = [30, 60, 50]
map = ["flap", "back", "front"]
root = "back"
[piece.folds]
flap = 180
front = 180
"""
STRIP = """
[[piece]]
id = "strip"
stock = "card"
columns = ["30", "20", "4"]
rows = ["40"]
map = ["base wall tab"]
root = "base"
"""
SLEEVE = """
[[piece]]
id = "sleeve"
stock = "card"
columns = ["10", "30", "20", "30", "20"]
rows = ["40"]
map = ["tab base left top right"]
root = "base"
[[piece.join]]
tab = "tab"
to = "right"
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


def written(text: str, folder: Path) -> Path:
    """The file of a project with these tables, and the head above where they have none."""
    path = folder / "test.toml"
    path.write_text(text if "[project]" in text else HEAD + text, "utf-8")
    return path


def flat_project(text: str, folder: Path) -> Flat:
    """Make the patterns of a project from its tables (head in mm with 0.3 mm card if none)."""
    found: list[Problem] = []
    project = read_project(written(text, folder), found)
    assert project is not None, found
    scope = resolve(project, found)
    built = [
        (build_pattern if piece.map else build_free)(piece, scope, found)
        for piece in project.pieces
    ]
    patterns = with_joins([p for p in built if p is not None], project.pieces, found)
    assert not [p for p in found if p.severity == "error"], found
    return Flat(project, scope, patterns)


def at_rest(pattern: Pattern) -> Posed:
    """A piece of 0.3 mm card in its final pose."""
    return pose_piece(pattern, 0.3)


def proved(made: Flat) -> tuple[dict[str, Folded], list[Problem]]:
    """The folded pieces by name, and what the fold stage finds wrong."""
    found: list[Problem] = []
    folded = prove(made.patterns, made.project, made.scope, found)
    return {piece.piece: piece for piece in folded}, found


def told(problems: list[Problem]) -> list[Problem]:
    """Errors and warnings, without notes."""
    return [problem for problem in problems if problem.severity != "note"]


def model_in(path: Path, *, warnings: bool = True) -> Model:
    """The model of a file without errors, and without warnings where none may be."""
    model, problems = check_file(path)
    assert model is not None
    wrong = told(problems) if not warnings else [p for p in problems if p.severity == "error"]
    assert not wrong, problems
    return model


def model_of(text: str, folder: Path, *, warnings: bool = True) -> Model:
    """The same of a project from its tables."""
    return model_in(written(text, folder), warnings=warnings)


def started(folder: Path, *wish: str) -> Model:
    """The model of a new project from a form; `wish` are the options of `start`."""
    path = folder / "new.toml"
    assert main(["start", str(path), *wish]) == 0
    return model_in(path)


def stage_of(model: Model) -> Stage:
    """The pictures of its planned steps."""
    return set_stage(model, planned_steps(model))

"""Projects of one form each, and the laws that each of them keeps.

In: a form, its inside and inputs in millimetres. Out: the checked project; an AssertionError where
a law is broken. The laws look at the report of the folded model, not at the form.
"""

from __future__ import annotations

import tempfile
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from booklet.measure.bounded import check_limits
from booklet.measure.form import expand_forms
from booklet.measure.resolve import resolve
from booklet.problem import Problem
from booklet.read.form import INSIDE, form_names, read_fragment
from booklet.read.toml_file import read_project
from booklet.stages import Model, check_file

HEAD = """
[project]
title = "One form"
units = "{units}"
[[stock]]
id = "card"
sheet = ["4000 mm", "4000 mm"]
thickness = "{thickness} mm"
[[piece]]
id = "box"
form = "{form}"
inside = [{inside}]
stock = "card"
[piece.inputs]
"""

FLAT = {"envelope": 5, "card_folder": 3, "accordion_book": 2, "tag": 5, "pop_up_step_card": 30}
"""Millimetres that the contents of a flat form are deep at most, where they are drawn at random."""
_TRIED = {"pop_up_step_card": 12.0, "pillow_pouch": 12.0}
"""Millimetres deep that a form is tried with where 30 are beyond its limits or make it odd."""


def tried_deep(form: str) -> float:
    """How deep a form is tried, in mm."""
    return _TRIED.get(form, 0.5 if form in FLAT else 30.0)


@dataclass(frozen=True)
class Case:
    """A form with its inside (mm), numbers (mm) and words for its inputs, and its stock."""

    form: str
    inside: tuple[float, float, float]
    words: Mapping[str, str] = field(default_factory=dict)
    lengths: Mapping[str, float] = field(default_factory=dict)
    units: str = "mm"
    thickness: float = 0.3

    def text(self) -> str:
        """The project file."""
        inside = ", ".join(f'"{size:.1f} mm"' for size in self.inside)
        head = HEAD.format(
            units=self.units, thickness=self.thickness, form=self.form, inside=inside
        )
        lines = [f'{name} = "{word}"' for name, word in self.words.items()]
        lines += [f'{name} = "{size:.1f} mm"' for name, size in self.lengths.items()]
        return head + "\n".join(lines) + "\n"


def checked(case: Case) -> tuple[Model, list[Problem]]:
    """The model of the case and its problems."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "case.toml"
        path.write_text(case.text(), "utf-8")
        model, problems = check_file(path)
    assert model is not None
    return model, problems


def beyond(case: Case) -> list[Problem]:
    """What the limits of the form say of the case, without a look at its geometry."""
    found: list[Problem] = []
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "case.toml"
        path.write_text(case.text(), "utf-8")
        project = read_project(path, found)
        assert project is not None and found == []
        whole = expand_forms(project, found)
        check_limits(whole, resolve(whole, found), found)
    return found


def variants(form: str) -> list[dict[str, str]]:
    """Every choice of words that a form has."""
    found: list[dict[str, str]] = [{}]
    for name, one in read_fragment(form).choices.items():
        found = [{**words, name: word} for words in found for word in one.choices]
    return found


def lengths(form: str) -> list[str]:
    """The inputs of a form that are lengths, its inside left out."""
    inputs = read_fragment(form).inputs
    return [one.name for one in inputs if not one.choices and one.name not in INSIDE]


def all_variants() -> list[tuple[str, dict[str, str]]]:
    """Every form in every variant."""
    return [(form, words) for form in form_names() for words in variants(form)]


def refused(problems: list[Problem]) -> list[Problem]:
    """The limits that were passed."""
    return [problem for problem in problems if problem.code == "limit-passed"]


def holds(case: Case, model: Model, problems: list[Problem]) -> None:
    """The piece builds, closes, holds its inside, and folds without a collision."""
    told = {problem.code for problem in problems if problem.severity != "note"}
    # A maker's own inputs may lie off the ruler; that is told and no fault of the form.
    assert told <= ({"score-off-ruler", "blank-off-ruler"} if case.lengths else set())
    assert len(model.folded) == len(model.patterns) == len(read_fragment(case.form).pieces)
    for piece in model.folded:
        assert piece.order.proved and not piece.order.collisions
        for join in piece.joins:
            assert join.gap <= 0.01 and join.share >= 0.98 and join.sticks_out <= 0.01
        assert all(closure.fits for closure in piece.closures)
        assert all(ring.closes for ring in piece.rings)
    assert all(nest.fits for piece in model.folded for nest in piece.nests)
    if read_fragment(case.form).holds != "nothing":
        _holds_inside(case, model)


def _holds_inside(case: Case, model: Model) -> None:
    cavity = next(piece.cavity for piece in model.folded if piece.piece == "box")
    assert cavity is not None
    wide, tall, deep = case.inside
    # A pocket lies flat: what goes in takes its thickness out of both directions.
    flat = read_fragment(case.form).holds == "pocket"
    wanted = [wide + deep, tall + deep, 0.0] if flat else [wide, tall, deep]
    # Between slanted walls the report tells the room in the proportions asked for.
    for room, size in zip(cavity.inside, wanted, strict=True):
        assert room >= size - 0.001

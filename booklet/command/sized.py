"""Drafts with values: a form's inputs worked out, its limits asked, and the whole thing checked.

In: a draft and its inside. Out: the draft with the text of every measure, or `Refused` with the
reason and a way out.
"""

from __future__ import annotations

import math
import pathlib
import tempfile
from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from booklet.command.draft import RULERS, Draft, draft_text, length_text
from booklet.measure.bounded import check_limits
from booklet.measure.form import expand_forms
from booklet.measure.resolve import Scope, resolve
from booklet.measure.units import UNITS
from booklet.problem import Place, Problem, Written
from booklet.read.form import read_fragment
from booklet.read.piece import Piece
from booklet.read.project import Project, ProjectTable
from booklet.read.raw import Length
from booklet.read.stock import Stock
from booklet.stages import Model, check_file

HERE = Place("", 1, 1)


class Refused(Exception):
    """What was asked for cannot be made; the message and what to do instead."""

    def __init__(self, message: str, way_out: str) -> None:
        super().__init__(message)
        self.message = message
        self.way_out = way_out


def checked(draft: Draft) -> Model:
    """The model of a draft without errors; raises `Refused` with the first of them."""
    with tempfile.TemporaryDirectory() as folder:
        path = pathlib.Path(folder) / "draft.toml"
        path.write_text(draft_text(draft), "utf-8")
        model, problems = check_file(path)
    refuse(problems)
    assert model is not None
    return model


def refuse(problems: Sequence[Problem]) -> None:
    """Raise `Refused` with the first error among the problems."""
    for problem in problems:
        if problem.severity == "error":
            limit = problem.code == "limit-passed"
            how = " (inputs are set as in --set tab=1/2)" if limit else ""
            raise Refused(problem.message, f"{problem.help}{how}")


def with_values(draft: Draft, inside: Sequence[Length], given: Mapping[str, Length]) -> Draft:
    """The draft with a value for every input of its form, the maker's as written."""
    _, scope = _worked_out(draft, inside, given)
    inputs = read_fragment(draft.form, draft.words).inputs
    names = [one.name for one in inputs if not one.choices]
    values = {name: length_text(scope.measures[f"piece.{name}"], draft.units) for name in names}
    return replace(draft, values=values)


def keeps_limits(draft: Draft, inside: Sequence[Length], given: Mapping[str, Length]) -> bool:
    """Whether the values keep all limits of the form."""
    return check_limits(*_worked_out(draft, inside, given), [])


def _worked_out(
    draft: Draft, inside: Sequence[Length], given: Mapping[str, Length]
) -> tuple[Project, Scope]:
    """The form with these inputs as a project, and its measures."""
    found: list[Problem] = []
    piece = Piece(
        id=Written("piece", HERE),
        name="piece",
        stock=Written("card", HERE),
        form=Written(draft.form, HERE),
        inside=(inside[0], inside[1], inside[2]),
        inputs={**given, **{name: Written(word, HERE) for name, word in draft.words.items()}},
        place=HERE,
    )
    card = Stock(
        id=Written("card", HERE),
        name="card",
        sheet=Written("letter", HERE),
        thickness=Written(draft.thickness, HERE),
        place=HERE,
    )
    head = ProjectTable(
        title="",
        units=draft.units,
        ruler=Written(RULERS[draft.units], HERE),
        place=HERE,
    )
    project = Project(file="", folder=pathlib.Path(), project=head, stocks=(card,), pieces=(piece,))
    whole = expand_forms(project, found)
    scope = resolve(whole, found)
    refuse(found)
    return whole, scope


def ruler_of(units: str) -> Fraction:
    """A mark of the usual ruler, in mm."""
    return Fraction(RULERS[units]) * UNITS[units]


def up(mm: Fraction, ruler: Fraction) -> Fraction:
    """The next mark."""
    return math.ceil(mm / ruler) * ruler

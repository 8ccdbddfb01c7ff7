"""A form in a project: its measures, ids, places and supplies."""

from __future__ import annotations

import re
from pathlib import Path
from typing import get_type_hints

import pytest

from booklet.measure.form import FORMULAS
from booklet.problem import Problem, Written
from booklet.read.closure import Closure
from booklet.read.limit import Limit
from booklet.read.nest import Nest
from booklet.read.piece import Cutout, PanelTable, Piece
from booklet.read.raw import Length
from booklet.stages import Model, check_file
from tests.forms.builds import Case, all_variants, checked, refused, tried_deep

HEAD = """
[project]
title = "Box"
units = "{units}"
[measures]
wide = 4
base_w = 1
[[stock]]
id = "card"
sheet = ["900 mm", "900 mm"]
thickness = "0.3 mm"
"""


def check(folder: Path, body: str, units: str = "in") -> tuple[Model, list[Problem]]:
    """The model of a project with these tables."""
    path = folder / "box.toml"
    path.write_text(HEAD.format(units=units) + body, "utf-8")
    model, problems = check_file(path)
    assert model is not None
    return model, problems


def test_two_uses_of_one_form_share_no_names(tmp_path: Path) -> None:
    """Each has measures of its own, and none meets the project's measure of the same name."""
    model, problems = check(
        tmp_path,
        """
[[piece]]
id = "one"
form = "tray"
inside = ["wide", 3, 1]
stock = "card"
[[piece]]
id = "two"
form = "Tray"
inside = ["one.base_w", 3, 1]
stock = "card"
""",
    )
    assert problems == []
    measures = model.scope.measures
    assert float(measures["base_w"]) == 25.4
    assert measures["two.wide"] == measures["one.base_w"] > measures["one.wide"]
    assert [pattern.id for pattern in model.patterns] == ["one", "two"]
    assert [line.id for line in model.supplies] == ["tape"]


def test_walls_are_rounded_up_to_the_ruler(tmp_path: Path) -> None:
    """A base of 4 in for card of 0.3 mm is scored at 4 1/16 in; with a ruler of 1 mm at 103 mm."""
    body = """
[[piece]]
id = "one"
form = "tray"
inside = ["101.6 mm", "70 mm", "20 mm"]
stock = "card"
"""
    for units, width in (("in", 4.0625 * 25.4), ("mm", 102.0)):
        model, _ = check(tmp_path, body, units)
        assert float(model.scope.measures["one.base_w"]) == width


def test_tables_beside_the_form_add_to_its_piece(tmp_path: Path) -> None:
    """A label, a window and the project's own glue."""
    model, problems = check(
        tmp_path,
        """
[[piece]]
id = "one"
name = "Seed tray"
form = "tray"
inside = [4, 3, 1]
stock = "card"
with = "paste"
[piece.panel.left]
label = "west"
[[piece.cutout]]
panel = "right"
shape = "circle"
at = ["1/2", "1 1/2"]
size = ["1/4", "1/4"]
[[supply]]
id = "paste"
kind = "adhesive"
""",
    )
    assert problems == []
    pattern = model.patterns[0]
    assert pattern.name == "Seed tray"
    assert pattern.panel("left").label == "west"
    assert len(pattern.panel("right").holes) == 1
    assert {join.supply for join in pattern.joins} == {"paste"}
    assert [line.id for line in model.supplies] == ["paste"]


def test_advice_names_what_the_maker_wrote(tmp_path: Path) -> None:
    """Contents that are too large are told the measure in `inside`, or its place there."""
    body = """
[[piece]]
id = "one"
form = "tray"
inside = ["wide", 3, 1]
stock = "card"
[[contents]]
id = "thing"
size = [{wide}, 3, {deep}]
inside = "one"
"""
    _, problems = check(tmp_path, body.format(wide=5, deep=1))
    assert [problem.code for problem in problems] == ["contents-do-not-fit"]
    assert '"wide"' in problems[0].help
    _, problems = check(tmp_path, body.format(wide=4, deep=2))
    assert "third value of inside" in problems[0].help


def test_a_blank_too_large_is_blamed_on_the_piece(tmp_path: Path) -> None:
    """The maker's own [[piece]], in a file that has no map."""
    body = '[[piece]]\nid = "one"\nform = "tray"\ninside = [2000, 3, 1]\nstock = "card"\n'
    _, problems = check(tmp_path, body, "mm")
    line = (HEAD + body).split("\n").index("[[piece]]") + 1
    assert {problem.place.line for problem in problems if problem.place} <= {line, line + 3}
    assert problems


@pytest.mark.parametrize(("form", "words"), all_variants(), ids=str)
def test_the_steps_of_a_form_tell_the_blank_of_its_template(
    form: str, words: dict[str, str]
) -> None:
    """Where a form has steps, the first one says the size of the blank that is printed."""
    model, problems = checked(Case(form, (60, 70, tried_deep(form)), words))
    assert refused(problems) == []
    steps = model.project.steps
    if not steps:
        return
    say = steps[0].say
    assert say is not None and steps[0].title == "Cut the blank"
    formulas = re.findall(r"\{([^{}]*)\}", say.value)
    told = [model.scope.length(Written(text, say.place), []) for text in formulas]
    assert told == list(model.patterns[0].blank)


@pytest.mark.parametrize("table", [Closure, Cutout, Limit, Nest, PanelTable, Piece])
def test_every_length_of_a_fragment_is_known_as_a_formula(table: type) -> None:
    """One that is not keeps the names of the fragment, which no project knows.

    `inside` and `inputs` are the maker's, who asks for the form.
    """
    hints = get_type_hints(table).items()
    lengths = {name for name, hint in hints if str(Length) in str(hint)}
    assert lengths and lengths - {"inside", "inputs"} <= FORMULAS

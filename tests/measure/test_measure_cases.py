"""The wrong cases of the measure stage: each blames the line that carries its code."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from booklet.measure.resolve import resolve
from booklet.problem import Problem
from booklet.read.toml_file import read_project

_CASES = Path(__file__).parent.parent / "cases" / "wrong"
_IN_MEASURES = (
    "dimension_mismatch",
    "division_by_zero",
    "formula_ambiguous",
    "formula_not_read",
    "formula_too_large",
    "function_misused",
    "length_too_large",
    "measure_cycle",
    "measure_unknown",
    "number_out_of_range",
    "ruler_unusable",
    "size_measure_unknown",
)


@pytest.mark.parametrize("name", _IN_MEASURES)
def test_a_wrong_measure_is_blamed_on_its_line(name: str) -> None:
    """Reading and resolving the case gives one problem, at the expected line, with a way out."""
    path = _CASES / f"{name}.toml"
    lines = path.read_text("utf-8").splitlines()
    expected = [
        (line_number, code[1])
        for line_number, line in enumerate(lines, 1)
        if (code := re.search(r"# expect: ([a-z-]+)", line))
    ]
    found: list[Problem] = []
    project = read_project(path, found)
    assert project is not None
    resolve(project, found)
    assert [(p.place.line, p.code) for p in found if p.place] == expected
    assert all(problem.help and problem.message for problem in found)


def test_the_column_is_that_of_the_character() -> None:
    """The reader's place of a text and the offset in it meet at the offending word."""
    path = _CASES / "formula_ambiguous.toml"
    found: list[Problem] = []
    project = read_project(path, found)
    assert project is not None
    resolve(project, found)
    place = found[0].place
    assert place is not None
    line = path.read_text("utf-8").splitlines()[place.line - 1]
    assert line[place.column - 1 :].startswith("2-1/8")

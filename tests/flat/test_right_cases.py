"""Right cases: unusual projects that the program must take without a word."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from booklet.flat.build import build_pattern
from booklet.measure.resolve import Scope
from booklet.problem import Problem, Written
from booklet.stages import check_file
from tests import laws
from tests.strategies import HERE, SIXTEENTH, GridCase, piece

RIGHT = sorted((Path(__file__).resolve().parents[1] / "cases" / "right").glob("*.toml"))


@pytest.mark.parametrize("path", RIGHT, ids=lambda path: path.stem)
def test_a_right_case_has_no_problem(path: Path) -> None:
    """Neither error nor warning nor note, and every pattern hangs together."""
    model, problems = check_file(path)
    assert model is not None and problems == []
    assert len(model.patterns) == len(model.project.pieces)
    for pattern in model.patterns:
        laws.hinges_are_a_tree(pattern)
        for panel in pattern.panels:
            assert panel.shape.is_valid


def test_each_score_has_the_angle_that_is_named_for_it() -> None:
    """Named by panel, by pair, or the default of 90 degrees (a score that closes a ring too)."""
    case = replace(
        piece(GridCase((8, 8), (8, 8), (("a", "b"), ("c", "d")))),
        root=Written("a", HERE),
        folds={"b": Written(-45, HERE), "c|a": Written("180", HERE), "d": Written(30, HERE)},
    )
    found: list[Problem] = []
    made = build_pattern(case, Scope("in", SIXTEENTH), found)
    assert made is not None and not found
    angles = {"".join(sorted(score.between)): score.angle for score in made.scores}
    assert angles == {"ab": -45, "ac": 180, "bd": 30, "cd": 90}

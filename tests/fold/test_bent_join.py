"""What glue closes flat and bending pulls open, against the width of a bowed sheet."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest

from booklet.problem import Problem
from booklet.stages import check_file
from tests.folding import written

DEMO = Path(__file__).resolve().parents[2] / "projects" / "soap-pouch" / "soap-pouch.toml"
FOLDS = "[piece.folds]\nback = 180\ntab = 180\n"


def opened(folds: str, folder: Path) -> list[Problem]:
    """What is told of the join of the demo's pouch with these folds besides its own."""
    text = DEMO.read_text("utf-8").split("[[step]]")[0]
    text = re.sub(r"\[\[contents\]\].*?(?=\[\[stock\]\])", "", text, flags=re.DOTALL)
    assert FOLDS in text
    _, problems = check_file(written(text.replace(FOLDS, FOLDS + folds), folder))
    return [problem for problem in problems if problem.code == "bend-opens-join"]


def width(bow: float, share: float) -> float:
    """A sheet of 80 mm bowed as an arc over it times `share`: what is left of its width, mm."""
    radius = 80 * 80 / (8 * bow) + bow / 2
    us = np.linspace(-40, 40, 40001)
    slopes = share * us / np.sqrt(radius**2 - us**2)
    return float(np.trapezoid(np.sqrt(1 - slopes**2), us))


def test_a_pouch_whose_sides_bow_alike_stays_closed(tmp_path: Path) -> None:
    """As drawn, and where all four flaps are folded less."""
    assert not opened("", tmp_path)
    names = ("front_low", "back_low", "front_top", "back_top")
    assert not opened("".join(f"{name} = 60\n" for name in names), tmp_path)


@pytest.mark.parametrize(("angle", "share"), [(0, 0.0), (60, np.tan(np.radians(30)))])
def test_a_side_that_bows_less_is_too_wide_for_the_other(
    angle: float, share: float, tmp_path: Path
) -> None:
    """By the difference of what is left of 80 mm."""
    (problem,) = opened(f"back_low = {angle}\nback_top = {angle}\n", tmp_path)
    told = re.search(r"([0-9.]+) mm", problem.message)
    assert told is not None
    assert float(told.group(1)) == pytest.approx(width(14, share) - width(14, 1.0), abs=0.06)

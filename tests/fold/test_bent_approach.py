"""Pieces that bend come to others, and others to them, along ways that are free of bent paper."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from booklet.fold.approach import Solids, approach
from booklet.fold.prove import Folded
from booklet.problem import Problem
from booklet.stages import check_file
from tests.folding import written

POUCH = """
[measures]
wide = 80
tall = 110
bow = 14
radius = "wide * wide / (8 * bow) + bow / 2"
[[piece]]
id = "pouch"
stock = "card"
outline = \"\"\"
M 0 0 A {radius} {radius} 0 0 1 {wide} 0 A {radius} {radius} 0 0 1 {2*wide} 0
L {2*wide + 12} 20 V {tall - 20} L {2*wide} {tall}
A {radius} {radius} 0 0 1 {wide} {tall} A {radius} {radius} 0 0 1 0 {tall} Z\"\"\"
scores = [
  "M {wide} 0 V {tall} M {2*wide} 0 V {tall}",
  "M 0 0 A {radius} {radius} 0 0 0 {wide} 0 A {radius} {radius} 0 0 0 {2*wide} 0",
  "M 0 {tall} A {radius} {radius} 0 0 1 {wide} {tall} A {radius} {radius} 0 0 1 {2*wide} {tall}",
]
root = "front"
[piece.panels]
front = ["wide/2", "tall/2"]
back = ["wide*3/2", "tall/2"]
tab = ["2*wide + 5", "tall/2"]
front_low = ["wide/2", 0]
back_low = ["wide*3/2", 0]
front_top = ["wide/2", "tall"]
back_top = ["wide*3/2", "tall"]
[piece.folds]
back = 180
tab = 180
"""
LEAF = """
[[piece]]
id = "leaf"
stock = "card"
columns = [30]
rows = [30]
map = ["plate"]
"""
BOX = """
[[stock]]
id = "board"
sheet = "a3"
thickness = "0.3 mm"
[[piece]]
id = "box"
stock = "board"
columns = [40, 90, 40]
rows = [{lid}40, 120, 40]
map = [{names}". rear .", "left base right", ". fore ."]
root = "base"
[[nest]]
inner = "pouch"
outer = "box"
"""
STAND = """
[[piece]]
id = "stand"
stock = "card"
outline = "M 0 0 H 80 V 110 H 0 V 80 H -60 V 0 Z"
scores = ["M 0 0 V 80", "M 0 80 Q 40 74 80 80"]
root = "foot"
[piece.panels]
body = [40, 40]
foot = [-30, 40]
flap = [40, 95]
"""


def run(text: str, folder: Path) -> tuple[dict[str, Folded], list[Problem]]:
    """Prove a project; the folded pieces by name and what is told."""
    model, problems = check_file(written(text, folder))
    assert model is not None and not [p for p in problems if p.severity == "error"], problems
    return {piece.piece: piece for piece in model.folded}, problems


@pytest.mark.parametrize(
    ("folds", "way"), [("", None), ("front_top = 0\nback_top = 0\n", (0, 1, 0))]
)
def test_a_leaf_leaves_a_pouch_by_its_open_end_only(
    folds: str, way: tuple[int, int, int] | None, tmp_path: Path
) -> None:
    """It lies between the sides where they bow; with both ends shut it stays where it is."""
    folded, _ = run(POUCH + folds + LEAF, tmp_path)
    pouch, leaf = folded["pouch"], folded["leaf"]
    assert pouch.bent is not None
    inside = np.eye(4)
    inside[:3, 3] = 25.0, 40.0, 9.0  # below the seams, which are 14 mm up
    still = {"pouch": (pouch.posed, np.eye(4))}
    solids = Solids({"pouch": pouch.bent})
    assert approach((leaf.posed, inside), still, (), solids) == way
    assert approach((leaf.posed, inside), still, (), Solids({})) == (0, 0, 1), "were it flat"


def test_a_pouch_is_put_into_a_box_from_above(tmp_path: Path) -> None:
    """Under a lid that is shut there is no way, and a note says so."""
    folded, problems = run(POUCH + BOX.format(lid="", names=""), tmp_path)
    place = folded["pouch"].placement
    assert place is not None and place.off == (0, 0, 1)
    assert "way-together-not-proved" not in {problem.code for problem in problems}
    lid = BOX.format(lid="120, ", names='". lid .", ')
    folded, problems = run(POUCH + lid, tmp_path)
    place = folded["pouch"].placement
    assert place is not None and place.off is None
    assert "way-together-not-proved" in {problem.code for problem in problems}


def test_a_leaf_is_glued_to_the_flat_foot_of_a_bent_stand(tmp_path: Path) -> None:
    """Glued to the panel that bends it would bend too: that is not proved."""
    join = '[[piece.join]]\ntab = "plate"\nto = "stand.{to}"\n'
    folded, problems = run(STAND + LEAF + join.format(to="foot"), tmp_path)
    place = folded["leaf"].placement
    assert place is not None and place.off == (0, 0, 1)
    assert "way-together-not-proved" not in {problem.code for problem in problems}
    folded, problems = run(STAND + LEAF + join.format(to="body"), tmp_path)
    place = folded["leaf"].placement
    assert place is not None and place.off is None
    assert "way-together-not-proved" in {problem.code for problem in problems}

"""What a teacher is warned of: tabs on the wrong side, steps out of turn."""

from __future__ import annotations

from pathlib import Path

from booklet.fold.prove import Folded
from booklet.fold.trap import Swap, order_traps, tab_sides
from booklet.stages import check_file
from tests.folding import model_of

PROJECT = """
[project]
title = "Box"
units = "mm"
ruler = 1
[[piece]]
id = "box"
columns = [60, 40, 20]
rows = [30]
map = ["base wall rim"]
root = "base"
[piece.folds]
wall = 90
rim = 90
"""


def test_a_seed_box_has_its_wraps_inside_the_front() -> None:
    """The demo's wraps and tabs lie on the front side of what covers them: inside."""
    path = Path(__file__).parents[2] / "projects" / "seed-box" / "seed-box.toml"
    model, _ = check_file(path)
    assert model is not None
    sides = {(tab, to): side for tab, to, side in tab_sides(model.folded[0])}
    assert sides[("wrap_l", "front")] == sides[("wrap_r", "front")] == "front"


def folded(tmp_path: Path, steps: str) -> Folded:
    """The box with steps that fold so."""
    return model_of(PROJECT + steps, tmp_path).folded[0]


def test_steps_that_go_either_way_are_no_trap(tmp_path: Path) -> None:
    """A wall and the rim on it fold in any order."""
    steps = '[[step]]\nfold = ["rim"]\n[[step]]\nfold = ["wall"]\n'
    assert order_traps(folded(tmp_path, steps)) == ()


def test_a_flap_that_must_be_down_first_is_a_trap(tmp_path: Path) -> None:
    """Two flaps close over each other: the tight one goes first, as the sweep knows."""
    text = """
[[piece]]
id = "shut"
columns = [30, 40, 30]
rows = [40]
map = ["left floor right"]
root = "floor"
[piece.folds]
left = 180
right = 170
"""
    steps = '[[step]]\nfold = ["shut.left"]\n[[step]]\nfold = ["shut.right"]\n'
    head = PROJECT[: PROJECT.index("[[piece]]")]
    shut = model_of(head + text + steps, tmp_path).folded[0]
    assert shut.order.proved
    assert order_traps(shut) == (Swap(("left",), ("right",)),)

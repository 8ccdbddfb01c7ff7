"""What is glued to a tube, and what then hangs on its ends."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from booklet.fold.tube import at_ends
from tests.folding import proved

HOUSE = """
[[piece]]
id = "house"
stock = "card"
columns = [70, 60, 70, 60, 12]
rows = [50, 80, 60]
map = [
  "roof  ceil  slope .    .    ",
  "front right back  left seam ",
  "floor hem   .     .    .    ",
]
root = "{root}"
cuts = ["roof|ceil", "ceil|slope", "floor|hem"]
folds = {{ hem = 180, {folds} }}
[[piece.join]]
tab = "seam"
to = "front"
"""


@pytest.mark.parametrize("root", ["front", "right", "back", "seam"])
def test_the_ends_of_a_tube_wait_for_its_seam_whatever_the_root(
    root: str, flat: Callable[[str], Any]
) -> None:
    """A ceiling folded first would leave no hand inside; a hem is no end."""
    made = flat(HOUSE.format(root=root, folds="roof = 30, slope = 30"))
    [pattern] = made.patterns
    parents = {hinge.panel: hinge.parent for hinge in pattern.hinges}
    ends = at_ends(pattern, "seam", "front", parents)
    assert sorted(ends) == ["ceil", "floor", "roof", "slope"]
    folded, _ = proved(made)
    steps = [name for step in folded["house"].order.steps for name in step]
    last = max(steps.index(name) for name in ("seam", "front") if name in steps)
    assert all(steps.index(name) > last for name in ends)


def test_a_corner_glued_by_its_tab_is_no_tube(flat: Callable[[str], Any]) -> None:
    """The score of the tab runs across that of the wall that carries it."""
    made = flat(
        """
[[piece]]
id = "tray"
stock = "card"
columns = [20, 60, 20]
rows = [20, 50]
map = [". back tab", "left floor right"]
cuts = ["tab|right"]
[[piece.join]]
tab = "tab"
to = "right"
"""
    )
    [pattern] = made.patterns
    parents = {hinge.panel: hinge.parent for hinge in pattern.hinges}
    assert at_ends(pattern, "tab", "right", parents) == []


def test_walls_glued_to_both_their_neighbours_are_no_ends(flat: Callable[[str], Any]) -> None:
    """The ring over a base, two walls and a lid is a box: its lid is not glued before its walls."""
    text = """
[[piece]]
id = "box"
stock = "card"
columns = [22, 8, 30, 8, 22]
rows = [30, 30, 30, 30, 8]
map = [
  ".    a    back  b     .",
  "left left base  right right",
  ".    c    front d     .",
  ".    .    top   .     .",
  ".    .    lip   .     .",
]
cuts = ["a|left", "b|right", "c|left", "d|right"]
root = "base"
"""
    tabs = {"lip": "back", "a": "left", "b": "right", "c": "left", "d": "right"}
    joins = "".join(f'[[piece.join]]\ntab = "{tab}"\nto = "{to}"\n' for tab, to in tabs.items())
    lid_only = '[[piece.join]]\ntab = "lip"\nto = "back"\n'
    for glued, ends in ((joins, []), (lid_only, [*"abcd", "left", "right"])):
        [pattern] = flat(text + glued).patterns
        parents = {hinge.panel: hinge.parent for hinge in pattern.hinges}
        assert sorted(at_ends(pattern, "lip", "back", parents)) == ends

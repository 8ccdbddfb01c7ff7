"""Advice for contents that do not fit: what it says to change makes them fit."""

from __future__ import annotations

from pathlib import Path

from tests.folding import flat_project, proved

CARDS = """
[measures]
tall = 60
pocket = 40
[[contents]]
id = "card"
size = [60, 50, 1]
[[piece]]
id = "wallet"
stock = "card"
columns = [80, 15]
rows = ["tall", "pocket"]
map = ["back right", "front ."]
root = "back"
[piece.folds]
front = 180
right = 180
[[piece.join]]
tab = "right"
to = "front"
"""
DISCS = """
[[contents]]
id = "disc"
size = [20, 20, 5]
lies = ["deep", "wide", "tall"]
count = {count}
[[piece]]
id = "tray"
stock = "card"
columns = [22, 52, 22]
rows = [22, 22, 22]
map = [". back .", "left base right", ". front ."]
root = "base"
"""


def advice(text: str, folder: Path) -> str:
    """What is said to help for contents that are too large."""
    _, found = proved(flat_project(text, folder))
    (problem,) = [one for one in found if one.code == "contents-do-not-fit"]
    return problem.help


def test_a_pocket_that_is_too_short_is_told_by_its_own_measure(tmp_path: Path) -> None:
    """Not by that of the panel behind it, which may be long enough, though it is called "tall"."""
    assert advice(CARDS, tmp_path).startswith('make "pocket" at least 11 mm')
    _, found = proved(flat_project(CARDS.replace("pocket = 40", "pocket = 51"), tmp_path))
    assert "contents-do-not-fit" not in [one.code for one in found]


def test_what_would_fit_in_a_row_is_told_its_grid(tmp_path: Path) -> None:
    """Ten discs on edge are stacked along deep where nothing else is said."""
    assert advice(DISCS.format(count=10), tmp_path).startswith(
        "lay them side by side: grid = [10, 1]; or make row 1 at least"
    )
    text = DISCS.format(count="10\ngrid = [10, 1]")
    assert not [one for one in proved(flat_project(text, tmp_path))[1] if one.severity == "error"]


def test_a_row_that_would_not_fit_either_is_not_advised(tmp_path: Path) -> None:
    """Eleven are longer than the tray."""
    assert "grid" not in advice(DISCS.format(count=11), tmp_path)


def test_what_is_to_stand_out_of_a_pocket_is_left_out(tmp_path: Path) -> None:
    """Said only where the pocket is open that way: neither across its side tabs nor of a box."""
    out = "leave out of [[contents]] what is to stand out of the pocket"
    tabs = CARDS.replace("[80, 15]", "[15, 80, 15]").replace('"front ."', '". front ."')
    tabs = tabs.replace('"back right"', '"left back right"').replace(
        "right = 180", "right = 180\nleft = 180"
    )
    tabs += '[[piece.join]]\ntab = "left"\nto = "front"\n'
    assert out in advice(tabs, tmp_path)
    assert out not in advice(tabs.replace("[60, 50, 1]", "[90, 30, 1]"), tmp_path)
    assert out not in advice(DISCS.format(count=10), tmp_path)


SQUARE = """
[measures]
side = 50
[[contents]]
id = "tile"
size = [55, 60, 5]
[[piece]]
id = "tray"
stock = "card"
columns = [22, "side", 22]
rows = [22, "side", 22]
map = [". back .", "left base right", ". front ."]
root = "base"
"""


def test_a_measure_short_in_two_directions_is_told_once_by_the_larger_lack(tmp_path: Path) -> None:
    """A square tray is as wide as it is tall: one change mends both, so it has to be the larger."""
    words = advice(SQUARE, tmp_path)
    assert words.count('"side"') == 1
    assert words.startswith('make "side" at least 11 mm')
    _, found = proved(flat_project(SQUARE.replace("side = 50", "side = 61"), tmp_path))
    assert "contents-do-not-fit" not in [one.code for one in found]

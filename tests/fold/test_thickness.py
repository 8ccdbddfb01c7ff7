"""Paper has a thickness: returns and lids that leave no room for it are told, others are not."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from booklet.problem import Problem
from tests.folding import proved, told


def problems(flat: Callable[[str], Any], text: str) -> list[Problem]:
    """What is wrong with a project, without notes."""
    return told(proved(flat(text))[1])


HEAD = """
[project]
title = "Test"
units = "mm"
[[stock]]
id = "card"
name = "Card"
sheet = "a4"
thickness = {thick}
"""

DOUBLE_WALL = """
[[piece]]
id = "tray"
stock = "card"
columns = [{back}, 30, 80, 30, {back}]
rows = [60]
map = ["in_l left base right in_r"]
root = "base"
[piece.folds]
in_l = 180
in_r = 180
"""


@pytest.mark.parametrize(
    ("thick", "back", "told"),
    [
        (1.5, 30, True),  # half of 1.5 is missing
        (1.5, 29.25, False),  # just enough
        (1.5, 29.8, True),  # 0.55 missing
        (1.5, 15, False),  # ends halfway down
        (0.3, 30, False),  # 0.15 mm: no hand can tell
    ],
)
def test_a_return_ends_above_the_base(
    flat: Callable[[str], Any], thick: float, back: float, told: bool
) -> None:
    """A wall of 30 over a base of `thick`: the return ends half a thickness above its middle."""
    found = problems(flat, HEAD.format(thick=thick) + DOUBLE_WALL.format(back=back))
    assert [problem.code for problem in found] == (["return-too-long"] * 2 if told else [])
    if told:
        assert '"base"' in found[0].message
        assert f"{back - 30 + thick / 2:.1f} mm too long" in found[0].message


def test_a_return_ends_above_a_sheet_on_the_base(flat: Callable[[str], Any]) -> None:
    """A flap that lies on the base already counts whole: 0.4 / 2 + 0.4 is more than a hand's 0.5.

    The flap covers the base up to the left wall, so only the left return meets it.
    """
    text = """
[[piece]]
id = "tray"
stock = "card"
columns = [30, 30, 80]
rows = [60, 60]
map = ["in_l left base", ". . floor"]
root = "base"
[piece.folds]
in_l = 180
floor = 180
[[step]]
fold = ["floor"]
[[step]]
fold = ["left"]
[[step]]
fold = ["in_l"]
"""
    [problem] = problems(flat, HEAD.format(thick=0.4) + text)
    assert problem.code == "return-too-long"
    assert '"base" and 1 sheet(s) on it' in problem.message and "0.6 mm" in problem.message


LID = """
[[piece]]
id = "box"
stock = "card"
columns = [{low}, {more}, 60, {more}, {low}]
rows = [20, 50, 20, 50, 20]
map = [
  "tl  lfront lfront lfront tr",
  "lid_l lid lid lid lid_r",
  "bl bl back br br",
  "left left base right right",
  "fl fl front fr fr",
]
cuts = [
  "tl|lfront", "tr|lfront", "bl|back", "br|back", "fl|front", "fr|front",
  "bl|lid_l", "br|lid_r", "bl|lid", "br|lid",
]
root = "base"
[piece.folds]
lid = 90
"""
LID += "".join(
    f'[[piece.join]]\ntab = "{tab}"\nto = "{to}"\n'
    for tab, to in [
        ("tl", "lfront"),
        ("tr", "lfront"),
        ("bl", "back"),
        ("br", "back"),
        ("fl", "front"),
        ("fr", "front"),
    ]
)


@pytest.mark.parametrize(("more", "told"), [(0.02, True), (0.2, True), (0.3, False), (1.0, False)])
def test_a_lid_with_walls_goes_over_its_box(
    flat: Callable[[str], Any], more: float, told: bool
) -> None:
    """The lid's walls stand 60 + 2 more apart and go over walls 60 apart, of card of 0.3."""
    text = HEAD.format(thick=0.3) + LID.format(low=20 - more, more=more)
    found = [p for p in problems(flat, text) if p.code == "wall-no-room"]
    assert len(found) == told
    if told:
        assert '"lid_l" and "lid_r" go outside' in found[0].message
        assert "0.6 mm farther apart" in found[0].message
        assert f"{0.6 - 2 * more:.1f} mm too close" in found[0].message


def test_loose_flaps_under_a_lid_give_way(flat: Callable[[str], Any]) -> None:
    """Dust flaps at both ends of a carton lie under top and bottom without a warning."""
    carton = """
[[piece]]
id = "carton"
stock = "card"
columns = [10, 60, 40, 60, 40]
rows = [20, 40, 80, 40, 20]
map = [
  ".     lip_t   .       .      .      ",
  ".     top     dust_a  .      dust_b ",
  "tab   back    side_l  front  side_r ",
  ".     bottom  dust_c  .      dust_d ",
  ".     lip_b   .       .      .      ",
]
cuts = ["top|dust_a", "bottom|dust_c"]
root = "back"
[[piece.join]]
tab = "tab"
to = "side_r"
"""
    assert not problems(flat, HEAD.format(thick=0.5) + carton)

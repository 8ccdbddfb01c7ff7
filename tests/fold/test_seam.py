"""Edges that meet at the corners of folded pieces."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from tests.folding import proved

TRAY = """
[[piece]]
id = "tray"
stock = "card"
columns = [20, 60, 20]
rows = [20, 50, 20]
map = [". back .", "left floor right", ". front ."]
"""

ROUND = """
[[piece]]
id = "tray"
stock = "card"
outline = "M 0 0 H 160 V 50 H 60 A 100 100 0 0 1 60 150 H 0 Z"
scores = ["M 60 0 V 50", "M 0 50 H 60"]
root = "floor"

[piece.panels]
floor = [30, 25]
right = [70, 25]
front = [30, 60]
"""


def test_the_corners_of_a_tray_are_seams(flat: Callable[[str], Any]) -> None:
    """Four corners, as long as the walls are tall, without a gap."""
    folded, found = proved(flat(TRAY))
    [tray] = folded.values()
    pairs = {frozenset(seam.between) for seam in tray.seams}
    assert pairs == {
        frozenset(pair)
        for pair in (("left", "back"), ("right", "back"), ("left", "front"), ("right", "front"))
    }
    assert [seam.length for seam in tray.seams] == pytest.approx([20.0] * 4)
    assert max(seam.gap for seam in tray.seams) == pytest.approx(0.0, abs=1e-9)
    assert not found


def test_the_round_end_of_a_flap_makes_no_corner_with_the_wall_that_it_touches(
    flat: Callable[[str], Any],
) -> None:
    """Its first chord runs along the wall's edge for a moment: no corner that stays open."""
    _, found = proved(flat(ROUND))
    assert not [problem for problem in found if problem.code == "seam-open"]

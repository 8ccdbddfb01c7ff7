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

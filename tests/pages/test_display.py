"""Covers: finished work as large as the room allows, on one scale, with nothing in the way."""

from __future__ import annotations

from itertools import combinations
from pathlib import Path

import pytest

from booklet.draw.folded import extent
from booklet.draw.typeface import load_faces
from booklet.pages.display import displayed
from tests.pages.test_staging import BOX, staged

LIDDED = (
    BOX
    + """
[[piece]]
id = "lid"
stock = "card"
columns = ["15", "42", "15"]
rows = ["15", "32", "15"]
map = [". back .", "left roof right", ". front ."]
root = "roof"
[[piece]]
id = "case"
stock = "card"
columns = ["5", "60", "5"]
rows = ["60"]
map = ["left floor right"]
root = "floor"
"""
)


@pytest.mark.parametrize("room", [(160.0, 150.0), (90.0, 180.0), (170.0, 60.0)])
def test_pictures_share_one_scale_and_keep_apart(room: tuple[float, float], tmp_path: Path) -> None:
    """Every paper measure has the same length in print, inside the room, no two overlapping."""
    stage = staged(LIDDED, tmp_path)
    shown = displayed(stage.shown, room, load_faces())
    assert len(shown) == len(stage.shown) > 2
    bare = [i for i, one in enumerate(stage.shown) if not one.seen.scene.names]
    scales = [shown[i].drawing.size[0] / extent(stage.shown[i].seen)[0] for i in bare]
    assert scales == pytest.approx([scales[0]] * len(scales), rel=0.03)
    boxes = [(s.x, s.y, s.x + s.drawing.size[0], s.y + s.drawing.size[1]) for s in shown]
    for x0, y0, x1, y1 in boxes:
        assert x0 >= -1e-6 and y0 >= -1e-6
        assert x1 <= room[0] + 1e-6 and y1 <= room[1] + 1e-6
    for a, b in combinations(boxes, 2):
        assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]


def test_a_tall_room_stacks_and_a_wide_one_ranges(tmp_path: Path) -> None:
    """Two pictures of one width stand above each other only where that makes them larger."""
    stage = staged(LIDDED, tmp_path)
    two = stage.finished[:2]
    tall = displayed(two, (80.0, 200.0), load_faces())
    wide = displayed(two, (200.0, 60.0), load_faces())
    assert tall[0].y > tall[1].y + tall[1].drawing.size[1]
    assert wide[1].x > wide[0].x + wide[0].drawing.size[0]


def test_what_ends_open_is_shown_once(tmp_path: Path) -> None:
    """A tray without a lid is shown filled, not empty as well; it fills a small room."""
    stage = staged(BOX, tmp_path)
    assert stage.shown == [stage.opened]
    [only] = displayed(stage.shown, (40.0, 40.0), load_faces())
    assert max(only.drawing.size) > 38.0

"""Ribbons, ties and bands lie taut round the closed piece, across the hinge of their panel."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import numpy as np
import pytest
from shapely.geometry import Polygon

from booklet.fold.company import Placement
from booklet.fold.face import Face, Loop, turned_about
from booklet.fold.fastening import fastenings
from booklet.fold.pose import Floats, Posed, pose_piece
from booklet.fold.winding import crossed
from booklet.fold.wrapping import (
    OFF,
    company,
    corners,
    crossing,
    ring_round,
    taut,
    wrap_axis,
)
from tests.folding import flat_project

BOX = """
[[piece]]
id = "box"
stock = "card"
columns = [10, 40, 10]
rows = [10, 60, 10, 60]
map = [". end .", "left base right", ". top .", ". lid ."]
root = "base"
"""


@pytest.fixture
def box(tmp_path: Path) -> Posed:
    """A box of 40 x 60 x 10 mm that is shut by its lid."""
    return pose_piece(flat_project(BOX, tmp_path).pattern, 0.3)


def strips(
    posed: Posed, axis: Floats, on: str, width: float, others: Sequence[Floats] = ()
) -> tuple[Loop, ...]:
    """The parts of a taut wrap."""
    ring = ring_round(posed, axis, on, width, others)
    assert ring is not None
    return ring.loops


def test_a_wrap_is_as_long_as_the_way_round(box: Posed) -> None:
    """Twice 60 and twice 10 mm, and it stands off the paper all round."""
    axis = wrap_axis(box, ["lid"])
    found = strips(box, axis, "lid", 8.0)
    areas = [Face("strip", loop).area for loop in found]
    assert sum(areas) / 8.0 == pytest.approx(140.0) == pytest.approx(taut(corners(box), axis))
    low, high = corners(box).min(axis=0), corners(box).max(axis=0)
    middle = (low + high) / 2
    for loop in found:
        face = Face("strip", loop)
        out = np.array(face.normal)
        off = float((np.array(loop).mean(axis=0) - middle) @ out)
        assert off - float(((high - low) / 2) @ abs(out)) == pytest.approx(OFF)


def test_the_bow_is_tied_on_the_outside_of_the_panel(box: Posed) -> None:
    """Two tails, two loops and a knot lie over the lid, each above the one before."""
    axis = wrap_axis(box, ["lid"])
    ring = ring_round(box, axis, "lid", 4.0)
    assert ring is not None
    bow = ring.bow
    heights = [loop[0][2] for loop in bow]
    assert len(bow) == 5
    assert heights == sorted(heights)
    assert min(heights) > 10.0


def test_a_wrap_is_never_wider_than_what_it_goes_round(box: Posed) -> None:
    """A band of 300 mm does not hide the whole box."""
    found = strips(box, wrap_axis(box, ["lid"]), "lid", 300.0)
    xs = [x for loop in found for x, _, _ in loop]
    assert max(xs) - min(xs) < 40.0


def test_a_wrap_goes_round_what_has_no_thickness(tmp_path: Path) -> None:
    """There and back, on both sides of a flat wallet."""
    text = """
[[piece]]
id = "flat"
stock = "card"
columns = [40]
rows = [30, 60]
map = ["flap", "back"]
root = "back"
folds = { flap = 180 }
"""
    posed = pose_piece(flat_project(text, tmp_path).pattern, 0.3)
    found = strips(posed, wrap_axis(posed, ["flap"]), "flap", 8.0)
    assert sorted(round(loop[0][2], 3) for loop in found) == [-OFF, OFF]


def test_a_wrap_goes_round_what_the_piece_goes_together_with(box: Posed, tmp_path: Path) -> None:
    """A second box of the same size under the first: the way is 10 mm longer on each side."""
    below = np.eye(4)
    below[2, 3] = -10.0
    ways = {"under": Placement("under", "box", below)}
    others = company("box", {"box": box, "under": box}, ways)
    assert len(others) == len(box.panels)
    axis = wrap_axis(box, ["lid"])
    found = strips(box, axis, "lid", 8.0, others)
    assert sum(Face("strip", loop).area for loop in found) / 8.0 == pytest.approx(160.0)
    # Told in the frame of the lower one, the upper one lies above it.
    assert np.concatenate(company("under", {"box": box, "under": box}, ways))[:, 2].max() == (
        pytest.approx(20.0)
    )


def test_a_string_crosses_between_two_buttons_on_one_side(tmp_path: Path) -> None:
    """Two strands that cross half way; none round a corner."""
    text = """
[[piece]]
id = "folder"
stock = "card"
columns = [40]
rows = [30, 60, 50]
map = ["flap", "back", "front"]
root = "back"
folds = {{ flap = 180, front = {front} }}
"""
    flat = pose_piece(flat_project(text.format(front=180), tmp_path).pattern, 0.3)
    pair = fastenings(flat, "button", "flap", "front", 8.0, {})
    there = crossed(crossing(flat, pair[0], pair[1]), 1.0).there
    first, second = (np.array(loop)[:, :2] for loop in there)
    assert Polygon(first).intersection(Polygon(second)).area > 0.5
    # One strand lies; the other stands up at the second button and falls to where it lies then.
    wrap = crossed(crossing(flat, pair[0], pair[1]), 1.0)
    assert wrap.going[0] == wrap.there[0] and wrap.free == (1,)
    (swing,) = wrap.swings
    end = turned_about(swing.start, *swing.hinge, swing.angle)
    assert min(np.linalg.norm(np.array(wrap.there[1]) - end, axis=1)) == pytest.approx(0.5)
    heights = [abs(z) for _, _, z in wrap.going[1]]
    assert max(heights) > 0.9 * Polygon(second).area
    assert Polygon(first).area == pytest.approx(Polygon(second).area)
    bent = pose_piece(flat_project(text.format(front=90), tmp_path).pattern, 0.3)
    corner = fastenings(bent, "button", "flap", "front", 8.0, {})
    assert crossing(bent, corner[0], corner[1]) == ()
    assert crossed((), 1.0).there == ()

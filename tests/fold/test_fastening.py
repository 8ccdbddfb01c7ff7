"""Dots, magnets and buttons sit where the two panels of their closure meet, or beside that."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from booklet.fold.fastening import USUAL_MM, Fastening, fastenings
from booklet.fold.pose import Posed, in_space, pose_piece
from tests.folding import FOLDER, flat_project

TURNS = {"front": 0, "flap": 1}


@pytest.fixture
def folder(tmp_path: Path) -> Posed:
    """A folder that is shut: the flap lies 20 mm over the front."""
    return pose_piece(flat_project(FOLDER, tmp_path).pattern, 0.3)


def centre(posed: Posed, one: Fastening) -> list[float]:
    """The middle of a disc in space."""
    middle = one.shape.centroid
    at = in_space(posed.matrix(one.panel), np.array([[middle.x, middle.y]]))
    return [round(float(value), 3) + 0.0 for value in at[0]]


@pytest.mark.parametrize("kind", ["hook_and_loop", "magnet"])
def test_two_halves_lie_opposite_each_other(folder: Posed, kind: str) -> None:
    """Inside of the flap, outside of the front, in the middle of what the two share."""
    upper, lower = fastenings(folder, kind, "flap", "front", 8.0, TURNS)
    assert (upper.panel, upper.side) == ("flap", "front")
    assert (lower.panel, lower.side) == ("front", "back")
    # The fold of the front lies at y = 50, its free edge at 100, that of the flap at 80.
    assert centre(folder, upper) == centre(folder, lower) == [20.0, 90.0, 0.0]
    assert upper.shape.area == pytest.approx(16 * np.pi, rel=0.02)


def test_without_a_size_a_disc_takes_no_more_room_than_there_is(folder: Posed) -> None:
    """The overlap is 20 mm high: the usual dot fits, and a wider flap changes nothing."""
    (upper, _) = fastenings(folder, "hook_and_loop", "flap", "front", None, TURNS)
    wide = upper.shape.bounds[2] - upper.shape.bounds[0]
    assert wide == pytest.approx(USUAL_MM["hook_and_loop"], abs=0.1)


def test_buttons_sit_outside_and_the_lower_one_off_the_flap(folder: Posed) -> None:
    """The string goes from one to the other, so both are seen when it is shut."""
    upper, lower = fastenings(folder, "button", "flap", "front", 8.0, TURNS)
    assert upper.side == lower.side == "back"
    assert centre(folder, upper) == [20.0, 95.0, 0.0]
    assert centre(folder, lower) == [20.0, 65.0, 0.0]


def test_panels_that_do_not_meet_take_no_dot(folder: Posed) -> None:
    """As long as nothing lies on nothing, there is nothing to draw."""
    flat = pose_piece(folder.pattern, 0.3)
    assert fastenings(flat, "tuck", "flap", "front", None, TURNS) == ()
    assert fastenings(flat, "hook_and_loop", "flap", None, 8.0, TURNS) == ()


def test_a_dot_keeps_off_a_notch_and_stays_in_the_middle(tmp_path: Path) -> None:
    """A thumb notch in the middle of the front: the dot moves down, not to one side."""
    notched = FOLDER + '[piece.panel.front]\nnotch = "16"\n'
    posed = pose_piece(flat_project(notched, tmp_path).pattern, 0.3)
    _, lower = fastenings(posed, "hook_and_loop", "flap", "front", 6.0, TURNS)
    x, y, _ = centre(posed, lower)
    assert x == pytest.approx(20.0, abs=0.1)
    assert 80.0 + 3.0 <= y <= 100.0 - 8.0 - 3.0 + 0.1
    assert lower.shape.within(posed.panels["front"].shape)

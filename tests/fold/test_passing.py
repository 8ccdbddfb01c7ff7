"""What a moving plate meets face on, against points on the way looked at one by one."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as some
from numpy.typing import NDArray

from booklet.fold.passing import passes
from booklet.fold.plate import Shapes, hulls
from booklet.measure.tolerance import HAND_MM

Floats = NDArray[np.float64]
SQUARE = np.array([[-10.0, -10.0], [10.0, -10.0], [10.0, 10.0], [-10.0, 10.0]])
HOLE = SQUARE[::-1] * 0.8
UP = np.array([0.0, 0.0, 1.0])


def plates_of(*loops: tuple[Floats, ...]) -> Shapes:
    """These plates; none is exempt."""
    corners, solid = hulls(loops)
    return Shapes(loops, corners, solid, np.eye(len(loops), dtype=bool))


def at(x: float, y: float, z: float, tilt: float = 0.0, turn: float = 0.0) -> Floats:
    """A matrix that tilts a plate about x, turns it about z and moves it there (degrees, mm)."""
    a, b = np.radians([tilt, turn])
    about_x = np.array([[1, 0, 0], [0, np.cos(a), -np.sin(a)], [0, np.sin(a), np.cos(a)]])
    about_z = np.array([[np.cos(b), -np.sin(b), 0], [np.sin(b), np.cos(b), 0], [0, 0, 1]])
    result = np.eye(4)
    result[:3, :3] = about_z @ about_x
    result[:3, 3] = x, y, z
    return result


@pytest.mark.parametrize("tilt", [0.0, 0.02, 3.0, 60.0])
def test_a_plate_that_lies_ahead_is_met_however_it_leans(tilt: float) -> None:
    """A band of a tenth of a millimetre is not stepped over; what lies behind is left behind."""
    shapes = plates_of((SQUARE,), (SQUARE,))
    assert passes(shapes, np.array([at(0, 0, 0), at(0, 0, 20, tilt)]), 1, UP)
    assert not passes(shapes, np.array([at(0, 0, 0), at(0, 0, -20, tilt)]), 1, UP)
    assert not passes(shapes, np.array([at(0, 0, 0), at(25, 0, 20, tilt)]), 1, UP)


def test_through_a_window_and_off_the_table() -> None:
    """A hole lets pass what is smaller; plates that lie on each other may part."""
    window, small = (SQUARE, HOLE), (SQUARE * 0.5,)
    shapes = plates_of(small, window)
    assert not passes(shapes, np.array([at(0, 0, 0), at(0, 0, 20)]), 1, UP)
    assert passes(shapes, np.array([at(4, 0, 0), at(0, 0, 20)]), 1, UP)
    assert not passes(shapes, np.array([at(4, 0, 0), at(0, 0, 0.3)]), 1, UP)


places = some.tuples(*[some.floats(-12, 12)] * 3, some.floats(-80, 80), some.floats(-180, 180))


@settings(max_examples=80, deadline=None)
@given(first=places, second=places)
def test_agrees_with_points_of_the_plate_sent_on_their_way(
    first: tuple[float, ...], second: tuple[float, ...]
) -> None:
    """Rays from many points of one plate either hit the other ahead of them, or none does."""
    homes = np.array([at(*first), at(*second)])
    grid = np.stack(np.meshgrid(*[np.linspace(-10, 10, 41)] * 2), axis=-1).reshape(-1, 2)
    points = grid @ homes[0][:3, :2].T + homes[0][:3, 3]
    inward = np.linalg.inv(homes[1])[:3, :3]
    start, way = (points - homes[1][:3, 3]) @ inward.T, inward @ UP
    length = -start[:, 2] / way[2]
    landed = start[:, :2] + length[:, None] * way[:2]
    inside = (np.abs(landed) < 10).all(axis=1)
    ahead = inside & (length > 0.51)  # at half a millimetre floats decide
    found = passes(plates_of((SQUARE,), (SQUARE,)), homes, 1, UP)
    # Points well inside both, each for a quarter of a square millimetre: a row along a border may
    # stand for next to nothing.
    well = ahead & (np.abs(grid) < 9.6).all(axis=1) & (np.abs(landed) < 9.6).all(axis=1)
    if well.sum() * 0.25 * abs(homes[0][:3, 2] @ UP) > 2 * HAND_MM**2:
        assert found
    elif not (inside & (length > 0.0)).any():
        margin = (np.abs(landed) < 11).all(axis=1) & (length > 0)
        assert not found or margin.any()

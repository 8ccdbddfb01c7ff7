"""The room between walls that are not square to the axes."""

from __future__ import annotations

import math

import numpy as np
import pytest

from booklet.fold.slanted_room import room_like
from tests.forms.builds import Case, checked

PYRAMID = """
[[contents]]
id = "thing"
size = ["{wide:.3f} mm", "{wide:.3f} mm", "{deep:.3f} mm"]
inside = "box"
"""


def pyramid() -> tuple[float, float, np.ndarray[tuple[int, ...], np.dtype[np.float64]]]:
    """Side and height between the faces of the paper, and the planes of the room."""
    model, _ = checked(Case("pyramid", (40, 40, 20), thickness=0.0001))
    cavity = model.folded[0].cavity
    assert cavity is not None and cavity.planes is not None
    measures = model.scope.measures
    return float(measures["box.side"]), float(measures["box.rise"]), cavity.planes


@pytest.mark.parametrize("share", [0.1, 1 / 3, 0.5, 0.8])
def test_a_box_in_a_pyramid_is_as_wide_as_the_pyramid_at_its_top(share: float) -> None:
    """Closed formula: at the height z a pyramid of side a and height h is a (1 - z/h) wide."""
    side, rise, planes = pyramid()
    wide, deep = side * (1 - share), rise * share
    room = room_like(planes, (wide / 7, wide / 7, deep / 7))
    assert room == pytest.approx((wide, wide, deep), abs=0.01)


def test_the_largest_box_in_a_pyramid_is_a_third_as_high(tmp_path: object) -> None:
    """Closed formula: a² (1 - z/h)² z is largest at z = h/3, with sides of 2/3 a."""
    from booklet.fold.slanted_room import find_slanted_room

    model, _ = checked(Case("pyramid", (40, 40, 20), thickness=0.0001))
    room = find_slanted_room(model.folded[0].posed)
    side, rise, _ = pyramid()
    assert room is not None
    assert room.inside == pytest.approx((2 / 3 * side, 2 / 3 * side, rise / 3), rel=0.02)


def test_a_hexagon_holds_what_touches_its_slanted_walls() -> None:
    """A box of w by h in a hexagon of apothem p: w/2 cos 30° + h/2 sin 30° = p."""
    model, _ = checked(Case("hexagonal_tray_with_lid", (60, 50, 30), thickness=0.0001))
    cavity = model.folded[0].cavity
    assert cavity is not None and cavity.planes is not None
    apothem = float(model.scope.measures["box.flat"]) / 2
    room = room_like(cavity.planes, (60.0, 50.0, 1.0))
    reach = room[0] / 2 * math.cos(math.pi / 6) + room[1] / 2 * math.sin(math.pi / 6)
    assert reach == pytest.approx(apothem, abs=0.01)
    assert cavity.walls == (True, True, True, True, True, False)


def test_a_lid_of_the_tray_s_own_size_does_not_go_over_it() -> None:
    """Six walls with no room for the thickness between them: too tight in both directions."""
    model, problems = checked(Case("hexagonal_tray_with_lid", (60, 50, 30)))
    assert [problem.code for problem in problems if problem.severity == "error"] == []
    (nest,) = next(piece.nests for piece in model.folded if piece.nests)
    assert nest.fits and 0 <= min(nest.spare[:2]) < 1.5


def test_tabs_land_though_edges_all_but_coincide() -> None:
    """Four like tabs share the same area with their sides, whatever the noise of the transforms.

    In this very size the edges of one tab and its side differ by 6e-12 mm after folding.
    """
    case = Case("pyramid", (146.8, 105.5, 168.8), units="in", thickness=0.5)
    model, problems = checked(case)
    assert [problem.code for problem in problems if problem.severity != "note"] == []
    areas = [join.overlap for join in model.folded[0].joins]
    assert len(areas) == 4
    assert areas == pytest.approx([areas[0]] * 4, rel=1e-6)

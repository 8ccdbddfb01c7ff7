"""Views are orthonormal frames, and the best of them shows what a step changes."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation  # type: ignore[import-untyped,unused-ignore]

from booklet.fold.best_view import VIEWPOINTS, best_view
from booklet.fold.face import Face, cross, dot, turned_about, unit
from booklet.fold.view import FLAT, View, looking, placed

numbers = st.floats(-100, 100, allow_nan=False).map(lambda x: round(x, 3))
points = st.tuples(numbers, numbers, numbers)


def _is_orthonormal(view: View) -> bool:
    axes = (view.right, view.up, view.toward)
    lengths = all(dot(a, a) == pytest.approx(1) for a in axes)
    return lengths and cross(view.right, view.up) == pytest.approx(view.toward, abs=1e-9)


@given(points)
def test_a_view_is_a_right_handed_orthonormal_frame(toward: tuple[float, float, float]) -> None:
    """Any direction gives three unit axes at right angles."""
    assume(dot(toward, toward) > 0)
    assert _is_orthonormal(looking(toward))


@given(st.floats(-180, 180), st.floats(-90, 90))
def test_a_reader_at_the_table_has_an_orthonormal_view(azimuth: float, elevation: float) -> None:
    """So does any place at the table, straight above it included."""
    assert _is_orthonormal(placed(azimuth, elevation))


def test_from_above_a_piece_looks_like_its_map() -> None:
    """x runs right, y up, and z is the depth."""
    assert FLAT.project((3.0, 4.0, 5.0)) == pytest.approx((3, 4))
    assert FLAT.depth((3.0, 4.0, 5.0)) == pytest.approx(5)
    assert looking((0.0, 0.0, 1.0)).project((3.0, 4.0, 5.0)) == pytest.approx((3, 4))


@given(points, points, st.floats(-90, 90), st.floats(-180, 180))
def test_projecting_keeps_distances_in_space(
    a: tuple[float, float, float], b: tuple[float, float, float], elevation: float, azimuth: float
) -> None:
    """Picture distance and depth together give the true distance: the map is a rotation."""
    view = placed(azimuth, elevation)
    (u0, v0), (u1, v1) = view.project(a), view.project(b)
    seen = math.hypot(u1 - u0, v1 - v0, view.depth(b) - view.depth(a))
    assert seen == pytest.approx(math.dist(a, b), abs=1e-9)


def test_a_view_needs_a_direction() -> None:
    """A direction without length is refused."""
    with pytest.raises(ValueError, match="direction"):
        looking((0.0, 0.0, 0.0))


@given(points, points, points, st.floats(-360, 360))
def test_turning_about_a_line_agrees_with_scipy(
    point: tuple[float, float, float],
    start: tuple[float, float, float],
    along: tuple[float, float, float],
    angle: float,
) -> None:
    """The outside check is scipy's Rotation from a rotation vector."""
    assume(dot(along, along) > 1)
    end = (start[0] + along[0], start[1] + along[1], start[2] + along[2])
    turn = Rotation.from_rotvec([math.radians(angle) * x for x in unit(along)])
    arm = [p - s for p, s in zip(point, start, strict=True)]
    expected = [s + x for s, x in zip(start, turn.apply(arm), strict=True)]
    assert turned_about(point, start, end, angle) == pytest.approx(expected, abs=1e-8)


def test_the_best_view_sees_the_changed_face() -> None:
    """A panel behind a wall is looked at from the other side, or over the wall's top."""
    wall = Face("wall", ((0, 0, 0), (0, 0, 90), (80, 0, 90), (80, 0, 0)))
    target = Face("target", ((0, 5, 0), (80, 5, 0), (80, 5, 40), (0, 5, 40)))
    view = best_view((wall, target), ("target",))
    assert view.toward[1] > 0


def test_a_view_is_kept_while_it_is_nearly_as_good() -> None:
    """Small gains do not move the reader."""
    sheet = Face("sheet", ((0, 0, 0), (80, 0, 0), (80, 50, 0), (0, 50, 0)))
    assert best_view((sheet,), before=VIEWPOINTS[1]) == VIEWPOINTS[1]

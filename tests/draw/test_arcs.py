"""Arcs: how far they stray from the true circle, and where they begin and end."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from booklet.flat.arcs import arc, circle, curves, ellipse, endpoint_arc, stadium
from booklet.flat.path import CurveTo, Path, Point
from booklet.flat.path_bounds import path_bounds

SHARES = [step / 64 for step in range(65)]


def points_along(path: Path) -> list[Point]:
    """Points on every curve of the path, by the definition of a cubic Bezier curve."""
    found: list[Point] = []
    pen: Point = (0.0, 0.0)
    for command in path.commands:
        if command[0] == "C":
            found.extend(_on_curve(pen, command, share) for share in SHARES)
        if command[0] != "Z":
            pen = command[-1]
    return found


def _on_curve(start: Point, curve: CurveTo, t: float) -> Point:
    weights = ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3)
    knots = (start, *curve[1:])
    x, y = (sum(w * k[axis] for w, k in zip(weights, knots, strict=True)) for axis in (0, 1))
    return (x, y)


def test_a_quarter_circle_of_20_mm_keeps_its_radius_within_a_hundredth_of_a_mm() -> None:
    """The radius errs by less than 0.01 mm; 4/3 (sqrt 2 - 1) promises 0.027 %."""
    errors = [abs(math.hypot(*p) - 20) for p in points_along(arc((0, 0), 20, 0, 90))]
    assert max(errors) < 0.01


@given(
    st.floats(-720, 720), st.floats(-360, 360).filter(lambda a: abs(a) > 0.1), st.floats(0.1, 500)
)
def test_any_arc_keeps_its_radius_and_ends_where_asked(
    start: float, turn: float, radius: float
) -> None:
    """Every point lies within 0.03 % of the radius, and the last at the end angle."""
    path = arc((3, -4), radius, start, start + turn)
    for x, y in points_along(path):
        assert abs(math.hypot(x - 3, y + 4) - radius) < 0.0003 * radius
    end = math.radians(start + turn)
    last = path.commands[-1][-1]
    assert not isinstance(last, str)
    assert math.dist(last, (3 + radius * math.cos(end), -4 + radius * math.sin(end))) < 1e-6


@given(st.floats(1, 200), st.floats(1, 200))
def test_a_slot_keeps_its_size(width: float, height: float) -> None:
    """A slot's box is its width by its height round its centre."""
    box = path_bounds(stadium((10, 20), width, height))
    assert box == pytest.approx(
        (10 - width / 2, 20 - height / 2, 10 + width / 2, 20 + height / 2), abs=1e-6
    )


def test_an_ellipse_fills_its_box() -> None:
    """The turning points of an ellipse lie on its axes."""
    assert path_bounds(ellipse((1, 2), 5, 3)) == pytest.approx((-4, -1, 6, 5))
    assert path_bounds(circle((0, 0), 7)) == pytest.approx((-7, -7, 7, 7))


@pytest.mark.parametrize(
    ("large", "sweep", "middle"),
    [(False, True, (10, -10)), (True, False, (10, 10)), (False, False, (10, 10))],
)
def test_svg_arcs_go_the_way_that_their_flags_say(large: bool, sweep: bool, middle: Point) -> None:
    """A half circle from (0, 0) to (20, 0) turns by growing angle where sweep is set."""
    path = Path((("M", (0, 0)), *endpoint_arc((0, 0), (20, 0), (10, 10), 0, large, sweep)))
    assert min(math.dist(p, middle) for p in points_along(path)) < 0.01
    assert path.commands[-1][-1] == (20, 0)


def test_svg_arcs_grow_small_radii_and_straighten_zero_ones() -> None:
    """Radii that cannot reach are scaled up; a zero radius is a line; equal ends draw nothing."""
    grown = Path((("M", (0, 0)), *endpoint_arc((0, 0), (20, 0), (1, 1), 30, False, True)))
    assert all(math.hypot(x - 10, y) == pytest.approx(10, abs=0.01) for x, y in points_along(grown))
    assert endpoint_arc((0, 0), (20, 0), (0, 5), 0, False, True) == (("L", (20, 0)),)
    assert endpoint_arc((1, 1), (1, 1), (5, 5), 0, True, True) == ()


@given(
    st.floats(0, 180),
    st.floats(0.25, 4),
    st.booleans(),
    st.booleans(),
)
def test_svg_arcs_lie_on_one_ellipse_of_the_given_radii(
    rotation: float, ratio: float, large: bool, sweep: bool
) -> None:
    """Turned upright and squeezed to a circle, all points share one centre and radius."""
    rx, ry = 30.0, 30.0 * ratio
    commands = endpoint_arc((2, 3), (14, -4), (rx, ry), rotation, large, sweep)
    seen = points_along(Path((("M", (2, 3)), *commands)))
    cos, sin = math.cos(math.radians(rotation)), math.sin(math.radians(rotation))
    round_ = [((x * cos + y * sin), (y * cos - x * sin) / ratio) for x, y in seen]
    centre = _centre(round_[0], round_[len(round_) // 2], round_[-1])
    assert all(math.dist(centre, p) == pytest.approx(30, rel=0.01) for p in round_)


def _centre(a: Point, b: Point, c: Point) -> Point:
    """The centre of the circle through three points (perpendicular bisectors)."""
    d = 2 * (a[0] * (b[1] - c[1]) + b[0] * (c[1] - a[1]) + c[0] * (a[1] - b[1]))
    sa, sb, sc = (p[0] ** 2 + p[1] ** 2 for p in (a, b, c))
    return (
        (sa * (b[1] - c[1]) + sb * (c[1] - a[1]) + sc * (a[1] - b[1])) / d,
        (sa * (c[0] - b[0]) + sb * (a[0] - c[0]) + sc * (b[0] - a[0])) / d,
    )


def test_pieces_of_an_arc_join_smoothly() -> None:
    """Where two pieces meet, the control points before and after lie on one line."""
    made = curves((0, 0), (10, 10), 0, 360)
    assert len(made) == 4
    for first, second in itertools.pairwise(made):
        joint = first[3]
        before = (joint[0] - first[2][0], joint[1] - first[2][1])
        after = (second[1][0] - joint[0], second[1][1] - joint[1])
        assert before == pytest.approx(after, abs=1e-9)

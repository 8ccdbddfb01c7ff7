"""Folded solids against Descartes' theorem and closed formulas.

Descartes: the angle deficits of a sphere-like polyhedron add up to 720 degrees (MathWorld,
"Descartes Total Angular Defect"; deficits of each solid in "Angular defect", read and computed).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from fractions import Fraction
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from shapely.geometry import Polygon

from booklet.flat.path import Point, polyline
from booklet.flat.pattern import Edge, Hinge, Panel, Pattern, Score
from booklet.fold.pose import Posed, outline, pose_piece
from booklet.fold.prove import prove
from booklet.problem import Place

BOX = """
[[piece]]
id = "box"
stock = "card"
columns = [{deep}, {wide}, {deep}]
rows = [{tall}, {deep}, {tall}, {deep}]
map = [". lid .", ". top .", "left back right", ". base ."]
root = "back"
"""

PRISM = """
[[piece]]
id = "prism"
stock = "card"
columns = [30, 30, 30, 30, 30, 30]
rows = [50]
map = ["a b c d e f"]
root = "a"
[piece.folds]
b = 60
c = 60
d = 60
e = 60
f = 60
"""


def corners(posed: Posed) -> dict[tuple[int, ...], float]:
    """Sum of face angles at each point in space, degrees."""
    sums: dict[tuple[int, ...], float] = {}
    for name in posed.panels:
        flat = outline(posed.panels[name].shape)
        space = flat @ posed.matrix(name)[:3, :2].T + posed.matrix(name)[:3, 3]
        for i, point in enumerate(space):
            a, b = space[i - 1] - point, space[(i + 1) % len(space)] - point
            cosine = float(a @ b / np.linalg.norm(a) / np.linalg.norm(b))
            key = tuple(int(v) for v in np.round(point / 0.01))
            sums[key] = sums.get(key, 0.0) + math.degrees(math.acos(cosine))
    return sums


def volume(posed: Posed) -> float:
    """Volume in a closed surface: a sixth of the triple products of its triangles, mm3.

    The reader sees the inside of each panel, so the sign is turned.
    """
    total = 0.0
    for name in posed.panels:
        flat = outline(posed.panels[name].shape)
        space = flat @ posed.matrix(name)[:3, :2].T + posed.matrix(name)[:3, 3]
        for b, c in pairwise(space[1:]):
            total -= float(np.dot(space[0], np.cross(b, c))) / 6
    return total


@pytest.mark.parametrize(("wide", "tall", "deep"), [(40, 40, 40), (60, 80, 25), (100, 30, 70)])
def test_a_closed_box_has_720_degrees_and_its_volume(
    flat: Callable[[str], Any], wide: int, tall: int, deep: int
) -> None:
    """Eight corners of 90 degrees each; volume and surface of a block."""
    made = flat(BOX.format(wide=wide, tall=tall, deep=deep))
    posed = pose_piece(made.pattern, 0.0)
    deficits = [360 - total for total in corners(posed).values()]
    assert deficits == pytest.approx([90.0] * 8)
    assert sum(deficits) == pytest.approx(720.0)
    assert volume(posed) == pytest.approx(wide * tall * deep)
    surface = sum(panel.shape.area for panel in made.pattern.panels)
    assert surface == pytest.approx(2 * (wide * tall + tall * deep + deep * wide))
    [box] = prove(made.patterns, made.project, made.scope, [])
    assert box.cavity is not None
    assert box.cavity.inside == pytest.approx((wide - 0.3, tall - 0.3, deep - 0.3))


def test_a_hexagonal_tube_closes(flat: Callable[[str], Any]) -> None:
    """Six walls at 60 degrees meet again: the last edge falls on the first (12 x 60 = 720)."""
    made = flat(PRISM)
    posed = pose_piece(made.pattern, 0.0)
    first = posed.matrix("a") @ np.array([0.0, 0.0, 0.0, 1.0])
    last = posed.matrix("f") @ np.array([180.0, 0.0, 0.0, 1.0])
    assert first == pytest.approx(last, abs=1e-9)
    sums = corners(posed)
    hexagon = 120.0  # the angle of a regular hexagon, which closes the tube at both ends
    assert sum(360 - total - hexagon for total in sums.values()) == pytest.approx(720.0)


TRAY_WITH_LID = """
[[piece]]
id = "box"
stock = "card"
columns = [25, 60, 25]
rows = [25, 40, 25, 40]
map = [". front .", "left base right", ". back .", ". lid ."]
root = "base"
"""


def test_a_tray_with_its_lid_has_720_degrees_and_its_volume(flat: Callable[[str], Any]) -> None:
    """The lid hangs on the back wall and closes the tray: a block of 60 x 40 x 25."""
    made = flat(TRAY_WITH_LID)
    posed = pose_piece(made.pattern, 0.0)
    deficits = [360 - total for total in corners(posed).values()]
    assert deficits == pytest.approx([90.0] * 8)
    assert volume(posed) == pytest.approx(60 * 40 * 25)
    surface = sum(panel.shape.area for panel in made.pattern.panels)
    assert surface == pytest.approx(2 * (60 * 40 + 40 * 25 + 25 * 60))


def pyramid(side: float, height: float) -> Pattern:
    """A square base with four triangles, each folded up until its point lies over the middle.

    The fold is the supplement of the dihedral angle at the base, whose tangent is height over half
    of the side.
    """
    slant = math.hypot(height, side / 2)
    low, high = (slant, slant), (slant + side, slant + side)
    square: list[Point] = [low, (high[0], low[1]), high, (low[0], high[1])]
    middle = slant + side / 2
    tips: list[Point] = [
        (middle, 0.0),
        (2 * slant + side, middle),
        (middle, 2 * slant + side),
        (0.0, middle),
    ]
    names = ["south", "east", "north", "west"]
    angle = 180 - math.degrees(math.atan2(height, side / 2))
    whole = (Fraction(0), Fraction(0), Fraction(1), Fraction(1))
    place = Place("pyramid", 1, 1)

    def panel(name: str, points: list[Point], beside: list[str | None]) -> Panel:
        ends = pairwise([*points, points[0]])
        edges = tuple(
            Edge("outer" if other is None else "score", other, polyline(pair))
            for pair, other in zip(ends, beside, strict=True)
        )
        return Panel(name, name, whole, Polygon(points), edges, (), place)

    panels = [panel("base", square, list(names))]
    scores, hinges = [], []
    for i, name in enumerate(names):
        start, end = square[i], square[(i + 1) % 4]
        panels.append(panel(name, [end, start, tips[i]], ["base", None, None]))
        span = (Fraction(0), Fraction(1))
        scores.append(Score(("base", name), start, end, False, Fraction(0), span, angle))
        hinges.append(Hinge(name, "base", i, angle))
    size = (Fraction(200),)
    return Pattern(
        "pyramid", "pyramid", None, 1, size, size, tuple(panels), tuple(scores), (), (), "base",
        tuple(hinges), (), place,
    )  # fmt: skip


@pytest.mark.parametrize(("side", "height"), [(40, 30), (60, 60), (50, 12)])
def test_a_square_pyramid_has_720_degrees_and_its_volume(side: float, height: float) -> None:
    """Volume a third of base times height; surface a (a + sqrt(a a + 4 h h)) (MathWorld, "Square
    Pyramid", from memory); five corners whose deficits add up to 720 degrees."""
    pattern = pyramid(side, height)
    posed = pose_piece(pattern, 0.0)
    sums = corners(posed)
    assert len(sums) == 5
    assert sum(360 - total for total in sums.values()) == pytest.approx(720.0)
    assert volume(posed) == pytest.approx(side * side * height / 3)
    surface = sum(panel.shape.area for panel in pattern.panels)
    assert surface == pytest.approx(side * (side + math.sqrt(side**2 + 4 * height**2)))
    tip = max(sums, key=lambda key: key[2])
    assert tip[2] * 0.01 == pytest.approx(height, abs=0.01)

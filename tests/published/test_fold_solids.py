"""Folded solids against Descartes' theorem and closed formulas.

Descartes: the angle deficits of a sphere-like polyhedron add up to 720 degrees (MathWorld,
"Descartes Total Angular Defect"; deficits of each solid in "Angular defect", read and computed).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise
from typing import Any

import numpy as np
import pytest

from booklet.fold.pose import Posed, outline, pose_piece
from booklet.fold.prove import prove

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

"""Crossing plates against an independent judge, and how sweeps meet them."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from scipy.optimize import linprog  # type: ignore[import-untyped]

from booklet.fold.collide import crossings, stretches, sweep
from booklet.fold.plate import plates
from booklet.fold.pose import Floats, folded, pose_piece

ARMS = """
[[piece]]
id = "arms"
stock = "card"
columns = [20, 25, 30, 40, 30, 25, 20]
rows = [50]
map = ["a b c root d e f"]
root = "root"
[piece.folds]
a = {0}
b = {1}
c = {2}
d = {3}
e = {4}
f = {5}
"""


def meet(first: Floats, second: Floats) -> bool:
    """Whether two convex polygons share a point: a linear programme over both sets of weights."""
    n, m = len(first), len(second)
    sums = np.zeros((2, n + m))
    sums[0, :n], sums[1, n:] = 1, 1
    same = np.hstack([first.T, -second.T])
    result = linprog(
        np.zeros(n + m), A_eq=np.vstack([sums, same]), b_eq=[1, 1, 0, 0, 0], bounds=(0, 1)
    )
    return bool(result.status == 0)


@pytest.mark.parametrize("seed", range(15))
def test_crossings_agree_with_a_linear_programme(flat: Callable[[str], Any], seed: int) -> None:
    """Plates drawn in by the tolerance cross where scipy's linprog finds a common point."""
    rng = np.random.default_rng(seed)
    made = flat(ARMS.format(*rng.integers(20, 170, size=6)))
    posed = pose_piece(made.pattern, 0.3)
    solid = plates(posed)
    names = posed.bones.names
    found = {(hit.first, hit.second) for hit in crossings(solid, posed.bones.targets)}
    for i in range(len(names)):
        for j in range(i + 2, len(names)):
            shapes = [
                solid.loops[k][0] @ posed.matrices[k][:3, :2].T + posed.matrices[k][:3, 3]
                for k in (i, j)
            ]
            assert ((i, j) in found) == meet(shapes[0], shapes[1])


def test_a_sweep_tells_when_it_meets(flat: Callable[[str], Any]) -> None:
    """Arms of 75 each side of a root of 40, both lifted at once, cross early on the way."""
    made = flat(ARMS.format(0, 0, 170, 170, 0, 0))
    posed = pose_piece(made.pattern, 0.3)
    solid = plates(posed)
    start = np.zeros(7)
    hits = sweep(solid, start, folded(posed.bones, start, ["c", "d"]))
    assert hits
    # Mirror images meet in the middle: 20 mm from each hinge, tips 75 mm away, past acos(-20/75).
    earliest = min(hit.share for hit in hits) * 170
    assert earliest == pytest.approx(np.degrees(np.arccos(-20 / 75)), abs=6.0)


def test_one_after_the_other_does_not_meet(flat: Callable[[str], Any]) -> None:
    """The same arms laid flat in turn: the second comes to lie on the first."""
    made = flat(ARMS.format(0, 0, 180, 180, 0, 0))
    posed = pose_piece(made.pattern, 0.3)
    solid = plates(posed)
    start = np.zeros(7)
    middle = folded(posed.bones, start, ["c"])
    assert not sweep(solid, start, middle)
    assert not sweep(solid, middle, folded(posed.bones, middle, ["d"]))


def test_a_plane_cuts_a_holed_panel_in_two_stretches() -> None:
    """A 10 x 10 mm panel with a 4 x 4 mm cutout in its middle, cut along x = 5."""

    def square(low: float, high: float) -> Floats:
        ring = [(low, low, 0.0), (high, low, 0.0), (high, high, 0.0), (low, high, 0.0)]
        return np.array(ring)

    loops = [square(0, 10), square(3, 7)]
    cut = stretches(loops, np.array([5.0, 0, 0]), np.array([1.0, 0, 0]), np.array([0, 1.0, 0]))
    assert cut == [(0.0, 3.0), (7.0, 10.0)]

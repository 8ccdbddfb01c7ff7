"""Panels round a closed corner: the way that they fold together is found and swept.

The half-angle rule of a flat-foldable corner of four scores, tan(a/2) = p tan(b/2) with p constant
on the whole way and opposite folds alike in size: R. J. Lang, "Twists, Tilings, and Tessellations"
(2018), chapter on rigidly foldable degree-4 vertices (from memory).
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from booklet.flat.pattern import Pattern
from booklet.fold.collide import on_the_way, sweep
from booklet.fold.motion import Motion, ring_motion
from booklet.fold.plate import plates, ring_clusters
from booklet.fold.pose import Floats, in_space, pose, pose_piece, skeleton
from booklet.fold.prove import prove
from booklet.problem import Problem
from tests.published.test_fold_flat_vertices import vertex


def half_angles(first: float, second: float, lead: float) -> list[float]:
    """Folds of a flat-foldable corner (sectors a, b, 180 - a, 180 - b), score i before sector i.

    Scores 0 and 2 are alike, 1 and 3 are opposite in sign.
    """
    a, b = math.radians(first), math.radians(second)
    ratio = math.sin((a - b) / 2) / math.sin((a + b) / 2)
    minor = math.degrees(2 * math.atan(ratio * math.tan(math.radians(lead) / 2)))
    return [minor, lead, minor, -lead]


def closed(first: float, second: float, lead: float) -> Pattern:
    """A corner that is folded part of the way and closes; the signs are found by trying."""
    sectors = [first, second, 180 - first, 180 - second]
    minor = abs(half_angles(first, second, lead)[0])
    best, least = None, math.inf
    for big in ((0, 2), (1, 3)):
        for signs in np.ndindex(2, 2, 2, 2):
            angles = [(1 - 2 * s) * (lead if i in big else minor) for i, s in enumerate(signs)]
            pattern = vertex(sectors, angles)
            gap = _gap(pattern, skeleton(pattern).targets)
            if gap < least:
                best, least = pattern, gap
    assert best is not None and least < 1e-6, least
    return best


def _gap(pattern: Pattern, degrees: Floats) -> float:
    """How far the closing score's far end is from itself, mm."""
    bones = skeleton(pattern)
    matrices = pose(bones, degrees)
    end = [pattern.scores[0].end]
    first, last = (bones.index[name] for name in pattern.scores[0].between)
    return float(np.abs(in_space(matrices[first], end) - in_space(matrices[last], end)).max())


def motion_of(pattern: Pattern) -> Motion:
    """The motion of the only corner."""
    [cluster] = ring_clusters(pattern)
    motion = ring_motion(pattern, skeleton(pattern), cluster)
    assert motion is not None
    return motion


@pytest.mark.parametrize(("first", "second"), [(60, 100), (75, 120), (50, 70)])
@pytest.mark.parametrize("lead", [60, 120, 170])
def test_the_way_of_four_scores_keeps_the_half_angle_rule(
    first: float, second: float, lead: float
) -> None:
    """On every pose the ring closes, and the tangents of half angles keep their ratio."""
    pattern = closed(first, second, lead)
    motion = motion_of(pattern)
    assert motion.angles[0] == pytest.approx(0)
    assert motion.angles[-1] == pytest.approx(skeleton(pattern).targets[motion.members])
    halves = np.abs(np.tan(np.radians(motion.angles[1:]) / 2))
    ratios = halves.min(axis=1) / halves.max(axis=1)
    assert ratios == pytest.approx(
        np.full(len(ratios), ratios[-1]), rel=2e-3
    )  # the first pose is almost flat
    for angles in motion.angles:
        degrees = np.zeros(4)
        degrees[motion.members] = angles
        assert _gap(pattern, degrees) < 0.01


def test_folding_evenly_would_tear_the_corner() -> None:
    """Half of each angle leaves the ring open: the way is no straight line."""
    pattern = closed(60, 100, 120)
    motion = motion_of(pattern)
    assert _gap(pattern, skeleton(pattern).targets / 2) > 0.5
    solid = plates(pose_piece(pattern, 0.3), (), (), (motion,))
    flat, end = np.zeros(4), skeleton(pattern).targets
    for angles in on_the_way(solid, flat, end, np.linspace(0, 1, 9)):
        assert _gap(pattern, angles) < 0.05
    assert not sweep(solid, flat, end)
    assert not solid.exempt[0, 2] and not solid.exempt[1, 3]  # they may not pass each other


@pytest.mark.parametrize("signs", list(itertools.product((180.0, -180.0), repeat=3)))
def test_flat_folds_have_a_way_where_their_mountains_allow_it(signs: tuple[float, ...]) -> None:
    """Sectors 60, 100, 120, 80, all folded flat, three scores named.

    The fourth follows from Maekawa's theorem. The two scores beside the smallest sector (the
    fourth and the first named) must then be a mountain and a valley (T. Hull, "On the mathematics
    of flat origamis", Congressus Numerantium 100, 1994, on a sector smaller than its neighbours;
    from memory).
    """
    pattern = vertex([60.0, 100.0, 120.0, 80.0], [0.0, *signs])
    motion = ring_motion(pattern, skeleton(pattern), ring_clusters(pattern)[0])
    valleys = sum(sign > 0 for sign in signs)
    fourth = {0: 1, 1: -1, 2: 1, 3: -1}[valleys]  # valleys and mountains differ by two
    assert (motion is not None) == (fourth * signs[0] < 0)
    if motion is not None:
        assert motion.only
        assert motion.angles[-1] == pytest.approx(np.array(signs))


GUSSET = """
[[piece]]
id = "corner"
stock = "card"
unit = "mm"
outline = "M 0 0 H 100 V 80 H 0 Z"
scores = ["M 20 20 V 80", "M 20 20 H 100", "M 20 0 V 20", "M 0 20 H 20", "M 0 0 L 20 20"]
root = "base"
[piece.panels]
base = [60, 50]
left = [10, 50]
front = [60, 10]
web_l = [5, 15]
web_f = [15, 5]
[piece.folds]
web_l = 90
web_f = {angle}
"web_l|web_f" = 180
"""


@pytest.mark.parametrize(("angle", "codes"), [(180, []), (-180, ["ring-sweep-not-proved"])])
def test_a_gusset_corner_is_swept_where_a_way_is_found(
    flat: Callable[[str], Any], angle: int, codes: list[str]
) -> None:
    """A web of two triangles folds inside its corner; five scores leave a choice of ways.

    Outside the front the way that is tried runs into itself. That does not prove that there is
    none, so it stays a note.
    """
    made = flat(GUSSET.format(angle=angle))
    found: list[Problem] = []
    [corner] = prove(made.patterns, made.project, made.scope, found)
    assert [problem.code for problem in found] == codes
    assert corner.rings[0].closes and corner.order.proved
    assert set(corner.order.steps[0]) == {"left", "front", "web_l", "web_f"}
    if not codes:
        [cluster] = ring_clusters(made.pattern)
        motion = ring_motion(made.pattern, skeleton(made.pattern), cluster)
        assert motion is not None and not motion.only


def test_a_ring_that_does_not_close_has_no_way() -> None:
    """Angles that do not fit each other lead nowhere."""
    pattern = closed(60, 100, 120)
    wrong = tuple(replace(hinge, angle=-hinge.angle) for hinge in pattern.hinges[:1])
    broken = replace(pattern, hinges=(*wrong, *pattern.hinges[1:]))
    assert ring_motion(broken, skeleton(broken), ring_clusters(broken)[0]) is None

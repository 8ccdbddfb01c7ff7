"""Panels and angles become places in space."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest
from scipy.spatial.transform import Rotation  # type: ignore[import-untyped]

from booklet.fold.pose import in_space, pose, pose_piece, skeleton, turns

STRIP = """
[[piece]]
id = "strip"
stock = "card"
columns = [10, 20, 30]
rows = [40]
map = ["left middle right"]
root = "middle"
[piece.folds]
left = {left}
right = {right}
"""


def test_turns_agree_with_another_library() -> None:
    """Rotations about lines equal those of scipy's Rotation (scipy.spatial.transform)."""
    rng = np.random.default_rng(5)
    for _ in range(50):
        axis = rng.normal(size=3)
        axis /= np.linalg.norm(axis)
        start, angle, point = rng.normal(size=3) * 90, rng.uniform(-180, 180), rng.normal(size=3)
        expected = Rotation.from_rotvec(np.radians(angle) * axis).apply(point - start) + start
        matrix = turns(start, axis, np.array(angle))
        assert matrix[:3, :3] @ point + matrix[:3, 3] == pytest.approx(expected, abs=1e-9)


def test_a_valley_lifts_and_a_mountain_lowers(flat: Callable[[str], Any]) -> None:
    """+90 stands a panel up toward the reader, -90 away; the root stays where it lies."""
    project = flat(STRIP.format(left=90, right=-90))
    posed = pose_piece(project.pattern, 0.3)
    assert in_space(posed.matrix("left"), [(0.0, 0.0)])[0] == pytest.approx([10, 0, 10])
    assert in_space(posed.matrix("right"), [(60.0, 40.0)])[0] == pytest.approx([30, 40, -30])
    assert in_space(posed.matrix("middle"), [(30.0, 40.0)])[0] == pytest.approx([30, 40, 0])


def test_many_poses_come_out_as_one_by_one(flat: Callable[[str], Any]) -> None:
    """A batch of angles gives the same matrices as each pose alone, and all are rigid."""
    bones = skeleton(flat(STRIP.format(left=120, right=45)).pattern)
    angles = np.linspace(0, 1, 7)[:, None] * bones.targets
    batch = pose(bones, angles)
    for row, matrices in zip(angles, batch, strict=True):
        assert matrices == pytest.approx(pose(bones, row))
        for matrix in matrices:
            assert matrix[:3, :3] @ matrix[:3, :3].T == pytest.approx(np.eye(3), abs=1e-12)
            assert np.linalg.det(matrix[:3, :3]) == pytest.approx(1.0)

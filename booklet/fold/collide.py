"""Sweeps: do panels pass through each other while some of them fold?

In: plates and the angles before and after a step. Out: the pairs that run into each other and how
far the step had come. All hinges of a step turn together, evenly; panels round a closed corner
turn as the corner makes them.

Two plates collide where the line in which their planes meet runs through both for a stretch. Poses
are taken every `STEP_DEG` degrees; boxes along the axes leave few pairs to look at closely, so the
cost grows with the number of panels and not with its square.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from booklet.fold.motion import Motion
from booklet.fold.plate import Plates, Shapes
from booklet.fold.pose import Floats, Ints, Skeleton, pose
from booklet.measure.tolerance import ANGLE_DEG, TOUCH_MM

Stretch = tuple[float, float]

STEP_DEG = 5.0
"""Degrees between two poses: a panel 100 mm long moves 9 mm, less than panels are wide."""


@dataclass(frozen=True)
class Hit:
    """Two panels (indexes) that meet when `share` (0 to 1) of the step is done."""

    first: int
    second: int
    share: float


def sweep(plates: Plates, before: Floats, after: Floats, first_only: bool = False) -> list[Hit]:
    """Every pair that runs into each other in one step, at its first meeting.

    `before` and `after` are degrees for each panel. With `first_only` the search ends at the
    first pose that shows a collision.
    """
    widest = float(np.abs(after - before).max(initial=0.0))
    if widest <= ANGLE_DEG:
        return []
    body = bodies(plates.bones, np.abs(after - before) > ANGLE_DEG)
    count = math.ceil(widest / STEP_DEG)
    shares = np.linspace(0.0, 1.0, count + 1)[1:]
    hits: dict[tuple[int, int], Hit] = {}
    poses = pose(plates.bones, on_the_way(plates, before, after, shares))
    for share, matrices in zip(shares, poses, strict=True):
        for i, j in meeting(plates, matrices, body, hits):
            hits[i, j] = Hit(i, j, float(share))
        if hits and first_only:
            break
    return list(hits.values())


def on_the_way(plates: Plates, before: Floats, after: Floats, shares: Floats) -> Floats:
    """Angles (shares, panels): evenly, but panels round a closed corner as they must."""
    angles: Floats = before + shares[:, None] * (after - before)
    for motion in plates.motions:
        if whole_motion(motion, before, after):
            angles[:, motion.members] = motion.at(shares)
    return angles


def whole_motion(motion: Motion, before: Floats, after: Floats) -> bool:
    """Whether a step folds all of a corner, from flat to the end."""
    members = motion.members
    start, end = motion.angles[0], motion.angles[-1]
    return bool(
        np.abs(before[members] - start).max() <= ANGLE_DEG
        and np.abs(after[members] - end).max() <= ANGLE_DEG
    )


def crossings(plates: Plates, degrees: Floats) -> list[Hit]:
    """Every pair that crosses in one pose, however it was reached."""
    matrices = pose(plates.bones, degrees)
    apart = np.arange(len(plates.bones.names), dtype=np.intp)
    return [Hit(i, j, 1.0) for i, j in meeting(plates, matrices, apart, {})]


def bodies(bones: Skeleton, moves: NDArray[np.bool_]) -> Ints:
    """A number for each panel, the same for panels that do not move against each other."""
    body = np.arange(len(bones.names))
    for level in bones.levels:
        still = level[~moves[level]]
        body[still] = body[bones.parents[still]]
    return body


def meeting(
    plates: Shapes,
    matrices: Floats,
    body: Ints,
    known: Mapping[tuple[int, int], Hit],
    depth: float = TOUCH_MM,
) -> Iterable[tuple[int, int]]:
    """Pairs of plates that cross in this pose; those of one `body` (a number each) are left out.

    Each must reach through the other's plane by more than `depth` mm.
    """
    # As products of matrices, which is up to ten times as quick as to name the sums.
    points = plates.corners @ matrices[:, :3, :2].transpose(0, 2, 1) + matrices[:, None, :3, 3]
    pairs = _near(plates, points, body)
    if not len(pairs):
        return
    normals, middles = matrices[:, :3, 2], matrices[:, :3, 3]
    first, second = pairs[:, 0], pairs[:, 1]
    both = _astride(points[first], normals[second], middles[second], depth)
    both &= _astride(points[second], normals[first], middles[first], depth)
    for i, j in pairs[both]:
        if (int(i), int(j)) not in known and _cross(plates, matrices, int(i), int(j)):
            yield int(i), int(j)


def _near(plates: Shapes, points: Floats, body: Ints) -> Ints:
    """Pairs (i < j) whose boxes meet, that move against each other and are not exempt."""
    low, high = points.min(axis=1), points.max(axis=1)
    boxes = shapely.box(low[:, 0], low[:, 1], high[:, 0], high[:, 1])
    boxes[~plates.solid] = None
    found = shapely.STRtree(boxes).query(boxes)
    i, j = found[0], found[1]
    keep = (i < j) & (body[i] != body[j])
    i, j = i[keep], j[keep]
    keep = ~plates.exempt[i, j] & (low[i, 2] <= high[j, 2]) & (low[j, 2] <= high[i, 2])
    return np.stack([i[keep], j[keep]], axis=1).astype(np.intp)


def _astride(points: Floats, normals: Floats, middles: Floats, depth: float) -> NDArray[np.bool_]:
    """Whether points (pairs, n, 3) lie on both sides of a plane, by more than `depth`."""
    heights = ((points - middles[:, None, :]) @ normals[:, :, None])[..., 0]
    result: NDArray[np.bool_] = (heights.min(axis=1) < -depth) & (heights.max(axis=1) > depth)
    return result


def _cross(plates: Shapes, matrices: Floats, i: int, j: int) -> bool:
    """Whether the line in which two planes meet runs through both plates for a stretch."""
    (x, y, z), (u, v, w) = matrices[i, :3, 2].tolist(), matrices[j, :3, 2].tolist()
    line = np.array(
        [y * w - z * v, z * u - x * w, x * v - y * u]
    )  # np.cross takes ten times as long
    length = math.sqrt(float(line @ line))
    if length <= math.sin(math.radians(ANGLE_DEG)):
        return False
    line = line / length
    first, second = (
        stretches(
            in_place(plates.loops[k], matrices[k]), matrices[n][:3, 3], matrices[n][:3, 2], line
        )
        for k, n in ((i, j), (j, i))
    )
    return share_stretch(first, second)


def in_place(loops: Sequence[Floats], matrix: Floats) -> list[Floats]:
    """Flat loops (n, 2) in space."""
    return [loop @ matrix[:3, :2].T + matrix[:3, 3] for loop in loops]


def share_stretch(first: Sequence[Stretch], second: Sequence[Stretch]) -> bool:
    """Whether intervals along one line have more than a touch in common."""
    return any(min(b, d) - max(a, c) > TOUCH_MM for a, b in first for c, d in second)


def stretches(loops: Sequence[Floats], at: Floats, normal: Floats, line: Floats) -> list[Stretch]:
    """Where the plane through `at` cuts a polygon in space, as intervals along the line.

    Crossings are counted even and odd, so holes and shapes that are not convex come out right.
    """
    places: list[float] = []
    for points in loops:
        heights = (points - at) @ normal
        after, heights_after = np.roll(points, -1, axis=0), np.roll(heights, -1)
        cut = (heights >= 0) != (heights_after >= 0)
        if cut.any():
            share = heights[cut] / (heights[cut] - heights_after[cut])
            crossings = points[cut] + share[:, None] * (after[cut] - points[cut])
            places.extend((crossings @ line).tolist())
    places.sort()
    return list(zip(places[::2], places[1::2], strict=False))

"""Which of two panels in one plane lies above the other?

In: a posed piece and the order of its folds. Out: a layer number for each panel.

Panels are middle surfaces, so layers that lie on each other share a plane; paper keeps them apart.
The side from which the later one came down decides: just before the end of the step that brings
two panels together, the one that is still above will lie above.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from booklet.fold.collide import bodies
from booklet.fold.join import landing, reach
from booklet.fold.order import folded
from booklet.fold.pose import Floats, Ints, Posed, in_space, outline, pose
from booklet.measure.tolerance import ANGLE_DEG, HAND_MM, SAME_MM

BEFORE_DEG = 2.0
"""Degrees before the end of a step at which two panels are compared."""

Pair = tuple[int, int]


def layers(posed: Posed, steps: Sequence[Sequence[str]]) -> dict[str, int]:
    """Layers from 0 within each plane; higher ones lie farther along the plane's normal.

    The normal is turned so that its z (where that is 0 its y, then its x) is positive.
    """
    names = posed.bones.names
    above: dict[int, set[int]] = {i: set() for i in range(len(names))}
    together = _together(posed)
    angles = np.zeros(len(names))
    told: dict[Pair, bool] = {}
    for step in steps:
        after = folded(posed.bones, angles, step)
        moved = np.abs(after - angles) > ANGLE_DEG
        if moved.any() and together:
            body = bodies(posed.bones, moved)
            widest = float(np.abs(after - angles).max())
            share = max(0.5, 1.0 - BEFORE_DEG / widest)
            matrices = pose(posed.bones, angles + share * (after - angles))
            told.update(_told(posed, together, body, matrices))
        angles = after
    for (i, j), i_above in told.items():
        upper, lower = (i, j) if i_above else (j, i)
        above[lower].add(upper)
    return dict(zip(names, _levels(above), strict=True))


def _together(posed: Posed) -> dict[Pair, Floats]:
    """Pairs that overlap in one plane when done, with a point (in the second's flat) of each."""
    names = posed.bones.names
    points = [in_space(posed.matrix(name), outline(posed.panels[name].shape)) for name in names]
    low = np.array([p.min(axis=0) for p in points])
    high = np.array([p.max(axis=0) for p in points])
    near = reach(posed)
    boxes = shapely.box(low[:, 0] - near, low[:, 1] - near, high[:, 0] + near, high[:, 1] + near)
    first, second = shapely.STRtree(boxes).query(boxes)
    normals = posed.matrices[:, :3, 2]
    keep = (first < second) & (low[first, 2] <= high[second, 2] + near)
    keep &= low[second, 2] <= high[first, 2] + near
    keep &= np.abs(np.einsum("ij,ij->i", normals[first], normals[second])) > 0.99
    found: dict[Pair, Floats] = {}
    for i, j in zip(first[keep].tolist(), second[keep].tolist(), strict=True):
        land = landing(posed, names[i], names[j])
        if not land.parallel or land.gap > near:
            continue
        shared = land.shape.intersection(posed.panels[names[j]].shape).buffer(-HAND_MM / 2)
        if shared.is_empty:
            continue
        middle = shared.representative_point()
        found[i, j] = np.array([middle.x, middle.y, 0.0, 1.0])
    return found


def _told(
    posed: Posed, together: dict[Pair, Floats], body: Ints, matrices: Floats
) -> dict[Pair, bool]:
    """For pairs that this step moves against each other: whether the first comes from above."""
    result: dict[Pair, bool] = {}
    for (i, j), point in together.items():
        if body[i] == body[j]:
            continue
        own = np.linalg.inv(posed.matrices[i]) @ posed.matrices[j] @ point
        now = matrices[i] @ own
        height = float((now[:3] - matrices[j][:3, 3]) @ matrices[j][:3, 2])
        if abs(height) > SAME_MM:
            result[i, j] = (height > 0) == _turned_up(posed.matrices[j][:3, 2])
    return result


def _turned_up(normal: Floats) -> bool:
    for value in normal[::-1]:
        if abs(value) > SAME_MM:
            return bool(value > 0)
    return True


def _levels(above: dict[int, set[int]]) -> list[int]:
    """The longest chain below each panel; a chain that bites its own tail is cut."""
    below: dict[int, set[int]] = {i: set() for i in above}
    for lower, uppers in above.items():
        for upper in uppers:
            below[upper].add(lower)
    waiting = {i: len(under) for i, under in below.items()}
    level = dict.fromkeys(above, 0)
    ready = [i for i, count in waiting.items() if count == 0]
    while ready:
        i = ready.pop()
        for upper in above[i]:
            level[upper] = max(level[upper], level[i] + 1)
            waiting[upper] -= 1
            if waiting[upper] == 0:
                ready.append(upper)
    return [level[i] for i in sorted(level)]

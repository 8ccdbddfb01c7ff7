"""Which of two panels in one plane lies above the other?

In: a posed piece and the order of its folds. Out: a layer number for each panel.

Panels are middle surfaces, so layers that lie on each other share a plane; paper keeps them apart.
The side from which the later one came down decides: just before the end of the step that brings
two panels together, the one that is still above will lie above.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
import shapely
from numpy.typing import NDArray

from booklet.fold.collide import bodies
from booklet.fold.join import reach
from booklet.fold.pose import Floats, Ints, Posed, folded, in_space, outline, pose
from booklet.measure.tolerance import ANGLE_DEG, HAND_MM, SAME_MM

BEFORE_DEG = 2.0
"""Degrees before the end of a step at which two panels are compared."""

MOST_PAIRS = 20_000
"""Pairs of panels in one plane that are compared, about a second; beyond, layers stay 0."""

Pair = tuple[int, int]
Shapes: TypeAlias = NDArray[np.object_]


@dataclass(frozen=True, eq=False)
class Touching:
    """Pairs of panels (indexes) that lie on each other when the piece is folded.

    `own` (n, 4) is a point that both share, in the first's flat.
    """

    first: Ints
    second: Ints
    own: Floats


def layers(
    posed: Posed, steps: Sequence[Sequence[str]], pairs: Touching | None = None
) -> dict[str, int]:
    """Layers from 0 within each plane; higher ones lie farther along the plane's normal.

    The normal is turned so that its z (where that is 0 its y, then its x) is positive. `pairs` are
    those of `touching`, where they are known.
    """
    names = posed.bones.names
    above: dict[int, set[int]] = {i: set() for i in range(len(names))}
    together = touching(posed) if pairs is None else pairs
    angles = np.zeros(len(names))
    told: dict[Pair, bool] = {}
    for step in steps:
        after = folded(posed.bones, angles, step)
        moved = np.abs(after - angles) > ANGLE_DEG
        if moved.any() and len(together.first):
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


def touching(posed: Posed) -> Touching:
    """Every pair that overlaps in one plane when done."""
    first, second, shapes = _in_one_plane(posed)
    flats = np.array([posed.panels[name].shape for name in posed.bones.names])
    # On one grid, as edges that all but coincide may lose their crossings: see `shared_area`.
    common = shapely.intersection(shapes, flats[second], grid_size=SAME_MM)
    shared = shapely.buffer(common, -HAND_MM / 2)
    lies = ~shapely.is_empty(shared)
    first, second = first[lies], second[lies]
    points = np.zeros((len(first), 4))
    points[:, :2] = shapely.get_coordinates(shapely.point_on_surface(shared[lies]))
    points[:, 3] = 1.0
    own = np.linalg.inv(posed.matrices)[first] @ posed.matrices[second] @ points[:, :, None]
    return Touching(first, second, own[:, :, 0])


def _in_one_plane(posed: Posed) -> tuple[Ints, Ints, Shapes]:
    """Pairs whose planes meet within reach, and the first's shape in the flat of the second."""
    near = reach(posed)
    first, second = _near_pairs(posed, near)
    if len(first) > MOST_PAIRS:
        first, second = first[:0], second[:0]
    flats = np.array([posed.panels[name].shape for name in posed.bones.names])
    relative = np.linalg.inv(posed.matrices)[second] @ posed.matrices[first]
    shapes = flats[first]
    flat, pair = shapely.get_coordinates(shapes, return_index=True)
    moved = np.einsum("nij,nj->ni", relative[pair, :3, :2], flat) + relative[pair, :3, 3]
    shapes = shapely.set_coordinates(shapes, moved[:, :2])
    low, high = np.full(len(first), np.inf), np.full(len(first), -np.inf)
    np.minimum.at(low, pair, moved[:, 2])
    np.maximum.at(high, pair, moved[:, 2])
    keep = (high - low <= HAND_MM) & (np.abs(high + low) / 2 <= near)
    return first[keep], second[keep], shapes[keep]


def _near_pairs(posed: Posed, near: float) -> tuple[Ints, Ints]:
    """Pairs (first < second) whose boxes meet within `near` mm and whose planes are parallel."""
    names = posed.bones.names
    points = [in_space(posed.matrix(name), outline(posed.panels[name].shape)) for name in names]
    low = np.array([p.min(axis=0) for p in points])
    high = np.array([p.max(axis=0) for p in points])
    boxes = shapely.box(low[:, 0] - near, low[:, 1] - near, high[:, 0] + near, high[:, 1] + near)
    first, second = shapely.STRtree(boxes).query(boxes)
    normals = posed.matrices[:, :3, 2]
    keep = (first < second) & (low[first, 2] <= high[second, 2] + near)
    keep &= low[second, 2] <= high[first, 2] + near
    keep &= np.abs(np.einsum("ij,ij->i", normals[first], normals[second])) > 0.99
    return first[keep], second[keep]


def _told(posed: Posed, together: Touching, body: Ints, matrices: Floats) -> dict[Pair, bool]:
    """For pairs that this step moves against each other: whether the first comes from above."""
    first, second = together.first, together.second
    now = np.einsum("nij,nj->ni", matrices[first], together.own)[:, :3]
    heights = np.einsum("ni,ni->n", now - matrices[second, :3, 3], matrices[second, :3, 2])
    told = (body[first] != body[second]) & (np.abs(heights) > SAME_MM)
    return {
        (i, j): (height > 0) == turned_up(posed.matrices[j, :3, 2])
        for i, j, height in zip(
            first[told].tolist(), second[told].tolist(), heights[told].tolist(), strict=True
        )
    }


def turned_up(normal: Floats) -> bool:
    """Whether a direction is the one in which layers are counted: z, else y, else x positive."""
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

"""Panels and angles become places in space.

In: a flat `Pattern` and an angle in degrees for each panel's hinge. Out: one 4x4 matrix per panel
that sends its flat coordinates (x, y, 0, 1) to the folded frame: root where it lies at z = 0, a
positive (valley) angle lifts a panel toward the reader. All lengths are mm.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol, TypeAlias

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import Polygon

from booklet.flat.flatten import points_of
from booklet.flat.path import Point
from booklet.flat.pattern import Panel, Pattern, Score
from booklet.fold.face import Point3
from booklet.measure.tolerance import TOUCH_MM

Floats: TypeAlias = NDArray[np.float64]
Ints: TypeAlias = NDArray[np.intp]


@dataclass(frozen=True, eq=False)
class Skeleton:
    """The tree of hinges of one piece, ready for many poses.

    Row i of each array belongs to panel `names[i]`. `parents` is -1 for the root; `starts` and
    `axes` are a point and the unit direction of each panel's hinge in the flat, turned so that a
    right-handed rotation by a positive angle lifts the panel; `targets` are degrees. `levels`
    holds the panels by their distance from the root, without the root.
    """

    names: tuple[str, ...]
    index: Mapping[str, int]
    parents: Ints
    levels: tuple[Ints, ...]
    starts: Floats
    axes: Floats
    targets: Floats

    def way_up(self, panel: int) -> list[int]:
        """The panel, the one that it hangs on, and so on up to the root."""
        way = [panel]
        while self.parents[way[-1]] >= 0:
            way.append(int(self.parents[way[-1]]))
        return way


class Placed(Protocol):
    """Panels in one frame, of one piece or of several; thickness in mm."""

    @property
    def panels(self) -> Mapping[str, Panel]:
        """The flat panels by name."""

    @property
    def thickness(self) -> float:
        """The thickness of the stock."""

    def matrix(self, name: str) -> Floats:
        """The 4x4 matrix from a panel's flat to the frame."""

    def seen_from(self, name: str, other: str) -> Floats:
        """The matrix from the flat of `other` to the flat frame of `name`."""


@dataclass(frozen=True, eq=False)
class Posed:
    """A piece in one pose: the matrix of each panel, and its stock's thickness in mm."""

    pattern: Pattern
    bones: Skeleton
    matrices: Floats
    panels: Mapping[str, Panel]
    thickness: float

    def matrix(self, name: str) -> Floats:
        """The 4x4 matrix of a panel."""
        found: Floats = self.matrices[self.bones.index[name]]
        return found

    def seen_from(self, name: str, other: str) -> Floats:
        """The matrix from the flat of `other` to the flat frame of `name`."""
        found: Floats = np.linalg.inv(self.matrix(name)) @ self.matrix(other)
        return found


def pose_piece(pattern: Pattern, thickness: float, degrees: Floats | None = None) -> Posed:
    """A piece with every panel at its target angle, or at `degrees` (one for each panel)."""
    bones = skeleton(pattern)
    matrices = pose(bones, bones.targets if degrees is None else degrees)
    panels = {panel.name: panel for panel in pattern.panels}
    return Posed(pattern, bones, matrices, panels, thickness)


def skeleton(pattern: Pattern) -> Skeleton:
    """The hinge tree of a pattern as arrays."""
    names = tuple(panel.name for panel in pattern.panels)
    index = {name: i for i, name in enumerate(names)}
    panels = {panel.name: panel for panel in pattern.panels}
    count = len(names)
    parents = np.full(count, -1, dtype=np.intp)
    starts, axes, targets = np.zeros((count, 3)), np.zeros((count, 3)), np.zeros(count)
    level = {pattern.root: 0}
    rings: dict[int, list[int]] = {}
    for hinge in pattern.hinges:
        i = index[hinge.panel]
        parents[i] = index[hinge.parent]
        level[hinge.panel] = level[hinge.parent] + 1
        rings.setdefault(level[hinge.panel], []).append(i)
        start, axis = hinge_axis(panels[hinge.panel], hinge.parent, pattern.scores[hinge.score])
        starts[i, :2], axes[i, :2], targets[i] = start, axis, hinge.angle
    levels = tuple(np.array(rings[depth], dtype=np.intp) for depth in sorted(rings))
    return Skeleton(names, index, parents, levels, starts, axes, targets)


def hinge_axis(child: Panel, parent: str, score: Score) -> tuple[Point, Point]:
    """A point of the score and its unit direction with the child on its left.

    A panel's edges run counter-clockwise, so its inside lies to the left of its own edge; that
    also holds for panels that are not convex.
    """
    (x0, y0), (x1, y1) = score.start, score.end
    length = float(np.hypot(x1 - x0, y1 - y0))
    ux, uy = (x1 - x0) / length, (y1 - y0) / length
    side = 0.0
    for edge in child.edges:
        if edge.kind != "score" or edge.beside != parent:
            continue
        ends = points_of(edge.path)
        a, b = ends[0], ends[-1]
        off = max(abs((p[0] - x0) * uy - (p[1] - y0) * ux) for p in (a, b))
        if off <= TOUCH_MM:
            side = (b[0] - a[0]) * ux + (b[1] - a[1]) * uy
            break
    if side == 0.0:
        middle = child.shape.representative_point()
        side = ux * (middle.y - y0) - uy * (middle.x - x0)
    return score.start, ((ux, uy) if side >= 0 else (-ux, -uy))


def turns(starts: Floats, axes: Floats, degrees: Floats) -> Floats:
    """4x4 rotations by `degrees` about lines through `starts` along unit `axes`, right-handed.

    Leading dimensions broadcast. Rodrigues' rotation formula: R = I + sin K + (1 - cos) K K, with K
    the matrix of the vector product (from memory; checked in tests against another library).
    """
    shape = np.broadcast_shapes(axes.shape[:-1], degrees.shape)
    k = np.zeros((*axes.shape[:-1], 3, 3))
    x, y, z = axes[..., 0], axes[..., 1], axes[..., 2]
    k[..., 0, 1], k[..., 0, 2], k[..., 1, 2] = -z, y, -x
    k[..., 1, 0], k[..., 2, 0], k[..., 2, 1] = z, -y, x
    radians = np.radians(degrees)[..., None, None]
    rotation = np.eye(3) + np.sin(radians) * k + (1 - np.cos(radians)) * (k @ k)
    result = np.zeros((*shape, 4, 4))
    result[..., :3, :3] = rotation
    result[..., :3, 3] = starts - (rotation @ starts[..., None])[..., 0]
    result[..., 3, 3] = 1.0
    return result


def pose(bones: Skeleton, degrees: Floats) -> Floats:
    """Matrices (..., panels, 4, 4) for angles (..., panels) in degrees; several poses at once.

    A level of the tree is done in one go, so the cost grows with panels and hardly with depth.
    """
    local = turns(bones.starts, bones.axes, degrees)
    result = local.copy()
    for level in bones.levels:
        above = result[..., bones.parents[level], :, :]
        result[..., level, :, :] = above @ local[..., level, :, :]
    return result


def folded(bones: Skeleton, angles: Floats, panels: Sequence[str]) -> Floats:
    """The angles once these panels are folded to their targets."""
    after = angles.copy()
    moving = [bones.index[name] for name in panels]
    after[moving] = bones.targets[moving]
    return after


def in_space(matrix: Floats, points: Sequence[Point] | Floats) -> Floats:
    """Flat points (n, 2) of one panel in the folded frame, (n, 3)."""
    flat = np.asarray(points, dtype=np.float64)
    moved: Floats = flat @ matrix[:3, :2].T + matrix[:3, 3]
    return moved


def placed(bones: Skeleton, matrices: Floats, panels: Sequence[Panel]) -> dict[str, Floats]:
    """The outer outline of each panel in space, (n, 3), not closed."""
    return {
        panel.name: in_space(matrices[bones.index[panel.name]], outline(panel.shape))
        for panel in panels
    }


def outline(shape: Polygon) -> Floats:
    """The exterior of a shape as (n, 2), not closed, counter-clockwise."""
    points = np.asarray(shape.exterior.coords, dtype=np.float64)[:-1, :2]
    return points if shape.exterior.is_ccw else points[::-1]


def as_points(points: Floats) -> tuple[Point3, ...]:
    """An array (n, 3) as a tuple of points."""
    return tuple((float(x), float(y), float(z)) for x, y, z in points)

"""The room inside a folded piece.

In: a piece in its final pose. Out: a `Cavity`, or None where nothing is enclosed (an open card).

The cavity is the largest box along the axes of the root's frame that has walls on four sides or
more (a sleeve has four, a tray five, a box six). A side is a wall where panels cover most of it; a
window counts as covered. Candidate sides lie in the planes of panels and at their edges, so a tray
without a lid is as deep as its walls. No panel may stand inside the box.

Panels are middle surfaces. From the spacing of two walls half a thickness is taken for each of
them, and nothing else: tabs and mats inside are not counted, as they rarely cover a whole wall.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace

import numpy as np
import shapely
from shapely.geometry import Polygon
from shapely.ops import unary_union

from booklet.fold.intrude import enters
from booklet.fold.pose import Floats, Placed, in_space, outline
from booklet.measure.tolerance import ANGLE_DEG, HAND_MM, TOUCH_MM

WALL_SHARE = 0.8
"""A side of the box is a wall where panels cover this share of it."""

STRAY_SHARE = 0.02
"""Less than this of a plane inside the box is a slip of geometry and no panel in the way."""

PLANES = 10
"""Candidate planes along each axis, the largest walls first: boxes grow with the sixth power."""

Triple = tuple[float, float, float]


@dataclass(frozen=True)
class Cavity:
    """`inside` is wide, tall, deep (x, y, z) mm between the faces of the walls.

    `low` and `high` are the corners between middle surfaces, in the root's frame; `walls` says
    which sides are closed: x low, x high, y low, ... `pocket` marks two layers that lie flat on
    each other, whose deep is 0 and which open as far as the contents need. `rooms` are other boxes
    that a bent piece has room for, `inside` being the largest.
    `mouth` is the axis and the sign of a pocket's open side where more is glued than its own folds.
    `planes` (n, 4), normal and distance, are the walls of a room that is no box: others go in too.
    """

    inside: Triple
    low: Triple
    high: Triple
    walls: tuple[bool, ...]
    pocket: bool = False
    rooms: tuple[Triple, ...] = ()
    mouth: tuple[int, int] | None = None
    planes: Floats | None = field(default=None, compare=False)

    @property
    def flat(self) -> int | None:
        """The axis across the two layers of a pocket; None for any other room."""
        return self.inside.index(min(self.inside)) if self.pocket else None


def is_square(matrix: Floats) -> bool:
    """Whether a 4x4 matrix leads to a frame whose axes are parallel to the own ones."""
    return float(np.abs(matrix[:3, :3]).max(axis=1).min()) >= math.cos(math.radians(ANGLE_DEG))


def carried(cavity: Cavity, matrix: Floats) -> Cavity:
    """A plain box as another frame has it, to which the `matrix` leads, see `is_square`."""
    turn = matrix[:3, :3]
    own = np.abs(turn).argmax(axis=1).tolist()
    signs = [float(turn[axis, k]) for axis, k in enumerate(own)]
    ends = np.array([cavity.low, cavity.high]) @ turn.T + matrix[:3, 3]
    walls: list[bool] = []
    for k, sign in zip(own, signs, strict=True):
        pair = cavity.walls[2 * k : 2 * k + 2]
        walls += pair if sign > 0 else pair[::-1]
    low, high = ends.min(axis=0).tolist(), ends.max(axis=0).tolist()
    inside = tuple(cavity.inside[k] for k in own)
    return replace(
        cavity,
        inside=(inside[0], inside[1], inside[2]),
        low=(low[0], low[1], low[2]),
        high=(high[0], high[1], high[2]),
        walls=tuple(walls),
    )


@dataclass(frozen=True, eq=False)
class _Plane:
    """A panel in space: `axis` it is square to (None if none), its points (n, 3) and area."""

    axis: int | None
    points: Floats
    area: float


def find_cavity(posed: Placed) -> Cavity | None:
    """The largest box, or None when none has four walls."""
    planes = [_plane(posed, name) for name in posed.panels]
    square = [plane for plane in planes if plane.axis is not None]
    if len({plane.axis for plane in square}) >= 2:
        lines = [_lines(axis, planes) for axis in range(3)]
        if all(len(line) >= 2 for line in lines):
            slanted = [plane.points for plane in planes if plane.axis is None]
            found = _largest(lines, [_covered(a, square, lines) for a in range(3)], slanted)
            if found is not None:
                return _inside(*found, posed.thickness)
    return None


def _inside(low: Floats, high: Floats, walls: tuple[bool, ...], thickness: float) -> Cavity:
    size = [
        max(0.0, float(high[a] - low[a]) - thickness / 2 * (walls[2 * a] + walls[2 * a + 1]))
        for a in range(3)
    ]
    return Cavity((size[0], size[1], size[2]), _triple(low), _triple(high), walls)


def _triple(values: Floats) -> Triple:
    return float(values[0]), float(values[1]), float(values[2])


def _plane(posed: Placed, name: str) -> _Plane:
    shape = posed.panels[name].shape
    points = in_space(posed.matrix(name), outline(shape))
    extents = np.ptp(points, axis=0)
    axis = int(np.argmin(extents))
    return _Plane(axis if extents[axis] <= HAND_MM else None, points, float(shape.area))


def _lines(axis: int, planes: list[_Plane]) -> Floats:
    """Candidate coordinates along an axis: walls by area, then edges of panels by extent."""
    ranked: list[tuple[int, float, float]] = []
    for plane in planes:
        values = plane.points[:, axis]
        if plane.axis == axis:
            ranked.append((0, -plane.area, float(values.mean())))
        else:
            rank = 1 if plane.axis is not None else 2
            ranked += [(rank, -plane.area, float(v)) for v in (values.min(), values.max())]
    chosen: list[float] = []
    for _, _, value in sorted(ranked):
        if len(chosen) < PLANES and all(abs(value - other) > HAND_MM for other in chosen):
            chosen.append(value)
    return np.array(sorted(chosen))


def _covered(axis: int, square: list[_Plane], lines: list[Floats]) -> Floats:
    """Area covered of each cell (plane along `axis`, cell along the next two axes), mm²."""
    first, second = [other for other in range(3) if other != axis]
    us, vs = lines[first], lines[second]
    covered = np.zeros((len(lines[axis]), len(us) - 1, len(vs) - 1))
    cells = shapely.box(us[:-1, None], vs[None, :-1], us[1:, None], vs[None, 1:])
    members: dict[int, list[Polygon]] = {}
    for plane in square:
        if plane.axis == axis:
            nearest = np.abs(lines[axis] - plane.points[:, axis].mean())
            if nearest.min() <= HAND_MM:
                shape = Polygon(plane.points[:, [first, second]])
                members.setdefault(int(nearest.argmin()), []).append(shape)
    for row, shapes in members.items():
        whole = unary_union([shape for shape in shapes if shape.is_valid])
        covered[row] = shapely.area(shapely.intersection(cells, whole))
    return covered


def _largest(
    lines: list[Floats], covered: list[Floats], slanted: list[Floats]
) -> tuple[Floats, Floats, tuple[bool, ...]] | None:
    """Try all boxes between candidate planes at once; sums over cells come from running totals."""
    pairs = [np.array(np.triu_indices(len(line), 1)) for line in lines]
    low = np.meshgrid(*(pair[0] for pair in pairs), indexing="ij")
    high = np.meshgrid(*(pair[1] for pair in pairs), indexing="ij")
    sizes = [lines[a][high[a]] - lines[a][low[a]] for a in range(3)]
    closed: list[np.ndarray[tuple[int, ...], np.dtype[np.bool_]]] = []
    free = np.ones(low[0].shape, dtype=bool)
    for a in range(3):
        u, v = [other for other in range(3) if other != a]
        side = sizes[u] * sizes[v]
        totals = _running(covered[a])
        for at in (low[a], high[a]):
            closed.append(_window(totals, at, low[u], high[u], low[v], high[v]) / side > WALL_SHARE)
        cells = np.diff(lines[u])[:, None] * np.diff(lines[v])[None, :]
        stops = _running((covered[a] > STRAY_SHARE * cells).astype(np.float64))
        stops = np.concatenate([np.zeros((1, *stops.shape[1:])), np.cumsum(stops, axis=0)])
        between = _window(stops, high[a], low[u], high[u], low[v], high[v]) - _window(
            stops, low[a] + 1, low[u], high[u], low[v], high[v]
        )
        free &= between < 0.5
    good = free & (sum(c.astype(int) for c in closed) >= 4)
    volume = np.where(good, sizes[0] * sizes[1] * sizes[2], 0.0)
    for flat in np.argsort(-volume, axis=None)[:200]:
        at = np.unravel_index(flat, volume.shape)
        if volume[at] <= 0.0:
            return None
        corners = [np.array([lines[a][side[a][at]] for a in range(3)]) for side in (low, high)]
        if not any(enters(points, corners[0], corners[1], TOUCH_MM) for points in slanted):
            return corners[0], corners[1], tuple(bool(c[at]) for c in closed)
    return None


def _running(values: Floats) -> Floats:
    """Running totals over the last two axes, with a row and column of zeros before."""
    padded = np.pad(values, ((0, 0), (1, 0), (1, 0)))
    totals: Floats = padded.cumsum(axis=1).cumsum(axis=2)
    return totals


Ints = np.ndarray[tuple[int, ...], np.dtype[np.intp]]


def _window(totals: Floats, at: Ints, u0: Ints, u1: Ints, v0: Ints, v1: Ints) -> Floats:
    result: Floats = (
        totals[at, u1, v1] - totals[at, u0, v1] - totals[at, u1, v0] + totals[at, u0, v0]
    )
    return result

"""The room between walls that are not square to the axes: pyramids, hexagonal trays.

In: a piece in its final pose whose panels all lie round a convex inside. Out: a `Cavity` with its
`planes`, or None. A box of sides s goes in at c where n . c + sum |n_i| s_i / 2 <= d for each plane
(n, d), n pointing out: linear in c and in a factor k of s, so that the largest box of
given proportions is a corner of a polyhedron in four dimensions. There are few planes: all corners
are tried. The proportions of the largest box are then searched for, as its volume has one top.
"""

from __future__ import annotations

import itertools
from typing import Final

import numpy as np

from booklet.fold.cavity import Cavity, Triple
from booklet.fold.pose import Floats, Posed, in_space, outline
from booklet.measure.tolerance import ANGLE_DEG, HAND_MM, SAME_MM

MOST_PLANES: Final = 16
"""Planes of walls; all fours of them are tried."""
LEAST_SIDES: Final = 4
"""Sides of the room (of six along the axes) that walls must close, as for a box."""
FACING: Final = 0.25
"""A wall closes a side of the box that its normal points to by at least this much."""
ROUNDS: Final = 14
"""Steps of the search for the largest box: its volume is then right to a thousandth or so."""


def find_slanted_room(posed: Posed, like: Triple | None = None) -> Cavity | None:
    """The largest box in the piece, or the largest with the proportions `like`."""
    middles, points = _planes(posed)
    if not LEAST_SIDES <= len(middles) <= MOST_PLANES:
        return None
    if np.any(points @ middles[:, :3].T > middles[:, 3] + HAND_MM):
        return None  # a panel stands inside: no convex room
    walls = tuple(
        bool(np.any(sign * middles[:, axis] > FACING)) for axis in range(3) for sign in (-1, 1)
    )
    if sum(walls) < LEAST_SIDES:
        return None
    faces = middles - np.array([0.0, 0.0, 0.0, posed.thickness / 2])
    planes = np.vstack([faces, _extent(points, faces)])
    sides, centre = _like(planes, np.array(like)) if like else _largest(planes)
    if min(sides) <= HAND_MM:
        return None
    low, high = centre - sides / 2, centre + sides / 2
    return Cavity(_triple(sides), _triple(low), _triple(high), walls, planes=planes)


def room_like(planes: Floats, sides: Triple) -> Triple:
    """The largest box of these proportions between planes (n, 4): normal and distance, mm."""
    return _triple(_like(planes, np.array(sides))[0])


def spare_round(planes: Floats, centre: Floats, points: Floats, opening: int | None) -> Triple:
    """What is left along x, y and z round a body of `points` (n, 3), both centres on each other.

    Planes square to the opening do not count: there the body may stand out.
    """
    body = points - (points.min(axis=0) + points.max(axis=0)) / 2
    reach = (planes[:, :3] @ body.T).max(axis=1)
    slack = 2 * (planes[:, 3] - planes[:, :3] @ centre - reach)
    along = np.abs(planes[:, :3])
    if opening is not None:
        along[along[:, opening] > 1 - FACING] = 0.0
    spare = [
        min((slack[along[:, a] > FACING] / along[along[:, a] > FACING, a]).tolist(), default=0.0)
        for a in range(3)
    ]
    return spare[0], spare[1], spare[2]


def _planes(posed: Posed) -> tuple[Floats, Floats]:
    """The planes that panels lie in, each once, pointing away from the middle; and all points."""
    shapes = [in_space(posed.matrix(n), outline(p.shape)) for n, p in posed.panels.items()]
    points = np.vstack(shapes)
    middle = (points.min(axis=0) + points.max(axis=0)) / 2
    found: list[Floats] = []
    turn = np.cos(np.radians(ANGLE_DEG))
    for name, shape in zip(posed.panels, shapes, strict=True):
        normal = posed.matrix(name)[:3, 2]
        distance = float(shape[0] @ normal)
        if distance < float(middle @ normal):
            normal, distance = -normal, -distance
        if any(n[:3] @ normal > turn and abs(n[3] - distance) < HAND_MM for n in found):
            continue
        found.append(np.array([*normal, distance]))
    return np.array(found), points


def _extent(points: Floats, faces: Floats) -> Floats:
    """The planes of the box round all points, where no wall square to an axis closes it."""
    rows = []
    for axis, sign in itertools.product(range(3), (-1.0, 1.0)):
        normal = np.zeros(3)
        normal[axis] = sign
        if np.any(faces[:, :3] @ normal > 1 - SAME_MM):
            continue
        rows.append([*normal, float((points[:, axis] * sign).max())])
    return np.array(rows).reshape(-1, 4)


def _like(planes: Floats, sides: Floats) -> tuple[Floats, Floats]:
    """The largest box of these proportions and its centre: the corner with the largest factor."""
    rows = np.column_stack([planes[:, :3], np.abs(planes[:, :3]) @ sides / 2])
    fours = np.array(list(itertools.combinations(range(len(rows)), 4)))
    systems = rows[fours]
    solid = np.abs(np.linalg.det(systems)) > SAME_MM * 1e-3 * float(sides.max())
    corners = np.linalg.solve(systems[solid], planes[fours[solid], 3][..., None])[..., 0]
    slack = planes[None, :, 3] - corners @ rows.T
    inside = corners[(slack.min(axis=1) > -SAME_MM) & (corners[:, 3] > 0)]
    if not len(inside):
        return np.zeros(3), np.zeros(3)
    factor = float(inside[:, 3].max())
    # Where the box may be pushed about, it stands in the middle of where it may.
    best = inside[inside[:, 3] >= factor * (1 - SAME_MM)]
    return sides * factor, (best.min(axis=0) + best.max(axis=0))[:3] / 2


def _largest(planes: Floats) -> tuple[Floats, Floats]:
    """The box of most volume: a walk over its proportions, with ever smaller steps."""
    shape = np.zeros(2)
    step = 0.5
    best = _like(planes, _sides(shape))
    for _ in range(ROUNDS):
        for move in itertools.product((0.0, step, -step), repeat=2):
            other = _like(planes, _sides(shape + move))
            if float(np.prod(other[0])) > float(np.prod(best[0])) * (1 + SAME_MM):
                best, shape = other, shape + np.array(move)
                break
        else:
            step /= 2
    return best


def _sides(shape: Floats) -> Floats:
    """Sides with these logarithms of tall and deep to wide, and about one long."""
    sides: Floats = np.exp(np.array([0.0, shape[0], shape[1]]) - shape.sum() / 3)
    return sides


def _triple(values: Floats) -> Triple:
    return float(values[0]), float(values[1]), float(values[2])

"""Approach: does a finished piece get to its place in another, along a straight way?

In: pieces in one frame. Out: the direction from which the piece comes without passing through
paper, or None where none of those tried is free. What bends, or is eased in at a slant, may still
go: that is not proved.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence

import numpy as np
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from booklet.fold.cavity import Triple
from booklet.fold.collide import meeting
from booklet.fold.company import Placement
from booklet.fold.plate import Plates, Shapes, plates
from booklet.fold.pose import Floats, Ints, Posed, in_space, outline
from booklet.measure.tolerance import ANGLE_DEG, HAND_MM

STEP_MM = 4.0
"""From one place on the way to the next; panels are wider."""
MOST_PLACES = 60
"""Places on a way that are looked at; a longer way is looked at in longer steps."""
MOST_PANELS = 300
"""Panels of all pieces together up to which a way is looked for."""
AXES = ((0, 0, 1), (0, 1, 0), (0, -1, 0), (1, 0, 0), (-1, 0, 0), (0, 0, -1))
"""Directions along the frame: toward the reader first, through the table last."""

Pieces = Mapping[str, tuple[Posed, Floats]]
Solids = dict[str, Plates]


def approach(
    moving: tuple[Posed, Floats], still: Pieces, first: Sequence[Triple], solids: Solids
) -> Triple | None:
    """The unit direction toward which the piece is drawn off, `first` those that are likeliest.

    `solids` keeps the plates of each piece for the next one.
    """
    bodies = [_body(*piece, solids) for piece in (moving, *still.values())]
    points = [_points(*piece) for piece in (moving, *still.values())]
    shapes = _together([plate for plate, _ in bodies])
    own = len(bodies[0][0].loops)
    body = np.r_[np.zeros(own), np.ones(len(shapes.loops) - own)].astype(np.intp)
    matrices = np.concatenate([places for _, places in bodies])
    for way in dict.fromkeys([*first, *((float(x), float(y), float(z)) for x, y, z in AXES)]):
        toward = np.array(way)
        far = float((np.concatenate(points[1:]) @ toward).max() - (points[0] @ toward).min())
        if _free(shapes, matrices, body, own, toward, max(0.0, far)):
            return way
    return None


def ways_together(
    posed: Mapping[str, Posed],
    glued: Mapping[str, Placement],
    nested: Mapping[str, Placement],
    groups: Sequence[Pieces],
    bent: Collection[str],
) -> dict[str, Triple | None]:
    """For each piece that is glued to others or lies in one, the way in which it is drawn off.

    What lies in a piece gets past all that is glued to that piece too. Glued pieces come one after
    the other, as the file has them. Bent ones are not looked at.
    """
    ways: dict[str, Triple | None] = {}
    solids: Solids = {}
    for group in groups:
        names = list(group)
        for number, name in enumerate(names[1:], 1):
            still = {other: group[other] for other in names[:number]}
            if name in glued:
                flat = not set(bent) & {name, *still}
                ways[name] = _way(group[name], still, (), solids) if flat else None
    for name, place in nested.items():
        still = _glued_to(place.within, posed, groups)
        still.pop(name, None)
        moving = posed[name], place.matrix
        flat = not set(bent) & {name, *still}
        ways[name] = _way(moving, still, (place.way,), solids) if flat else None
    return ways


def _glued_to(
    piece: str, posed: Mapping[str, Posed], groups: Sequence[Pieces]
) -> dict[str, tuple[Posed, Floats]]:
    """A piece and all that is glued to it, in its own frame."""
    for group in groups:
        if piece in group:
            back = np.linalg.inv(group[piece][1])
            return {name: (one, back @ place) for name, (one, place) in group.items()}
    return {piece: (posed[piece], np.eye(4))}


def _way(
    moving: tuple[Posed, Floats], still: Pieces, first: Sequence[Triple], solids: Solids
) -> Triple | None:
    panels = sum(len(posed.panels) for posed, _ in (moving, *still.values()))
    if panels > MOST_PANELS:
        return None
    return approach(moving, still, [way for way in first if any(way)], solids)


def _free(shapes: Shapes, home: Floats, body: Ints, own: int, toward: Floats, far: float) -> bool:
    """Whether the first `own` plates come from `far` off to their place and cross nothing."""
    count = min(MOST_PLACES, max(2, math.ceil(far / STEP_MM)))
    for off in np.linspace(0.0, far, count):
        matrices = home.copy()
        matrices[:own, :3, 3] += toward * off
        if any(True for _ in meeting(shapes, matrices, body, {})):
            return False
    return not _passes_flat(shapes, home, own, toward, far)


def _passes_flat(shapes: Shapes, home: Floats, own: int, toward: Floats, far: float) -> bool:
    """Whether a plate goes flat through one that it is parallel to: at no place do they cross.

    Those that lie on each other at home, within `HAND_MM`, may part.
    """
    normals, middles = home[:, :3, 2], home[:, :3, 3]
    leaning = np.linalg.norm(np.cross(normals[:own, None], normals[None, own:]), axis=2)
    speed = normals[own:] @ toward
    height = np.einsum("ijk,jk->ij", middles[None, own:] - middles[:own, None], normals[own:])
    with np.errstate(divide="ignore", invalid="ignore"):
        met = height / speed
    slight = math.sin(math.radians(ANGLE_DEG))
    passing = (leaning < slight) & (np.abs(speed) > slight) & (np.abs(height) > HAND_MM)
    passing &= (met > 0) & (met < far)
    for i, j in np.argwhere(passing).tolist():
        to_still = np.linalg.inv(home[own + j])
        off = to_still[:3, :3] @ (toward * met[i, j])
        moving = [in_space(to_still @ home[i], loop)[:, :2] + off[:2] for loop in shapes.loops[i]]
        if _area(moving).intersection(_area(shapes.loops[own + j])).area > HAND_MM**2:
            return True
    return False


def _area(loops: Sequence[Floats]) -> BaseGeometry:
    """The area within loops in one plane, holes taken out as even and odd have it."""
    area: BaseGeometry = Polygon()
    for loop in loops:
        area = area.symmetric_difference(Polygon(loop))
    return area


def _body(posed: Posed, place: Floats, solids: Solids) -> tuple[Plates, Floats]:
    """A piece's plates, and the matrix of each to the common frame."""
    matrices = np.array([place @ posed.matrix(name) for name in posed.bones.names])
    if posed.pattern.id not in solids:
        solids[posed.pattern.id] = plates(posed)
    return solids[posed.pattern.id], matrices


def _points(posed: Posed, place: Floats) -> Floats:
    """The corners of all panels in the common frame, (n, 3)."""
    return np.concatenate(
        [in_space(place @ posed.matrix(n), outline(p.shape)) for n, p in posed.panels.items()]
    )


def _together(parts: Sequence[Shapes]) -> Shapes:
    """The shapes of several pieces as those of one."""
    most = max(part.corners.shape[1] for part in parts)
    corners = np.concatenate([_filled(part.corners, most) for part in parts])
    loops = tuple(loop for part in parts for loop in part.loops)
    solid = np.concatenate([part.solid for part in parts])
    return Shapes(loops, corners, solid, np.eye(len(loops), dtype=bool))


def _filled(corners: Floats, most: int) -> Floats:
    """Corners (panels, n, 2) with the first of each repeated up to `most`."""
    lack = most - corners.shape[1]
    filled: Floats = np.concatenate([corners, np.repeat(corners[:, :1], lack, axis=1)], axis=1)
    return filled

"""Approach: does a finished piece get to its place in another, along a straight way?

In: pieces in one frame. Out: the direction from which the piece comes without passing through
paper, or None where none of those tried is free. What gives way, or is eased in at a slant, may
still go: that is not proved. Panels that bend count as their flat strips.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from booklet.fold.bend import BentPose
from booklet.fold.bent_plate import bent_plates, strip_matrices
from booklet.fold.cavity import Triple
from booklet.fold.collide import meeting
from booklet.fold.company import Placement
from booklet.fold.passing import passes
from booklet.fold.plate import Shapes, plates
from booklet.fold.pose import Floats, Ints, Posed, in_space, outline
from booklet.fold.strip import bent_outline
from booklet.measure.tolerance import HAND_MM

STEP_MM = 4.0
"""From one place on the way to the next; panels are wider."""
MOST_PLACES = 60
"""Places on a way that are looked at; a longer way is looked at in longer steps."""
MOST_PLATES = 300
"""Panels, or strips of those that bend, of all pieces together up to which a way is looked for."""
AXES = ((0, 0, 1), (0, 1, 0), (0, -1, 0), (1, 0, 0), (-1, 0, 0), (0, 0, -1))
"""Directions along the frame: toward the reader first, through the table last."""

Pieces = Mapping[str, tuple[Posed, Floats]]


@dataclass(frozen=True, eq=False)
class Solid:
    """A folded piece as plates, each with its matrix to the piece's frame; corners (n, 3)."""

    shapes: Shapes
    matrices: Floats
    points: Floats


@dataclass(frozen=True, eq=False)
class Solids:
    """The plates of pieces by name, each made once; those of `bent` ones are strips."""

    bent: Mapping[str, BentPose]
    made: dict[str, Solid] = field(default_factory=dict)

    def of(self, posed: Posed) -> Solid:
        """The plates of a piece."""
        name = posed.pattern.id
        if name not in self.made:
            bent = self.bent.get(name)
            self.made[name] = _rigid(posed) if bent is None else _curved(bent)
        return self.made[name]


def _rigid(posed: Posed) -> Solid:
    matrices = np.array([posed.matrix(name) for name in posed.bones.names])
    outlines = [in_space(posed.matrix(n), outline(p.shape)) for n, p in posed.panels.items()]
    return Solid(plates(posed), matrices, np.concatenate(outlines))


def _curved(bent: BentPose) -> Solid:
    whole = bent_plates(plates(bent.posed), bent, ())
    outlines = [bent_outline(bent, panel) for panel in bent.posed.panels.values()]
    return Solid(whole.strips, strip_matrices(whole, bent), np.concatenate(outlines))


def approach(
    moving: tuple[Posed, Floats], still: Pieces, first: Sequence[Triple], solids: Solids
) -> Triple | None:
    """The unit direction toward which the piece is drawn off, `first` those that are likeliest.

    `solids` keeps the plates of each piece for the next one.
    """
    bodies = [_body(*piece, solids) for piece in (moving, *still.values())]
    points = [points for _, _, points in bodies]
    shapes = _together([plate for plate, _, _ in bodies])
    own = len(bodies[0][0].loops)
    body = np.r_[np.zeros(own), np.ones(len(shapes.loops) - own)].astype(np.intp)
    matrices = np.concatenate([places for _, places, _ in bodies])
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
    bent: Mapping[str, BentPose],
) -> dict[str, Triple | None]:
    """For each piece that is glued to others or lies in one, the way in which it is drawn off.

    What lies in a piece gets past all that is glued to that piece too. Glued pieces come one after
    the other, as the file has them. Where glue holds a panel that bends, or that bending carries
    off, its place is not known, and no way is looked for.
    """
    ways: dict[str, Triple | None] = {}
    solids = Solids(bent)
    for group in groups:
        names = list(group)
        for number, name in enumerate(names[1:], 1):
            still = {other: group[other] for other in names[:number]}
            if name in glued:
                known = _glued_flat(bent, {name: group[name], **still})
                ways[name] = _way(group[name], still, (), solids) if known else None
    for name, place in nested.items():
        still = _glued_to(place.within, posed, groups)
        still.pop(name, None)
        moving = posed[name], place.matrix
        known = _glued_flat(bent, still)
        ways[name] = _way(moving, still, (place.way,), solids) if known else None
    return ways


def _glued_flat(bent: Mapping[str, BentPose], pieces: Pieces) -> bool:
    """Whether all that glue holds between these pieces lies where it would without bending."""
    for posed, _ in pieces.values():
        for join in posed.pattern.joins:
            if join.tab[0] == join.to[0] or not {join.tab[0], join.to[0]} <= set(pieces):
                continue
            for piece, panel in (join.tab, join.to):
                pose = bent.get(piece)
                if pose is not None and (
                    panel in pose.bends or np.linalg.norm(pose.shifts[panel]) > HAND_MM
                ):
                    return False
    return True


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
    many = sum(len(solids.of(posed).shapes.loops) for posed, _ in (moving, *still.values()))
    if many > MOST_PLATES:
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
    return not passes(shapes, home, own, toward)


def _body(posed: Posed, place: Floats, solids: Solids) -> tuple[Shapes, Floats, Floats]:
    """A piece's plates, the matrix of each to the common frame, and its corners there."""
    solid = solids.of(posed)
    corners: Floats = solid.points @ place[:3, :3].T + place[:3, 3]
    return solid.shapes, place @ solid.matrices, corners


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

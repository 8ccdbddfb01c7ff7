"""Approach: does a finished piece get to its place in another, along a straight way?

In: pieces in one frame. Out: the direction from which the piece comes without passing through
paper, or None where none of those tried is free. What bends, or is eased in at a slant, may still
go: that is not proved.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence

import numpy as np

from booklet.fold.cavity import Triple
from booklet.fold.collide import meeting
from booklet.fold.company import Placement
from booklet.fold.plate import Plates, Shapes, plates
from booklet.fold.pose import Floats, Ints, Posed, in_space, outline

STEP_MM = 4.0
"""From one place on the way to the next; panels are wider."""
MOST_PLACES = 60
"""Places on a way that are looked at; a longer way is looked at in longer steps."""
MOST_PANELS = 300
"""Panels of all pieces together up to which a way is looked for."""
AXES = ((0, 0, 1), (0, 1, 0), (0, -1, 0), (1, 0, 0), (-1, 0, 0), (0, 0, -1))
"""Directions along the frame: toward the reader first, through the table last."""

Pieces = Mapping[str, tuple[Posed, Floats]]


def approach(
    moving: tuple[Posed, Floats], still: Pieces, first: Sequence[Triple] = ()
) -> Triple | None:
    """The unit direction toward which the piece is drawn off, `first` those that are likeliest."""
    bodies = [_body(*piece) for piece in (moving, *still.values())]
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

    Glued pieces come one after the other, as the file has them. Bent ones are not looked at.
    """
    ways: dict[str, Triple | None] = {}
    for group in groups:
        names = list(group)
        for number, name in enumerate(names[1:], 1):
            still = {other: group[other] for other in names[:number]}
            if name in glued:
                ways[name] = _way(group[name], still, (), set(bent) & {name, *still})
    for name, place in nested.items():
        still = {place.within: (posed[place.within], np.eye(4))}
        moving = posed[name], place.matrix
        ways[name] = _way(moving, still, (place.way,), {name, place.within} & set(bent))
    return ways


def _way(
    moving: tuple[Posed, Floats], still: Pieces, first: Sequence[Triple], bent: Collection[str]
) -> Triple | None:
    panels = sum(len(posed.panels) for posed, _ in (moving, *still.values()))
    if bent or panels > MOST_PANELS:
        return None
    return approach(moving, still, [way for way in first if any(way)])


def _free(shapes: Shapes, home: Floats, body: Ints, own: int, toward: Floats, far: float) -> bool:
    """Whether the first `own` plates come from `far` off to their place and cross nothing."""
    count = min(MOST_PLACES, max(2, math.ceil(far / STEP_MM)))
    for off in np.linspace(0.0, far, count):
        matrices = home.copy()
        matrices[:own, :3, 3] += toward * off
        if any(True for _ in meeting(shapes, matrices, body, {})):
            return False
    return True


def _body(posed: Posed, place: Floats) -> tuple[Plates, Floats]:
    """A piece's plates, and the matrix of each to the common frame."""
    matrices = np.array([place @ posed.matrix(name) for name in posed.bones.names])
    return plates(posed), matrices


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

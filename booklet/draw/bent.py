"""Bent panels in pictures: flat strips between which no line is drawn.

In: a pattern in a pose, and the angle of each panel. Out: faces and hinges for a scene, or None
where no curved score is folded yet.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np

from booklet.fold.bend import BentPose, bend_half_way
from booklet.fold.bulge import bulge_of, closed_rings, held_rings
from booklet.fold.crease import bent_groups
from booklet.fold.face import SMOOTH, Face, Hinge, Loop
from booklet.fold.pose import Posed, as_points
from booklet.fold.strip import strips
from booklet.fold.touch import at_angles
from booklet.measure.tolerance import SAME_MM

ROUGH_PARTS = 4
"""Strips of a bent panel where a picture only chooses its place."""


def bent_before(rest: Posed, before: Mapping[str, float], now: Mapping[str, float]) -> BentPose:
    """The piece with its panels bent as they are `now`, each flap at its angle `before`."""
    names = [panel.name for panel in rest.pattern.panels]
    angles = {name: before.get(name, 0.0) for name in names}
    pose = at_angles(rest, angles)
    degrees = np.array([now.get(name, 0.0) for name in names])
    bulge = bulge_of(pose, degrees, closed_rings(pose, held_rings(pose), degrees))
    return bend_half_way(pose, bent_groups(pose), np.array([*angles.values()]), bulge)


def roughly(bent: BentPose) -> BentPose:
    """The same pose with few strips to a panel: enough to tell from where a flap is seen."""
    return replace(bent, bends={n: replace(b, parts=ROUGH_PARTS) for n, b in bent.bends.items()})


def bent_faces(
    bent: BentPose, angles: Mapping[str, float], layer: Callable[[str], int]
) -> tuple[Face, ...]:
    """All panels: bent ones as strips, of which the middle one bears the panel's name.

    `angles` are in the order in which panels were folded: a bent flap folded later lies outside.
    """
    faces: list[Face] = []
    turns = {name: turn for turn, name in enumerate(angles, 1)}
    for panel in bent.posed.pattern.panels:
        parts: Sequence[tuple[Loop, ...]]
        if panel.name in bent.bends:
            parts = strips(bent, panel.name)
        else:
            rings = (panel.shape.exterior, *panel.shape.interiors)
            loops = [
                as_points(bent.place(panel.name, np.asarray(ring.coords)[:-1, :2]))
                for ring in rings
            ]
            parts = [(loops[0] if rings[0].is_ccw else loops[0][::-1], *loops[1:])]
        place = layer(panel.name)
        for id_, part in zip(_ids(panel.name, len(parts)), parts, strict=True):
            face = Face(id_, part[0], part[1:], layer=place)
            if panel.name in bent.bends:
                face = replace(face, layer=_outward(face) * turns.get(panel.name, 0))
            faces.append(face)
    return tuple(faces)


def bent_hinges(bent: BentPose, faces: Sequence[Face], flat: Sequence[Hinge]) -> tuple[Hinge, ...]:
    """The hinges of panels between their strips (those that do not touch never count), and the
    lines between neighbouring strips of one panel, which are not drawn."""
    ids: dict[str, list[str]] = {}
    for face in faces:
        ids.setdefault(face.id.partition("~")[0], []).append(face.id)

    def made() -> Iterator[Hinge]:
        for hinge in flat:
            for first in ids[hinge.first]:
                for second in ids[hinge.second]:
                    yield Hinge(first, second, hinge.style)
        for name in bent.bends:
            for first, second in pairwise(ids[name]):
                yield Hinge(first, second, SMOOTH)

    return tuple(made())


def _outward(face: Face) -> int:
    """1 where the outside of the paper looks up (z, else y, else x positive), else -1."""
    x, y, z = face.normal
    main = next((part for part in (z, y, x) if abs(part) > SAME_MM), 1.0)
    return -1 if main > 0 else 1


def _ids(name: str, count: int) -> list[str]:
    return [name if k == count // 2 else f"{name}~{k}" for k in range(count)]

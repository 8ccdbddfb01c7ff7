"""The room inside a folded piece, whatever its walls are.

In: a piece in its final pose, bent or not. Out: a `Cavity`, or None where nothing is enclosed.
"""

from __future__ import annotations

from dataclasses import replace

from booklet.fold.bend import BentPose
from booklet.fold.bent_room import find_bent_room
from booklet.fold.cavity import Cavity, Triple, find_cavity
from booklet.fold.pocket import find_pocket
from booklet.fold.pose import Posed
from booklet.fold.slanted_room import find_slanted_room


def find_room(posed: Posed, bent: BentPose | None, asked: Triple | None) -> Cavity | None:
    """A box, a flat pocket, or the room between slanted or bent walls.

    `asked` is the inside that a form was asked for: where boxes of several proportions go in, the
    one told is like it.
    """
    if bent is None:
        return find_cavity(posed) or find_pocket(posed) or find_slanted_room(posed, asked)
    room = find_bent_room(bent)
    if room is None or asked is None:
        return room
    like = max(room.rooms, key=lambda sides: min(a / b for a, b in zip(sides, asked, strict=True)))
    return replace(room, inside=like)

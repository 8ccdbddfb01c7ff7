"""Winding: how what goes round a closed piece gets there, half on its way.

In: a taut ring round a piece, or a string between two buttons. Out: its strips where they lie in
the end, and on their way: free ends lifted off where they will lie, or a band slid on from one end.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

import numpy as np

from booklet.fold.face import Loop, Point3, tuple3
from booklet.fold.pose import Floats, as_points
from booklet.fold.wrapping import OFF, Ring, Side, stretch

ENDS: Final[Mapping[str, int]] = MappingProxyType({"ribbon": 2, "tie": 2, "button": 1})
"""How many free ends it has; what has none is slid on."""
LIFTED = 105.0
"""Degrees by which a free end stands off the side that it will lie on."""
LONG = 0.45
"""A free end's length as a share of that side, and at least so many times its width:"""
WIDTHS = 3.0
ON = 0.5
"""The share of its width by which a band is on the piece already."""
WAY = 0.8
"""The share of the way that is drawn of a band's."""


@dataclass(frozen=True)
class Swing:
    """How a free end moves: the point `start`, by so many degrees right-handed about a line."""

    start: Point3
    hinge: tuple[Point3, Point3]
    angle: float


@dataclass(frozen=True)
class Wrap:
    """What goes round a closed piece: where it lies in the end, and half on its way there.

    `free` are the numbers of the outlines on the way that move. Nothing is `going` where the way
    cannot be told from the end.
    """

    there: tuple[Loop, ...]
    going: tuple[Loop, ...] = ()
    free: tuple[int, ...] = ()
    swings: tuple[Swing, ...] = ()
    slide: tuple[Point3, Point3] | None = None


def wound(ring: Ring | None, kind: str) -> Wrap:
    """The ring of a closure of this kind, with its bow if it has two ends."""
    if ring is None:
        return Wrap(())
    ends = ENDS.get(kind, 0)
    if not ends:
        return _slid(ring)
    there = (*ring.loops, *(ring.bow if ends == 2 else ()))
    return _lifted(ring, there, ends)


def crossed(sides: tuple[Side, ...], width: float) -> Wrap:
    """A string in a figure eight: its way back stands up from where it has gone round."""
    if len(sides) != 2:
        return Wrap(())
    there, back = sides
    cos, sin = math.cos(math.radians(LIFTED)), math.sin(math.radians(LIFTED))
    tip = back.a + (back.along * cos + back.out * sin) * back.long
    up = Side(back.a, tip, (tip - back.a) / back.long, back.out * cos - back.along * sin)
    half = np.cross(back.out, back.along) * width / 2
    swing = Swing(tuple3(tip), (tuple3(back.a - half), tuple3(back.a + half)), LIFTED)
    going = (stretch(there, width), stretch(up, width))
    return Wrap(tuple(stretch(side, width) for side in sides), going, (1,), (swing,))


def _lifted(ring: Ring, there: tuple[Loop, ...], ends: int) -> Wrap:
    """Round all sides but the one on which it is tied; of a string half of that one is done too."""
    side = ring.sides[ring.top]
    rest = [s for s in ring.sides if s is not side]
    going = [ring.strip(one.a, one.b, one.out) for one in rest]
    if ends == 1:
        going.append(ring.strip(side.a, (side.a + side.b) / 2, side.out))
    length = max(LONG * side.long, min(WIDTHS * ring.width, side.long))
    free, swings = [], []
    cos, sin = math.cos(math.radians(LIFTED)), math.sin(math.radians(LIFTED))
    for foot, way, angle in ((side.a, 1.0, LIFTED), (side.b, -1.0, -LIFTED))[2 - ends :]:
        tip = foot + (side.along * way * cos + side.out * sin) * length
        free.append(len(going))
        # Seen from above the end, its outer side is the one that will lie up.
        going.append(ring.strip(foot, tip, side.out * cos - side.along * way * sin))
        half = ring.axis * ring.width / 2
        hinge = tuple3(foot - half), tuple3(foot + half)
        swings.append(Swing(tuple3(tip), hinge, angle))
    return Wrap(there, tuple(going), tuple(free), tuple(swings))


def _slid(ring: Ring) -> Wrap:
    """A band half on: from the right, the front or above, whichever end lies there."""
    toward = float(ring.axis @ np.array([1.0, -1.0, 1.0])) >= 0
    past = ring.width * (0.5 - ON)
    shift: Floats = ring.axis * (ring.high + past if toward else ring.low - past)
    loops = tuple(as_points(np.array(loop) + shift) for loop in ring.loops)
    side = ring.sides[ring.top]
    start = (side.a + side.b) / 2 + side.out * OFF + shift
    ends = tuple3(start), tuple3(start - shift * WAY)
    return Wrap(ring.loops, loops, tuple(range(len(loops))), (), ends)

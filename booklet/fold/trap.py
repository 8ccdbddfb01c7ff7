"""Traps: what the proofs know that a maker is likely to get wrong.

In: a folded piece. Out: on which side of its panel each tab belongs, and which step may not be
made before the one that it follows.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from booklet.fold.bent_collide import checked_plates, is_swept
from booklet.fold.order import step_hits
from booklet.fold.plate import Plates, plates
from booklet.fold.pose import folded
from booklet.fold.prove import Folded
from booklet.fold.touch import Side, touch

MOST_STEPS = 40
"""Steps of an order beyond which none is tried out of its turn."""


@dataclass(frozen=True)
class Swap:
    """Panels that run into others if those of `then` fold before those of `first`."""

    first: tuple[str, ...]
    then: tuple[str, ...]


def order_traps(piece: Folded) -> tuple[Swap, ...]:
    """Neighbouring steps of a proved order that do not sweep clean the other way round."""
    steps = piece.order.steps
    if not piece.order.proved or len(steps) > MOST_STEPS:
        return ()
    solid: Plates = plates(piece.posed, (), (), ())
    if piece.bent is not None:
        if not is_swept(piece.bent):
            return ()
        solid = checked_plates(solid, piece.bent, (), [])
    bones = piece.posed.bones
    angles = np.zeros(len(bones.names))
    swaps: list[Swap] = []
    for first, then in pairwise(steps):
        early = folded(bones, angles, then)
        if step_hits(solid, angles, then) or step_hits(solid, early, first):
            swaps.append(Swap(first, then))
        angles = folded(bones, angles, first)
    return tuple(swaps)


def tab_sides(piece: Folded) -> tuple[tuple[str, str, Side], ...]:
    """Each tab glued within the piece, its panel, and the side of that panel where it belongs.

    The front of a panel is the inside of the finished piece, as on the map.
    """
    turns = {name: k for k, names in enumerate(piece.order.steps) for name in names}
    return tuple(
        (join.tab, join.to, touch(piece.posed, join.tab, join.to, turns).to)
        for join in piece.joins
        if "." not in join.to and join.share > 0
    )

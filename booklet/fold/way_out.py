"""The way out: along which direction contents can be drawn out of a piece.

In: a piece in a pose and the box that its contents take. Out: one of the six directions along the
axes, or None where paper stands in every way.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from booklet.fold.bend import BentPose
from booklet.fold.cavity import Cavity, Triple
from booklet.fold.intrude import enters
from booklet.fold.pose import Floats, Posed, in_space, outline
from booklet.fold.strip import bent_outline, strips
from booklet.measure.tolerance import HAND_MM

Way = tuple[int, int]
"""An axis (0 x, 1 y, 2 z) and a sign."""

WAYS: Final[Sequence[Way]] = ((2, 1), (1, 1), (1, -1), (0, 1), (0, -1), (2, -1))
"""Toward the reader first, then along the sheet, through the table last."""


@dataclass(frozen=True, eq=False)
class Obstacles:
    """Panels as they stand in the way: their loops (n, 3) and the corners of their boxes, mm."""

    shapes: Sequence[Floats]
    lows: Floats
    highs: Floats


def obstacles(posed: Posed, bent: BentPose | None = None) -> Obstacles:
    """The panels of a pose, flat or in the shape of `bent`."""
    shapes = _flat(posed) if bent is None else _strips(bent)
    lows = np.array([shape.min(axis=0) for shape in shapes])
    return Obstacles(shapes, lows, np.array([shape.max(axis=0) for shape in shapes]))


def way_out(paper: Obstacles, low: Triple, high: Triple) -> Way | None:
    """The first direction in which the box between two corners leaves without meeting a panel."""
    lows, highs = paper.lows, paper.highs
    far = float(max(np.abs(lows).max(), np.abs(highs).max())) * 2 + 1
    for axis, sign in WAYS:
        swept = np.array([low, high], dtype=np.float64)
        swept[(1 + sign) // 2, axis] = far * sign
        near = np.flatnonzero(((lows < swept[1]) & (highs > swept[0])).all(axis=1))
        if not any(enters(paper.shapes[i], swept[0], swept[1], HAND_MM) for i in near.tolist()):
            return axis, sign
    return None


def _flat(posed: Posed) -> list[Floats]:
    return [
        in_space(posed.matrix(name), outline(panel.shape)) for name, panel in posed.panels.items()
    ]


def _strips(bent: BentPose) -> list[Floats]:
    """The outer loops of all panels, bent ones strip by strip."""
    panels = bent.posed.panels.values()
    straight = [bent_outline(bent, panel) for panel in panels if panel.name not in bent.bends]
    return [
        *straight,
        *(np.asarray(loops[0]) for name in bent.bends for loops in strips(bent, name)),
    ]


def is_shut(posed: Posed, pocket: Cavity, mouth: Way, folded: Collection[str]) -> bool:
    """Whether a flap is folded over the mouth of a pocket."""
    axis, sign = mouth
    edge = (pocket.low, pocket.high)[(1 + sign) // 2][axis]
    for hinge in posed.pattern.hinges:
        score = posed.pattern.scores[hinge.score]
        ends = in_space(posed.matrix(hinge.parent), [score.start, score.end])
        if hinge.panel in folded and float(np.abs(ends[:, axis] - edge).max()) <= HAND_MM:
            return True
    return False


def pocket_mouth(posed: Posed, pocket: Cavity) -> Way | None:
    """The side of a flat pocket that is not its fold and along which nothing else holds it."""
    if pocket.mouth is not None:
        return pocket.mouth
    fold = pocket.walls.index(False) ^ 1  # the side opposite of the one that is open
    tabs = {join.tab[1] for join in posed.pattern.joins if join.tab[0] == posed.pattern.id}
    goals = {join.to[1] for join in posed.pattern.joins if join.to[0] == posed.pattern.id}
    held = [
        in_space(
            posed.matrix(hinge.parent),
            [posed.pattern.scores[hinge.score].start, posed.pattern.scores[hinge.score].end],
        ).mean(axis=0)
        for hinge in posed.pattern.hinges
        if hinge.panel in tabs | goals
    ]
    for axis, sign in WAYS:
        if pocket.inside[axis] <= HAND_MM or 2 * axis + (sign > 0) == fold:
            continue
        edge = (pocket.low, pocket.high)[(1 + sign) // 2][axis]
        if not any(abs(float(middle[axis]) - edge) <= HAND_MM for middle in held):
            return axis, sign
    return None

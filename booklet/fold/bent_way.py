"""The way of a bent piece: does a fold of panels that bend run into anything?

In: the plates of a bent piece and its angles before a step. Out: the pairs of panels that meet on
the way, and the flaps that turn while their panels are bent already.

A fold along a curve bends both panels beside it. Three ways are tried. All panels of the step turn
together, and bend as they turn; they turn one after the other as listed, and bend as they turn;
or all that will bend is bent first, and then they turn one after the other. What joins have
closed to a ring bends together, since its two sides must stay as wide as each other. The step is
clean where one of the ways is. A flap that turns about a score that is bent already cannot keep
all its lengths on the way: by how much it would have to slip is told.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from booklet.fold.bend import BentPose, bend_half_way
from booklet.fold.bent_plate import BentPlates, bent_crossings
from booklet.fold.bulge import bulge_of, closed_rings, curved_hinges
from booklet.fold.collide import STEP_DEG, Hit, bodies, on_the_way
from booklet.fold.plate import Plates
from booklet.fold.pose import Floats, folded, pose
from booklet.measure.tolerance import ANGLE_DEG, HAND_MM

WIDE_STEP_DEG = 15.0
"""Degrees between two poses at most: the way of a flap as deep as `FAR_MM` or less."""
FAR_MM = 8.0
"""What a flap's edge may move from one pose to the next: panels are wider."""


@dataclass(frozen=True, eq=False)
class Met:
    """Two panels that meet on the way from the angles `before` to the angles `after`."""

    hit: Hit
    before: Floats
    after: Floats


@dataclass(frozen=True)
class BentSweep:
    """What meets in a step, and how far (mm) which flaps would have to slip along their rulings."""

    met: tuple[Met, ...]
    gives: Mapping[str, float]


@dataclass(frozen=True, eq=False)
class _Move:
    """Angles and bulges (degrees for which panels are bent), both of all panels."""

    before: Floats
    after: Floats
    flat: Floats
    bent: Floats


def bent_step(
    plates: Plates, before: Floats, panels: Sequence[str], first_only: bool = False
) -> BentSweep | None:
    """Sweep one step; None where nothing is bent in it, so that flat plates say all.

    With `first_only` the search ends at the first pose that shows a collision.
    """
    if not isinstance(plates, BentPlates):
        return None
    after = folded(plates.bones, before, panels)
    curved = [plates.bones.index[name] for name in curved_hinges(plates.posed.pattern)]
    if np.abs([before[curved], after[curved]]).max(initial=0.0) <= ANGLE_DEG:
        return None
    if plates.crossed:
        return BentSweep((), {})
    way: list[_Move] = []
    swept = BentSweep((), {})
    for way in _ways(plates, before, panels):
        swept = _swept(plates, way, after, first_only=True)
        if not swept.met:
            return swept
    return swept if first_only else _swept(plates, way, after, first_only=False)


def _ways(plates: BentPlates, before: Floats, panels: Sequence[str]) -> Iterator[list[_Move]]:
    """The ways that are tried, the last one leaving the most room."""
    states = [before]
    for name in panels:
        states.append(folded(plates.bones, states[-1], [name]))
    closed = closed_rings(plates.posed, plates.rings, before)
    bulges = [bulge_of(plates.posed, state, closed) for state in states]
    flat, full = bulges[0], bulges[-1]
    yield [_Move(before, states[-1], flat, full)]
    steps = list(zip(states[:-1], states[1:], bulges[:-1], bulges[1:], strict=True))
    if len(steps) > 1:
        yield [_Move(*step) for step in steps]
    if np.abs(full - flat).max() > ANGLE_DEG:
        turns = [_Move(first, then, full, full) for first, then, _, _ in steps]
        yield [_Move(before, before, flat, full), *turns]


def _swept(plates: BentPlates, way: Sequence[_Move], last: Floats, first_only: bool) -> BentSweep:
    """All that meets on one way, each pair when it first does; `last` are the angles at the end."""
    met: dict[tuple[int, int], Met] = {}
    gives: dict[str, float] = {}
    for move in way:
        turning = np.abs(move.after - move.before) > ANGLE_DEG
        steady = np.abs(move.bent - move.flat).max() <= ANGLE_DEG
        body = bodies(plates.bones, turning) if steady else None
        until = move.after if turning.any() else last
        for share, bent in _poses(plates, move):
            _note(bent, gives)
            for pair in bent_crossings(plates, bent, body, first_only):
                hit = Hit(*pair, share if turning.any() else 0.0)
                met.setdefault(pair, Met(hit, move.before, until))
            if met and first_only:
                return BentSweep(tuple(met.values()), gives)
    return BentSweep(tuple(met.values()), gives)


def _poses(plates: BentPlates, move: _Move) -> Iterator[tuple[float, BentPose]]:
    """The poses of one move with the share of it that is done."""
    shares = np.linspace(0.0, 1.0, _count(plates, move) + 1)[1:]
    angles = on_the_way(plates, move.before, move.after, shares)
    bulges = move.flat + shares[:, None] * (move.bent - move.flat)
    for share, now, bulge, matrices in zip(
        shares.tolist(), angles, bulges, pose(plates.bones, angles), strict=True
    ):
        posed = replace(plates.posed, matrices=matrices)
        yield share, bend_half_way(posed, plates.groups, now, bulge)


def _count(plates: BentPlates, move: _Move) -> int:
    """Poses of a move: more where a long panel turns."""
    turn = np.abs(move.after - move.before)
    widest = float(max(turn.max(), np.abs(move.bent - move.flat).max()))
    far = max(
        (_depth(plates, int(i)) * math.radians(float(turn[i])) for i in np.flatnonzero(turn)),
        default=0.0,
    )
    count = max(widest / WIDE_STEP_DEG, far / FAR_MM)
    return math.ceil(max(1.0, min(count, widest / STEP_DEG)))


def _depth(plates: BentPlates, panel: int) -> float:
    """How far a panel reaches from its hinge."""
    name = plates.bones.names[panel]
    points = np.asarray(plates.posed.panels[name].shape.exterior.coords)[:, :2]
    (ax, ay), (x, y) = plates.bones.axes[panel, :2], plates.bones.starts[panel, :2]
    return float(np.abs((points - [x, y]) @ np.array([-ay, ax])).max())


def _note(bent: BentPose, gives: dict[str, float]) -> None:
    """Keep how far each flap slips along its rulings, where a hand would notice."""
    for name, bend in bent.bends.items():
        if bend.slips is not None:
            slip = float(np.ptp(bend.slips))
            if slip > max(HAND_MM, gives.get(name, 0.0)):
                gives[name] = slip

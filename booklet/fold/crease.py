"""Curved scores as they lie in the flat, and the cylinders that panels beside them become.

In: a posed piece, of which only the flat counts. Out: a `Group` for all panels that bend together,
with the `Crease` of each curved score: all that does not depend on how far anything is folded.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from booklet.flat.linework import split_commands
from booklet.flat.path import Path, Point
from booklet.flat.pattern import Hinge, Pattern, Score
from booklet.fold.pose import Floats, Posed

SAMPLES = 32
"""Points along each Bézier of a curved score: a part of 50 mm bowed by 5 mm strays from its chords
by less than 0.01 mm."""
STRIPS = 12
"""Flat strips that pictures, sweeps and the room inside take a bent panel for."""
SKEWED = 0.1
"""Sine of the angle between two chords above which they share no rulings at all."""


@dataclass(frozen=True, eq=False)
class Bend:
    """A panel as a cylinder: u runs from `origin` along `across`, rulings along `along` (flat).

    A point at u comes to lie at `xs` along across and `zs` above the flat (toward the front), both
    by linear interpolation over `us`; beyond the ends it goes on straight. mm. `slips` say how
    far it comes along its ruling: nothing where paper keeps its lengths, None for that. Taken for
    flat strips it has so many `parts`.
    """

    origin: Point
    across: Point
    us: Floats
    xs: Floats
    zs: Floats
    slips: Floats | None = None
    parts: int = STRIPS

    @property
    def along(self) -> Point:
        """The direction of the rulings, to the left of `across`."""
        return -self.across[1], self.across[0]

    def u(self, points: Floats) -> Floats:
        """How far along `across` flat points (n, 2) lie."""
        found: Floats = (points - np.asarray(self.origin)) @ np.asarray(self.across)
        return found

    def at(self, points: Floats) -> Floats:
        """Flat points (n, 2) bent, (n, 3), still in the frame of the flat."""
        u = self.u(points)
        x = interpolated(u, self.us, self.xs)
        z = interpolated(u, self.us, self.zs)
        flat = points + (x - u)[:, None] * np.asarray(self.across)
        if self.slips is not None:
            slip = interpolated(u, self.us, self.slips)
            flat += slip[:, None] * np.asarray(self.along)
        return np.column_stack([flat, z])

    def stations(self) -> Floats:
        """The ends of its equal strips."""
        return np.linspace(float(self.us[0]), float(self.us[-1]), self.parts + 1)

    def coarse(self) -> Bend:
        """The same panel as flat strips between its stations."""
        us = self.stations()
        xs, zs = np.interp(us, self.us, self.xs), np.interp(us, self.us, self.zs)
        slips = None if self.slips is None else np.interp(us, self.us, self.slips)
        return replace(self, us=us, xs=xs, zs=zs, slips=slips)


def interpolated(at: Floats, us: Floats, values: Floats) -> Floats:
    """Linear interpolation that goes on straight beyond the ends."""
    found = np.interp(at, us, values)
    first = (values[1] - values[0]) / (us[1] - us[0])
    last = (values[-1] - values[-2]) / (us[-1] - us[-2])
    found = np.where(at < us[0], values[0] + first * (at - us[0]), found)
    return np.where(at > us[-1], values[-1] + last * (at - us[-1]), found)


@dataclass(frozen=True, eq=False)
class Crease:
    """A curved score over its group's u: the score lies `fs` beyond its chord, toward the child.

    `side` is 1 where the score's parent looks up with the group's first panel, else -1; `outward`
    is 1 where the child lies toward the group's `along`, else -1.
    """

    hinge: Hinge
    us: Floats
    fs: Floats
    side: float
    outward: float

    def asks(self, degrees: float) -> Floats:
        """The heights that a fold by this angle asks of the group's first panel."""
        return self.side * factor(degrees) * self.fs


@dataclass(frozen=True, eq=False)
class Group:
    """Panels joined by curved scores: they share their rulings. They reach from `low` to `high`."""

    top: str
    frame: Bend
    low: float
    high: float
    creases: tuple[Crease, ...]


def factor(degrees: float) -> float:
    """How high a panel bends for each mm of its score's bow, at this angle."""
    return math.tan(math.radians(max(-179.9, min(179.9, degrees))) / 2)


def bent_groups(posed: Posed) -> tuple[Group, ...]:
    """All groups of panels that bend together, from the root outward."""
    return tuple(_group(posed, top, hinges) for top, hinges in _groups(posed.pattern).items())


def _group(posed: Posed, top: str, hinges: Sequence[Hinge]) -> Group:
    pattern = posed.pattern
    ends = {h: (pattern.scores[h.score].start, pattern.scores[h.score].end) for h in hinges}
    widest = max(hinges, key=lambda h: math.dist(*ends[h]))
    score = pattern.scores[widest.score]
    frame = Bend(score.start, unit_of(score), np.zeros(2), np.zeros(2), np.zeros(2))
    names = {name for hinge in hinges for name in (hinge.panel, hinge.parent)}
    reach = np.concatenate(
        [frame.u(np.asarray(posed.panels[n].shape.exterior.coords)[:, :2]) for n in names]
    )
    sides = {top: 1.0}
    creases = []
    for hinge in hinges:
        sides[hinge.panel] = -sides[hinge.parent]
        creases.append(_crease(posed, hinge, frame, sides[hinge.parent]))
    return Group(top, frame, float(reach.min()), float(reach.max()), tuple(creases))


def _groups(pattern: Pattern) -> dict[str, list[Hinge]]:
    """Curved hinges by the panel nearest to the root among those that bend together."""
    top: dict[str, str] = {}
    groups: dict[str, list[Hinge]] = {}
    for hinge in pattern.hinges:
        if pattern.scores[hinge.score].curve is not None:
            first = top.setdefault(hinge.parent, hinge.parent)
            top[hinge.panel] = first
            groups.setdefault(first, []).append(hinge)
    return groups


def unit_of(score: Score) -> Point:
    """The unit direction of a score's chord."""
    (x0, y0), (x1, y1) = score.start, score.end
    size = math.dist(score.start, score.end)
    return (x1 - x0) / size, (y1 - y0) / size


def _crease(posed: Posed, hinge: Hinge, frame: Bend, side: float) -> Crease:
    score = posed.pattern.scores[hinge.score]
    assert score.curve is not None
    points = np.asarray(samples(score.curve))
    chord = np.subtract(score.end, score.start)
    if abs(float(chord @ np.asarray(frame.along))) > SKEWED * math.dist(score.start, score.end):
        frame = replace(frame, across=unit_of(score))  # refused later; it is measured by itself
    us = frame.u(points)
    if us[0] > us[-1]:
        us, points = us[::-1], points[::-1]
    child = posed.bones.index[hinge.panel]
    start, axis = posed.bones.starts[child, :2], posed.bones.axes[child, :2]
    outward = np.array([-axis[1], axis[0]])
    fs = (points - start) @ outward
    rising = np.concatenate([[True], np.diff(np.maximum.accumulate(us)) > 0])
    toward = 1.0 if outward @ np.asarray(frame.along) > 0 else -1.0
    return Crease(hinge, us[rising], fs[rising], side, toward)


@functools.lru_cache(maxsize=64)
def samples(path: Path) -> tuple[Point, ...]:
    """Points along a path, SAMPLES for each curve and line, both ends included.

    Each pose of a piece asks for those of the same few scores again.
    """
    points: list[Point] = []
    for part in split_commands(path):
        first, last = part.commands[0], part.commands[1]
        assert first[0] == "M"
        a = first[1]
        if last[0] == "C":
            b, c, d = last[1], last[2], last[3]
        else:
            assert last[0] == "L"
            d = last[1]
            b, c = ((a[0] + (d[0] - a[0]) * t, a[1] + (d[1] - a[1]) * t) for t in (1 / 3, 2 / 3))
        for k in range(0 if not points else 1, SAMPLES + 1):
            t = k / SAMPLES
            w = (1 - t) ** 3, 3 * (1 - t) ** 2 * t, 3 * (1 - t) * t * t, t**3
            points.append(
                (
                    w[0] * a[0] + w[1] * b[0] + w[2] * c[0] + w[3] * d[0],
                    w[0] * a[1] + w[1] * b[1] + w[2] * c[1] + w[3] * d[1],
                )
            )
    return tuple(points)

"""Curved scores: panels that bend when they are folded along a curve.

In: a posed piece and the angle of each panel. Out: a `BentPose` that sends flat points of every
panel to the folded frame, or None where no score is curved.

The model. A panel beside a curved score becomes a general cylinder: its rulings stay parallel and
run square to the score's chord. Cut such a cylinder by a plane and mirror in the plane what lies
beyond: no length in the sheet changes, and the cut is a fold along a plane curve. The flat score
f(u), measured beyond its chord, then fixes the cylinder: for a fold by the angle p its height is
z(u) = tan(p / 2) f(u), and the flap is the mirrored rest. So rulings keep their direction, both
sheets make the same angle with the plane of the crease (D. Fuchs and S. Tabachnikov, "More on
paperfolding", American Mathematical Monthly 106, 1999; J. P. Duncan and J. L. Duncan, "Folded
developables", Proc. R. Soc. Lond. A 383, 1982; both from memory, checked in tests). Where a panel
has two curved scores that ask for different cylinders, the deeper one is taken and the difference
told as the error.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from booklet.flat.linework import split_commands
from booklet.flat.path import Path, Point
from booklet.flat.pattern import Hinge, Pattern, Score
from booklet.fold.pose import Floats, Posed, hinge_axis

SAMPLES = 32
"""Points along each Bézier of a curved score: a part of 50 mm bowed by 5 mm strays from its chords
by less than 0.01 mm."""
STRIPS = 12
"""Flat strips that pictures and the room inside take a bent panel for."""
SKEWED = 0.1
"""Sine of the angle between two chords above which they share no rulings at all."""
UNFOLDED = 1e-3
"""Tangent of half an angle below which a curved score counts as flat."""
STEEP = 1.001
"""How much steeper than the sheet allows a chord of the score may be before it is refused."""


@dataclass(frozen=True, eq=False)
class Bend:
    """A panel as a cylinder: u runs from `origin` along `across`, rulings along `along` (flat).

    A point at u comes to lie at `xs` along across and `zs` above the flat (toward the front), both
    by linear interpolation over `us`; beyond the ends it goes on straight. mm.
    """

    origin: Point
    across: Point
    us: Floats
    xs: Floats
    zs: Floats

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
        x = _interp(u, self.us, self.xs)
        z = _interp(u, self.us, self.zs)
        flat = points + (x - u)[:, None] * np.asarray(self.across)
        return np.column_stack([flat, z])

    def stations(self) -> Floats:
        """The ends of STRIPS equal strips."""
        return np.linspace(float(self.us[0]), float(self.us[-1]), STRIPS + 1)

    def coarse(self) -> Bend:
        """The same panel as flat strips between its stations."""
        us = self.stations()
        xs, zs = _interp(us, self.us, self.xs), _interp(us, self.us, self.zs)
        return replace(self, us=us, xs=xs, zs=zs)


@dataclass(frozen=True, eq=False)
class CurvedScore:
    """One curved score: `angle` degrees, `bow` how deep the panel bends (mm), `error` mm.

    `steep` is the largest slope of the score against its chord times tan(angle / 2): above 1 the
    sheet cannot reach that angle. `skew` is how far its chord is from parallel to that of the
    first score of its panels (degrees).
    """

    hinge: Hinge
    score: Score
    angle: float
    bow: float
    error: float
    steep: float
    slope: float
    skew: float


@dataclass(frozen=True, eq=False)
class BentPose:
    """A posed piece with bent panels; `shifts` (mm, folded frame) move panels hung on bent ones."""

    posed: Posed
    bends: Mapping[str, Bend]
    shifts: Mapping[str, Floats]
    scores: tuple[CurvedScore, ...]

    def place(self, name: str, points: Floats, coarse: bool = False) -> Floats:
        """Flat points (n, 2) of a panel in the folded frame, (n, 3)."""
        return self._lift(name, _flat(self._bend(name, coarse), points))

    def _bend(self, name: str, coarse: bool) -> Bend | None:
        bend = self.bends.get(name)
        return bend.coarse() if bend is not None and coarse else bend

    def _lift(self, name: str, points: Floats) -> Floats:
        matrix = self.posed.matrix(name)
        moved: Floats = points @ matrix[:3, :3].T + matrix[:3, 3] + self.shifts[name]
        return moved


def _flat(bend: Bend | None, points: Floats) -> Floats:
    if bend is not None:
        return bend.at(points)
    return np.column_stack([points, np.zeros(len(points))])


def _interp(at: Floats, us: Floats, values: Floats) -> Floats:
    """Linear interpolation that goes on straight beyond the ends."""
    found = np.interp(at, us, values)
    first = (values[1] - values[0]) / (us[1] - us[0])
    last = (values[-1] - values[-2]) / (us[-1] - us[-2])
    found = np.where(at < us[0], values[0] + first * (at - us[0]), found)
    return np.where(at > us[-1], values[-1] + last * (at - us[-1]), found)


def curved_panels(pattern: Pattern) -> frozenset[str]:
    """The panels that bend: those beside a curved score."""
    return frozenset(n for s in pattern.scores if s.curve is not None for n in s.between)


def bend_piece(posed: Posed, degrees: Floats) -> BentPose | None:
    """The piece with panels bent as their curved scores ask at these angles (one per panel)."""
    pattern = posed.pattern
    groups = _groups(pattern)
    if not groups:
        return None
    bends: dict[str, Bend] = {}
    offsets: dict[str, float] = {}
    scores: list[CurvedScore] = []
    for top, hinges in groups.items():
        made, rise = _bend_group(posed, top, hinges, degrees, scores)
        bends |= made
        offsets |= rise
    return BentPose(posed, bends, _shifts(posed, bends, offsets), tuple(scores))


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


def _bend_group(
    posed: Posed, top: str, hinges: list[Hinge], degrees: Floats, found: list[CurvedScore]
) -> tuple[dict[str, Bend], dict[str, float]]:
    """Bends of panels joined by curved scores, and how high each flap's chord is lifted."""
    pattern = posed.pattern
    ends = {h: (pattern.scores[h.score].start, pattern.scores[h.score].end) for h in hinges}
    widest = max(hinges, key=lambda h: math.dist(*ends[h]))
    score = pattern.scores[widest.score]
    frame = Bend(score.start, unit_of(score), np.zeros(2), np.zeros(2), np.zeros(2))
    names = {name for hinge in hinges for name in (hinge.panel, hinge.parent)}
    reach = np.concatenate(
        [frame.u(np.asarray(posed.panels[n].shape.exterior.coords)[:, :2]) for n in names]
    )
    signs = {top: 1.0}
    curves = []
    for hinge in hinges:
        signs[hinge.panel] = -signs[hinge.parent]
        curves.append(_heights(posed, hinge, frame, degrees, signs[hinge.parent]))
    deepest = max(curves, key=lambda curve: float(np.ptp(curve.us)) * 1e-6 + np.ptp(curve.zs))
    us, zs = _extended(deepest.us, deepest.zs, float(reach.min()), float(reach.max()))
    steps = np.sqrt(np.maximum(0.0, np.diff(us) ** 2 - np.diff(zs) ** 2))
    xs = np.concatenate([[0.0], np.cumsum(steps)])
    middle = (float(deepest.us[0]) + float(deepest.us[-1])) / 2
    xs += middle - float(np.interp(middle, us, xs))
    bends = {top: replace(frame, us=us, xs=xs, zs=zs)}
    rise = {}
    for hinge, curve in zip(hinges, curves, strict=True):
        above = bends[hinge.parent]
        if abs(curve.factor) < UNFOLDED:  # not folded yet: the flap goes on as its panel bends
            bends[hinge.panel], rise[hinge.panel] = above, 0.0
            continue
        chord = _interp(curve.us[[0, -1]], us, above.zs)
        rise[hinge.panel] = float(chord.mean())
        bends[hinge.panel] = replace(above, zs=rise[hinge.panel] - above.zs)
        found.append(_told(posed, hinge, curve, above, rise[hinge.panel], degrees, frame))
    return bends, rise


def unit_of(score: Score) -> Point:
    """The unit direction of a score's chord."""
    (x0, y0), (x1, y1) = score.start, score.end
    size = math.dist(score.start, score.end)
    return (x1 - x0) / size, (y1 - y0) / size


@dataclass(frozen=True, eq=False)
class _Curve:
    """A score over the group's u: `zs` are the heights that it asks of the group's top panel."""

    us: Floats
    fs: Floats
    zs: Floats
    factor: float


def _heights(posed: Posed, hinge: Hinge, frame: Bend, degrees: Floats, sign: float) -> _Curve:
    score = posed.pattern.scores[hinge.score]
    assert score.curve is not None
    points = np.asarray(samples(score.curve))
    chord = np.subtract(score.end, score.start)
    if abs(float(chord @ np.asarray(frame.along))) > SKEWED * math.dist(score.start, score.end):
        frame = replace(frame, across=unit_of(score))  # refused later; it is measured by itself
    us = frame.u(points)
    if us[0] > us[-1]:
        us, points = us[::-1], points[::-1]
    start, axis = hinge_axis(posed.panels[hinge.panel], hinge.parent, score)
    outward = np.array([-axis[1], axis[0]])
    fs = (points - np.asarray(start)) @ outward
    angle = float(degrees[posed.bones.index[hinge.panel]])
    factor = math.tan(math.radians(max(-179.9, min(179.9, angle))) / 2)
    rising = np.concatenate([[True], np.diff(np.maximum.accumulate(us)) > 0])
    return _Curve(us[rising], fs[rising], sign * factor * fs[rising], factor)


def samples(path: Path) -> list[Point]:
    """Points along a path, SAMPLES for each curve and line, both ends included."""
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
    return points


def _extended(us: Floats, zs: Floats, low: float, high: float) -> tuple[Floats, Floats]:
    """The profile from the panels' one side to the other, straight beyond the score's ends."""
    before = [low] if low < us[0] - 1e-6 else []
    after = [high] if high > us[-1] + 1e-6 else []
    whole = np.concatenate([before, us, after])
    return whole, _interp(whole, us, zs)


def _told(
    posed: Posed,
    hinge: Hinge,
    curve: _Curve,
    above: Bend,
    rise: float,
    degrees: Floats,
    frame: Bend,
) -> CurvedScore:
    """What there is to say of a curved score; the error is what a caller can see of the model."""
    score = posed.pattern.scores[hinge.score]
    wanted = curve.factor * curve.fs + rise
    differs = np.abs(wanted - _interp(curve.us, above.us, above.zs)).max()
    fine, coarse = above.zs, _interp(above.us, above.coarse().us, above.coarse().zs)
    slopes = np.abs(np.diff(curve.fs)) / np.maximum(np.diff(curve.us), 1e-12)
    slope = float(slopes.max())
    chord = np.subtract(score.end, score.start)
    turn = abs(float(chord @ np.asarray(frame.along) / np.linalg.norm(chord)))
    return CurvedScore(
        hinge=hinge,
        score=score,
        angle=float(degrees[posed.bones.index[hinge.panel]]),
        bow=float(np.ptp(above.zs)),
        error=max(float(differs), float(np.abs(fine - coarse).max())),
        steep=slope * abs(curve.factor),
        slope=slope,
        skew=math.degrees(math.asin(min(1.0, turn))),
    )


def _shifts(
    posed: Posed, bends: Mapping[str, Bend], rise: Mapping[str, float]
) -> dict[str, Floats]:
    """How far each panel is carried by the bending of those that it hangs on.

    The middle of a bent root stays where it lies. A flap's chord rises with its panel. What hangs
    on a bent panel by a straight score moves with the place of that score.
    """
    pattern = posed.pattern

    def carried(name: str, point: Point) -> Floats:
        flat = np.array([point])
        moved = _flat(bends.get(name), flat)[0] - np.array([*point, 0.0])
        found: Floats = posed.matrix(name)[:3, :3] @ moved
        return found

    root = bends.get(pattern.root)
    start = np.zeros(3)
    if root is not None:
        middle = (float(root.us[0]) + float(root.us[-1])) / 2
        start = np.array([0.0, 0.0, -float(np.interp(middle, root.us, root.zs))])
    shifts: dict[str, Floats] = {pattern.root: start}
    for hinge in pattern.hinges:
        score = pattern.scores[hinge.score]
        if hinge.panel in rise:
            lift = posed.matrix(hinge.parent)[:3, 2] * rise[hinge.panel]
            shifts[hinge.panel] = shifts[hinge.parent] + lift
            continue
        middle_point = (
            (score.start[0] + score.end[0]) / 2,
            (score.start[1] + score.end[1]) / 2,
        )
        moved = carried(hinge.parent, middle_point) - carried(hinge.panel, middle_point)
        shifts[hinge.panel] = shifts[hinge.parent] + moved
    return shifts

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
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from booklet.flat.path import Point
from booklet.flat.pattern import Hinge, Pattern, Score
from booklet.fold.crease import Bend, Crease, Group, bent_groups, factor, interpolated
from booklet.fold.pose import Floats, Posed

UNFOLDED = 1e-3
"""Tangent of half an angle below which a curved score counts as flat."""
STEEP = 1.001
"""How much steeper than the sheet allows a chord of the score may be before it is refused."""


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


def curved_panels(pattern: Pattern) -> frozenset[str]:
    """The panels that bend: those beside a curved score."""
    return frozenset(n for s in pattern.scores if s.curve is not None for n in s.between)


def bend_piece(posed: Posed, degrees: Floats) -> BentPose | None:
    """The piece with panels bent as their curved scores ask at these angles (one per panel)."""
    groups = bent_groups(posed)
    if not groups:
        return None
    bends: dict[str, Bend] = {}
    rise: dict[str, float] = {}
    scores: list[CurvedScore] = []
    for group in groups:
        profile = _profile(posed, group, degrees)
        bends[group.top] = profile
        for crease in group.creases:
            name, above = crease.hinge.panel, bends[crease.hinge.parent]
            angle = float(degrees[posed.bones.index[name]])
            bends[name], rise[name] = _flap(crease, above, angle)
            if abs(factor(angle)) >= UNFOLDED:
                scores.append(_told(posed, crease, above, rise[name], angle, group.frame))
    return BentPose(posed, bends, _shifts(posed, bends, rise), tuple(scores))


def bend_half_way(
    posed: Posed, groups: Sequence[Group], degrees: Floats, bulge: Floats
) -> BentPose:
    """A piece on its way: posed at `degrees`, its panels bent as for folds by `bulge`.

    A flap whose fold is not what its panel's bend asks for turns about its score all the same, with
    straight rulings: then it slips along them, that is, the paper has to give.
    """
    bends: dict[str, Bend] = {}
    rise: dict[str, float] = {}
    for group in groups:
        bends[group.top] = _profile(posed, group, bulge)
        for crease in group.creases:
            name, above = crease.hinge.panel, bends[crease.hinge.parent]
            angle = float(degrees[posed.bones.index[name]])
            bends[name], rise[name] = _turned(crease, above, angle)
    return BentPose(posed, bends, _shifts(posed, bends, rise), ())


def _turned(crease: Crease, above: Bend, angle: float) -> tuple[Bend, float]:
    """A flap turned by any angle about the score where its panel holds it, and its chord's rise.

    In the parent's frame the flap goes on from (out, high) at each u; its own frame is that one
    turned by the angle about the chord. Where the angle is what the bend asks for, nothing slips,
    and it is the mirrored rest of its panel.
    """
    if abs(factor(angle)) < UNFOLDED:
        return above, 0.0
    rise = float(interpolated(crease.us[[0, -1]], above.us, above.zs).mean())
    flat = interpolated(above.us, crease.us, crease.fs)
    out = flat if above.slips is None else flat + crease.outward * above.slips
    high = above.zs - rise
    cos, sin = math.cos(math.radians(angle)), math.sin(math.radians(angle))
    slips = crease.outward * (out * cos + high * sin - flat)
    return replace(above, zs=high * cos - out * sin, slips=slips), rise


def _profile(posed: Posed, group: Group, degrees: Floats) -> Bend:
    """The group's first panel, bent as the deepest of its scores asks."""
    index = posed.bones.index
    asked = [
        (crease, crease.asks(float(degrees[index[crease.hinge.panel]]))) for crease in group.creases
    ]
    crease, heights = max(asked, key=lambda one: float(np.ptp(one[0].us)) * 1e-6 + np.ptp(one[1]))
    us, zs = _extended(crease.us, heights, group.low, group.high)
    steps = np.sqrt(np.maximum(0.0, np.diff(us) ** 2 - np.diff(zs) ** 2))
    xs = np.concatenate([[0.0], np.cumsum(steps)])
    middle = (float(crease.us[0]) + float(crease.us[-1])) / 2
    xs += middle - float(np.interp(middle, us, xs))
    return replace(group.frame, us=us, xs=xs, zs=zs)


def _flap(crease: Crease, above: Bend, angle: float) -> tuple[Bend, float]:
    """A flap as the mirrored rest of its panel, and how high its chord is lifted."""
    if abs(factor(angle)) < UNFOLDED:  # not folded yet: the flap goes on as its panel bends
        return above, 0.0
    rise = float(interpolated(crease.us[[0, -1]], above.us, above.zs).mean())
    return replace(above, zs=rise - above.zs), rise


def _extended(us: Floats, zs: Floats, low: float, high: float) -> tuple[Floats, Floats]:
    """The profile from the panels' one side to the other, straight beyond the score's ends."""
    before = [low] if low < us[0] - 1e-6 else []
    after = [high] if high > us[-1] + 1e-6 else []
    whole = np.concatenate([before, us, after])
    return whole, interpolated(whole, us, zs)


def _told(
    posed: Posed, crease: Crease, above: Bend, rise: float, angle: float, frame: Bend
) -> CurvedScore:
    """What there is to say of a curved score; the error is what a caller can see of the model."""
    score = posed.pattern.scores[crease.hinge.score]
    wanted = factor(angle) * crease.fs + rise
    differs = np.abs(wanted - interpolated(crease.us, above.us, above.zs)).max()
    fine, coarse = above.zs, interpolated(above.us, above.coarse().us, above.coarse().zs)
    slopes = np.abs(np.diff(crease.fs)) / np.maximum(np.diff(crease.us), 1e-12)
    slope = float(slopes.max())
    chord = np.subtract(score.end, score.start)
    turn = abs(float(chord @ np.asarray(frame.along) / np.linalg.norm(chord)))
    return CurvedScore(
        hinge=crease.hinge,
        score=score,
        angle=angle,
        bow=float(np.ptp(above.zs)),
        error=max(float(differs), float(np.abs(fine - coarse).max())),
        steep=slope * abs(factor(angle)),
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

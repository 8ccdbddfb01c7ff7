"""Panels round a corner move together: how, from flat to folded?

In: the hinge tree and a cluster of panels whose scores run all the way round a corner. Out: a
`Motion`, angles on the way at which every score of the cluster stays closed; or None.

The way is found backwards, from the folded shape, in which the branch is known (flat, every one
of them meets). Each pose is a step toward flat of all angles alike, brought back to where the ring
closes by Newton's method with the smallest change of angles (Gauss and Newton's, from memory). At
a corner of four scores there is one such way; where more scores meet it is one of many.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

import numpy as np

from booklet.flat.pattern import Pattern, Score
from booklet.fold.pose import Floats, Ints, Skeleton, pose
from booklet.measure.tolerance import ANGLE_DEG, SAME_MM

STEPS = 60
"""Poses on the way: 3 degrees for a fold by 180."""

JUMP = 6.0
"""How many steps' worth an angle may change from one pose to the next; more is another branch."""

MOST_PANELS = 12
"""Panels of a cluster that is tried: a gusset corner has five or six."""

TINY = 1e-4
"""Degrees by which an angle is moved to see what follows."""


@dataclass(frozen=True, eq=False)
class Motion:
    """Angles (poses, members) in degrees of the panels `members` (indexes), flat to folded.

    `shares` (poses) run from 0 to 1. `only` says that there is no other way: the angles follow
    from one of them, so that what runs into each other on it always does.
    """

    members: Ints
    shares: Floats
    angles: Floats
    only: bool

    def at(self, shares: Floats) -> Floats:
        """Angles (shares, members) in between."""
        columns = [np.interp(shares, self.shares, column) for column in self.angles.T]
        return np.stack(columns, axis=1)


def ring_motion(pattern: Pattern, bones: Skeleton, cluster: Collection[str]) -> Motion | None:
    """The way of one cluster, or None where none is found that leads back to flat."""
    if len(cluster) > MOST_PANELS:
        return None
    part = _part(bones, cluster)
    tree = {hinge.score for hinge in pattern.hinges}
    closing = [
        score
        for number, score in enumerate(pattern.scores)
        if number not in tree and set(score.between) <= set(part.names)
    ]
    moving = np.flatnonzero(np.abs(part.targets) > ANGLE_DEG)
    if not len(moving) or not closing:
        return None
    widest = float(np.abs(part.targets).max())
    now, way = part.targets, [part.targets]
    for share in np.linspace(1.0, 0.0, STEPS + 1)[1:-1]:
        driven = _closed(part, closing, moving, now, part.targets, float(share))
        if driven is None or np.abs(driven - now).max() > JUMP * widest / STEPS:
            return None
        now = driven
        way.append(now)
    if np.abs(now).max() > JUMP * widest / STEPS:
        return None
    way.append(np.zeros(len(part.names)))
    members = np.array([bones.index[part.names[i]] for i in moving], dtype=np.intp)
    only = _freedom(part, closing, moving, way[len(way) // 2]) == 1
    return Motion(members, np.linspace(0.0, 1.0, len(way)), np.array(way[::-1])[:, moving], only)


def _part(bones: Skeleton, cluster: Collection[str]) -> Skeleton:
    """The hinge tree of the cluster alone; its uppermost panel is the root."""
    order = [i for i in range(len(bones.names)) if bones.names[i] in cluster]
    order.sort(key=lambda i: len(bones.way_up(i)))
    own = {old: new for new, old in enumerate(order)}
    parents = np.array([own.get(int(bones.parents[i]), -1) for i in order], dtype=np.intp)
    depth = [0] * len(order)
    for i, parent in enumerate(parents):
        depth[i] = depth[parent] + 1 if parent >= 0 else 0
    levels = tuple(
        np.flatnonzero(np.array(depth) == level).astype(np.intp)
        for level in range(1, max(depth) + 1)
    )
    targets = np.where(parents >= 0, bones.targets[order], 0.0)
    axes = np.where((parents >= 0)[:, None], bones.axes[order], np.array([1.0, 0.0, 0.0]))
    names = tuple(bones.names[i] for i in order)
    index = {name: i for i, name in enumerate(names)}
    return Skeleton(names, index, parents, levels, bones.starts[order], axes, targets)


def _closed(
    part: Skeleton, closing: list[Score], moving: Ints, near: Floats, whole: Floats, share: float
) -> Floats | None:
    """Angles near the last ones at which the widest fold stands at `share` and all closes."""
    lead = int(np.abs(whole).argmax())
    free = moving[moving != lead]
    angles: Floats = near * (share * whole[lead] / near[lead])  # all of them a step flatter
    for _ in range(30):
        gaps, slopes = _slopes(part, closing, free, angles)
        if np.abs(gaps).max() < SAME_MM:
            return angles
        change, *_ = np.linalg.lstsq(slopes, -gaps, rcond=1e-6)
        angles[free] += np.clip(change, -10.0, 10.0)
    return None


def _freedom(part: Skeleton, closing: list[Score], moving: Ints, angles: Floats) -> int:
    """How many angles may be chosen in this pose, the others following from them."""
    _, slopes = _slopes(part, closing, moving, angles)
    strengths = np.linalg.svd(slopes, compute_uv=False)
    return len(moving) - int((strengths > strengths.max() * 1e-4).sum())


def _slopes(
    part: Skeleton, closing: list[Score], free: Ints, angles: Floats
) -> tuple[Floats, Floats]:
    """How far the scores are open, mm, and how that changes with each free angle, mm a degree."""
    variants = np.repeat(angles[None, :], len(free) + 1, axis=0)
    variants[np.arange(1, len(free) + 1), free] += TINY
    gaps = _open(part, closing, pose(part, variants))
    return gaps[0], (gaps[1:] - gaps[0]).T / TINY


def _open(part: Skeleton, closing: list[Score], matrices: Floats) -> Floats:
    """How far both sides of each closing score are apart, mm, (variants, 6 for each score)."""
    apart: list[Floats] = []
    for score in closing:
        first, second = (part.index[name] for name in score.between)
        ends = np.array([[*score.start, 0.0, 1.0], [*score.end, 0.0, 1.0]])
        between = matrices[:, first] - matrices[:, second]
        apart.append((between[:, :3] @ ends.T).reshape(len(matrices), -1))
    return np.concatenate(apart, axis=1)

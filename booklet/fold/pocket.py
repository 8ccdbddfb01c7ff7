"""Flat pockets: two layers that lie on each other, open along one side (an envelope).

In: a piece in its final pose, or several that are glued. Out: a `Cavity` of deep 0, or None. A
pocket is a panel folded flat (180 degrees) onto the one that it hangs on, and held there by a join
of its own or of its flaps; or a panel that two or more of its tabs hold to one of another piece.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from shapely import get_coordinates

from booklet.flat.path import Point
from booklet.flat.pattern import Hinge, Pattern
from booklet.fold.cavity import Cavity
from booklet.fold.intrude import enters
from booklet.fold.join import landing, reach, shared_area
from booklet.fold.pose import Floats, Placed, Posed, in_space, outline
from booklet.fold.way_out import WAYS
from booklet.measure.tolerance import HAND_MM

FILLED = 0.7
"""The share of its box that a glued pocket fills; one that lies askew fills less."""
STANDS = 3.0
"""How high above the floor of a pocket, in mm, a panel is looked for that bars its mouth."""


def find_pocket(posed: Posed) -> Cavity | None:
    """The largest pocket: the extent of the area that both layers cover, in the root's frame."""
    best: Cavity | None = None
    for hinge in pocket_hinges(posed.pattern):
        land = landing(posed, hinge.panel, hinge.parent)
        if not land.parallel or land.gap > reach(posed):
            continue
        shared = shared_area(land.shape, posed.panels[hinge.parent].shape)
        if shared.is_empty:
            continue
        points = in_space(posed.matrix(hinge.parent), get_coordinates(shared))
        child = posed.bones.index[hinge.panel]
        place = posed.matrix(hinge.parent)
        start = place @ np.array([*posed.bones.starts[child], 1.0])
        fold = start[:3], place[:3, :3] @ posed.bones.axes[child]
        found = _extent(points.min(axis=0), points.max(axis=0), fold)
        if found is not None and (best is None or np.prod(_two(found)) > np.prod(_two(best))):
            best = found
    return best


def pocket_hinges(pattern: Pattern) -> list[Hinge]:
    """The hinges of panels that may shut a pocket: folded flat and held by a join, no tabs."""
    glued = {join.tab for join in pattern.joins} | {join.to for join in pattern.joins}
    tabs = {join.tab[1] for join in pattern.joins}
    held = {name for piece, name in glued if piece == pattern.id}
    parents = {hinge.panel: hinge.parent for hinge in pattern.hinges}
    family = held | {parents[name] for name in tabs if name in parents}
    return [
        hinge
        for hinge in pattern.hinges
        if hinge.lies_flat and hinge.panel not in tabs and hinge.panel in family
    ]


def cover_of(posed: Posed, pocket: Cavity) -> Hinge | None:
    """The hinge of the panel that lies over a pocket of one piece in its final pose."""
    low, high = np.array(pocket.low) + HAND_MM, np.array(pocket.high) - HAND_MM
    for hinge in pocket_hinges(posed.pattern):
        points = in_space(posed.matrix(hinge.panel), outline(posed.panels[hinge.panel].shape))
        if (points.min(axis=0) <= low).all() and (points.max(axis=0) >= high).all():
            return hinge
    return None


def barred(posed: Posed, cover: Hinge) -> bool:
    """Whether a panel stands up before the mouth of a pocket, where stiff contents slide in.

    The mouth is opposite of the cover's fold. What lies flat there bars nothing.
    """
    child = posed.bones.index[cover.panel]
    start, axis = posed.bones.starts[child], posed.bones.axes[child]
    # Along the fold, away from it on the floor, and out of the floor to the cover's side.
    frame = np.array([axis, [axis[1], -axis[0], 0.0], [0.0, 0.0, 1.0 if cover.angle > 0 else -1.0]])

    def seen(name: str) -> Floats:
        flat = in_space(posed.seen_from(cover.parent, name), outline(posed.panels[name].shape))
        return np.asarray((flat - start) @ frame.T)

    own = (outline(posed.panels[cover.panel].shape) - start[:2]) @ frame[:2, :2].T
    deep = float(np.abs(own[:, 1]).max())
    low = np.array([own[:, 0].min(), deep, 0.0])
    high = np.array([own[:, 0].max(), 2 * deep, STANDS])
    others = (name for name in posed.panels if name not in (cover.panel, cover.parent))
    return any(enters(seen(name), low, high, HAND_MM) for name in others)


def find_glued_pocket(piece: str, whole: Placed, members: Mapping[str, Pattern]) -> Cavity | None:
    """The largest pocket between a panel of this piece and one of another, in the frame of `whole`.

    Panels of `whole` are named "piece.panel".
    """
    best: Cavity | None = None
    for (panel, goal), held in _held(members).items():
        if piece not in (panel.partition(".")[0], goal.partition(".")[0]) or len(held) < 2:
            continue
        land = landing(whole, panel, goal)
        if not land.parallel or land.gap > reach(whole):
            continue
        shared = shared_area(land.shape, whole.panels[goal].shape)
        if shared.is_empty:
            continue
        points = in_space(whole.matrix(goal), get_coordinates(shared))
        ends = [in_space(whole.matrix(panel), np.array([line])).mean(axis=0) for line in held]
        found = _glued(points.min(axis=0), points.max(axis=0), float(shared.area), ends)
        if found is not None and (best is None or np.prod(_two(found)) > np.prod(_two(best))):
            best = found
    return best


def _held(members: Mapping[str, Pattern]) -> dict[tuple[str, str], list[Point]]:
    """Panels with tabs glued to a panel of another piece, and the middles of these tabs' scores."""
    held: dict[tuple[str, str], list[Point]] = {}
    for name, pattern in members.items():
        hinges = {hinge.panel: hinge for hinge in pattern.hinges}
        for join in pattern.joins:
            if join.tab[0] != name or join.to[0] == name or join.to[0] not in members:
                continue
            hinge = hinges.get(join.tab[1])
            if hinge is not None:
                score = pattern.scores[hinge.score]
                middle = (
                    (score.start[0] + score.end[0]) / 2,
                    (score.start[1] + score.end[1]) / 2,
                )
                key = f"{name}.{hinge.parent}", ".".join(join.to)
                held.setdefault(key, []).append(middle)
    return held


def _glued(low: Floats, high: Floats, area: float, ends: Sequence[Floats]) -> Cavity | None:
    """The pocket, closed where tabs hold it; None if it does not lie along the axes."""
    size = np.where(high - low <= HAND_MM, 0.0, high - low)
    flat = int(np.argmin(size))
    across = [axis for axis in range(3) if axis != flat]
    if size[flat] > 0 or area < FILLED * float(np.prod(size[across])):
        return None
    walls = [False] * 6
    walls[2 * flat] = walls[2 * flat + 1] = True
    for end in ends:
        off = {
            2 * axis + side: abs(float(end[axis] - (low, high)[side][axis]))
            for axis in across
            for side in (0, 1)
        }
        walls[min(off, key=lambda side: off[side])] = True
    mouth = next(
        (way for way in WAYS if way[0] in across and not walls[2 * way[0] + (way[1] > 0)]), None
    )
    inside = (float(size[0]), float(size[1]), float(size[2]))
    a, b = [(float(c[0]), float(c[1]), float(c[2])) for c in (low, high)]
    return Cavity(inside, a, b, tuple(walls), pocket=True, mouth=mouth)


def _two(cavity: Cavity) -> list[float]:
    return sorted(cavity.inside)[1:]


def _extent(low: Floats, high: Floats, fold: tuple[Floats, Floats]) -> Cavity | None:
    """The pocket; it is closed at its fold (a point and a direction) and open opposite of it."""
    size = np.where(high - low <= HAND_MM, 0.0, high - low)
    if sorted(size)[1] <= HAND_MM:
        return None
    inside = (float(size[0]), float(size[1]), float(size[2]))
    a, b = [(float(c[0]), float(c[1]), float(c[2])) for c in (low, high)]
    start, along = fold
    across = max(range(3), key=lambda axis: (size[axis] > 0) * (1 - abs(along[axis])))
    walls = [True] * 6
    nearer_low = abs(start[across] - low[across]) < abs(start[across] - high[across])
    walls[2 * across + nearer_low] = False
    return Cavity(inside, a, b, tuple(walls), pocket=True)

"""Flat pockets: two layers that lie on each other, open along one side (an envelope).

In: a piece in its final pose. Out: a `Cavity` of deep 0, or None. A pocket is a panel folded flat
(180 degrees) onto the one that it hangs on, and held there by a join of its own or of its flaps.
"""

from __future__ import annotations

import numpy as np
from shapely import get_coordinates

from booklet.fold.cavity import Cavity
from booklet.fold.join import landing, reach, shared_area
from booklet.fold.pose import Floats, Posed, in_space
from booklet.measure.tolerance import HAND_MM


def find_pocket(posed: Posed) -> Cavity | None:
    """The largest pocket: the extent of the area that both layers cover, in the root's frame."""
    glued = {join.tab for join in posed.pattern.joins} | {join.to for join in posed.pattern.joins}
    tabs = {join.tab[1] for join in posed.pattern.joins}
    held = {name for piece, name in glued if piece == posed.pattern.id}
    parents = {hinge.panel: hinge.parent for hinge in posed.pattern.hinges}
    family = held | {parents[name] for name in tabs if name in parents}
    best: Cavity | None = None
    for hinge in posed.pattern.hinges:
        if abs(hinge.angle) < 179.0 or hinge.panel in tabs:
            continue
        if hinge.panel not in family:
            continue
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

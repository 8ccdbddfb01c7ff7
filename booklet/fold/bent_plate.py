"""Panels of a bent piece as plates: each bent one as its flat strips.

In: plates of the flat panels and the piece bent at its target angles. Out: `BentPlates`, and the
place of each strip for any `BentPose` of the piece; the pairs of panels that cross in one.
"""

from __future__ import annotations

import itertools
from collections.abc import Collection
from dataclasses import dataclass

import numpy as np

from booklet.fold.bend import BentPose
from booklet.fold.bulge import Held, held_rings
from booklet.fold.collide import meeting
from booklet.fold.crease import Bend, Group, bent_groups
from booklet.fold.plate import Plates, Shapes, exempt_pairs, hulls, inner_shapes, inset_of
from booklet.fold.pose import Floats, Ints, Posed
from booklet.fold.strip import bands


@dataclass(frozen=True, eq=False, kw_only=True)
class BentPlates(Plates):
    """The plates of a piece before anything bends, with the strips of all its panels.

    `owner` (strips) is the panel of each, in rising order, and `station` that of its bend before
    which it begins, -1 for a panel that stays flat. Strips may reach into each other by
    `depth`. `crossed` says that they do more in the end, so that no way leads there.
    """

    posed: Posed
    groups: tuple[Group, ...]
    rings: tuple[Held, ...]
    strips: Shapes
    owner: Ints
    station: Ints
    depth: float
    crossed: bool = False


def bent_plates(
    solid: Plates, bent: BentPose, tucks: Collection[tuple[str, str | None]]
) -> BentPlates:
    """The plates of a bent piece; `tucks` are lips that slip behind a panel."""
    posed = bent.posed
    depth = inset_of(posed)
    loops: list[tuple[Floats, ...]] = []
    owner: list[int] = []
    station: list[int] = []
    for number, name in enumerate(posed.bones.names):
        for shape in inner_shapes(posed.panels[name].shape, depth):
            if name in bent.bends:
                bend = bent.bends[name]
                parts, places = bands(bend, shape, bend.stations().tolist())
            else:
                parts, places = np.array([shape]), np.array([-1])
            for part in parts:
                rings = (part.exterior, *part.interiors)
                loops.append(tuple(np.asarray(ring.coords)[:-1, :2] for ring in rings))
            owner += [number] * len(parts)
            station += places.tolist()
    owners = np.array(owner, dtype=np.intp)
    corners, full = hulls(loops)
    exempt = exempt_pairs(posed, tucks)[np.ix_(owners, owners)]
    return BentPlates(
        solid.loops,
        solid.corners,
        solid.solid,
        solid.exempt,
        solid.bones,
        solid.motions,
        posed=posed,
        groups=bent_groups(posed),
        rings=held_rings(posed),
        strips=Shapes(tuple(loops), corners, full, exempt),
        owner=owners,
        station=np.array(station, dtype=np.intp),
        depth=depth,
    )


def strip_matrices(plates: BentPlates, bent: BentPose) -> Floats:
    """The matrix (strips, 4, 4) that sends each strip's own plane to the folded frame."""
    result = np.empty((len(plates.owner), 4, 4))
    names = plates.bones.names
    for number in range(len(names)):
        first, last = np.searchsorted(plates.owner, [number, number + 1])
        place = bent.posed.matrix(names[number]).copy()
        place[:3, 3] += bent.shifts[names[number]]
        bend = bent.bends.get(names[number])
        if bend is None:
            result[first:last] = place
        else:
            result[first:last] = place @ _planes(bend.coarse())[plates.station[first:last]]
    return result


def _planes(bend: Bend) -> Floats:
    """For each strip of a bend the matrix from its (u, v) to the frame of the flat, (n, 4, 4)."""
    axes = np.zeros((3, 3))
    axes[0, :2], axes[1, :2], axes[2, 2] = bend.across, bend.along, 1.0
    slips = np.zeros(len(bend.us)) if bend.slips is None else bend.slips
    profile = np.column_stack([bend.xs, slips, bend.zs])
    slope = np.diff(profile, axis=0) / np.diff(bend.us)[:, None]
    start = profile[:-1] - slope * bend.us[:-1, None]
    result = np.zeros((len(slope), 4, 4))
    result[:, :3, 0] = slope @ axes
    result[:, :3, 1] = axes[1]
    steep = np.hypot(slope[:, 0], slope[:, 2])
    result[:, :3, 2] = (slope[:, :1] * axes[2] - slope[:, 2:] * axes[0]) / steep[:, None]
    result[:, :3, 3] = start @ axes
    result[:, :2, 3] += bend.origin
    result[:, 3, 3] = 1.0
    return result


def bent_crossings(
    plates: BentPlates, bent: BentPose, body: Ints | None = None, first_only: bool = False
) -> list[tuple[int, int]]:
    """Pairs of panels (indexes, the lower first) that cross in a pose, all or one of them.

    `body` numbers the panels; those of one number do not move against each other.
    """
    bodies = np.arange(len(plates.bones.names), dtype=np.intp) if body is None else body
    places = strip_matrices(plates, bent)
    met = meeting(plates.strips, places, bodies[plates.owner], {}, plates.depth)
    pairs = ((int(plates.owner[i]), int(plates.owner[j])) for i, j in met)
    return list(itertools.islice(pairs, 1)) if first_only else sorted(set(pairs))

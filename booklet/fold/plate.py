"""Panels as thin plates that can run into each other.

In: a posed piece. Out: `Plates`: for each panel its shape drawn in by the tolerance, so that edges
which only touch do not count, and the pairs that never count.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import MultiPolygon, Polygon

from booklet.flat.pattern import Pattern
from booklet.fold.motion import Motion
from booklet.fold.pose import Floats, Posed, Skeleton
from booklet.measure.tolerance import HAND_MM, TOUCH_MM

Pair = frozenset[int]
Bools = NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class Shapes:
    """`loops` are the rings of each drawn-in shape, flat, (n, 2); none for panels too narrow.

    `corners` (panels, most, 2) holds those of their hulls, the first repeated to fill up; `exempt`
    is a square table of pairs that may touch in any way.
    """

    loops: tuple[tuple[Floats, ...], ...]
    corners: Floats
    solid: Bools
    exempt: Bools


@dataclass(frozen=True, eq=False)
class Plates(Shapes):
    """The shapes of a piece with its tree of hinges.

    `motions` say how panels round a closed corner fold.
    """

    bones: Skeleton
    motions: tuple[Motion, ...] = ()


def plates(
    posed: Posed,
    bends: Collection[tuple[str, str | None]] = (),
    unproved: Collection[frozenset[str]] | None = None,
    motions: Sequence[Motion] = (),
) -> Plates:
    """Plates of a piece; `bends` names pairs (or a panel and None) whose paper bends in use.

    `unproved` are clusters of panels whose way is not known, so that they may pass through each
    other on it (None: all that scores run round).

    The tolerance is the larger of the stock's thickness and what a hand can hold: two panels must
    reach into each other by more than that, both, before they count as running into each other.
    """
    bones = posed.bones
    inset = inset_of(posed)
    loops = tuple(_loops(posed.panels[name].shape, inset) for name in bones.names)
    clusters = ring_clusters(posed.pattern) if unproved is None else unproved
    exempt = _exempt(posed.pattern, bones, bends, clusters)
    corners, solid = hulls(loops)
    return Plates(loops, corners, solid, exempt, bones, tuple(motions))


def hulls(loops: Sequence[tuple[Floats, ...]]) -> tuple[Floats, Bools]:
    """The corners of each shape's hull, and which shapes there are at all, as `Shapes` has them."""
    found = [_hull(rings) for rings in loops]
    corners = np.zeros((len(loops), max((1, *(len(hull) for hull in found))), 2))
    for i, points in enumerate(found):
        if len(points):
            corners[i, : len(points)] = points
            corners[i, len(points) :] = points[0]
    return corners, np.array([bool(rings) for rings in loops], dtype=bool)


def inset_of(posed: Posed) -> float:
    """How far panels may reach into each other, in mm."""
    return max(posed.thickness, HAND_MM)


def exempt_pairs(posed: Posed, bends: Collection[tuple[str, str | None]] = ()) -> Bools:
    """The pairs of panels that may touch in any way: neighbours, corners, and `bends`."""
    return _exempt(posed.pattern, posed.bones, bends, ring_clusters(posed.pattern))


def inner_shapes(shape: Polygon, inset: float) -> list[Polygon]:
    """What is left of a panel drawn in on all sides."""
    inner = shape.buffer(-inset, join_style="mitre").simplify(TOUCH_MM)
    parts = inner.geoms if isinstance(inner, MultiPolygon) else [inner]
    return [part for part in parts if isinstance(part, Polygon) and not part.is_empty]


def _loops(shape: Polygon, inset: float) -> tuple[Floats, ...]:
    return tuple(
        np.asarray(ring.coords, dtype=np.float64)[:-1, :2]
        for part in inner_shapes(shape, inset)
        for ring in (part.exterior, *part.interiors)
    )


def _hull(rings: Sequence[Floats]) -> Floats:
    """The corners (n, 2) of the convex hull of all rings; a panel's holes add none to it."""
    if not rings:
        return np.zeros((0, 2))
    points = shapely.multipoints(np.concatenate(rings))
    return np.asarray(shapely.get_coordinates(shapely.convex_hull(points)), dtype=np.float64)


def _exempt(
    pattern: Pattern,
    bones: Skeleton,
    bends: Collection[tuple[str, str | None]],
    clusters: Collection[frozenset[str]],
) -> Bools:
    table = np.eye(len(bones.names), dtype=bool)
    for score in pattern.scores:
        a, b = (bones.index[name] for name in score.between)
        table[a, b] = table[b, a] = True
    for ring in clusters:
        members = [bones.index[name] for name in ring]
        table[np.ix_(members, members)] = True
    for first, second in bends:
        a = bones.index[first]
        if second is None:
            table[a, :] = table[:, a] = True
        else:
            b = bones.index[second]
            table[a, b] = table[b, a] = True
    return table


def ring_clusters(pattern: Pattern) -> tuple[frozenset[str], ...]:
    """Panels that move together because scores run all the way round them.

    Each score outside the hinge tree closes a ring of the two ways up the tree; rings that share
    a panel pair are one cluster. A second score of the same two panels makes no ring.
    """
    parents = {hinge.panel: hinge.parent for hinge in pattern.hinges}
    tree = {hinge.score for hinge in pattern.hinges}
    clusters: list[set[str]] = []
    for number, score in enumerate(pattern.scores):
        a, b = score.between
        if number in tree or parents.get(a) == b or parents.get(b) == a:
            continue
        ring = _ring(a, b, parents)
        apart = [cluster for cluster in clusters if len(cluster & ring) < 2]
        for cluster in clusters:
            if len(cluster & ring) >= 2:
                ring |= cluster
        clusters = [*apart, ring]
    return tuple(frozenset(cluster) for cluster in clusters)


def _ring(a: str, b: str, parents: dict[str, str]) -> set[str]:
    ways: list[list[str]] = []
    for name in (a, b):
        way = [name]
        while way[-1] in parents:
            way.append(parents[way[-1]])
        ways.append(way)
    shared = set(ways[0]) & set(ways[1])
    fork = next(name for name in ways[0] if name in shared)
    return (set(ways[0]) ^ set(ways[1])) | {fork}

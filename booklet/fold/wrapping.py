"""Wrapping: the way of a ribbon, cord or band round a closed piece, and its strips in space.

In: a piece in its final pose, the panels that are to be kept shut and a width. Out: the direction
about which it goes round, and flat strips that lie taut round the piece, with a bow.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from shapely.geometry import MultiPoint, Polygon

from booklet.fold.company import Placement
from booklet.fold.face import Loop
from booklet.fold.fastening import Fastening
from booklet.fold.pose import Floats, Posed, as_points, in_space, outline
from booklet.measure.tolerance import HAND_MM, SAME_MM

OFF = 0.3
"""How far a strip is held off the paper, in mm, so that it hides it."""
BOW = 2.4
"""A loop of a bow is so many times as long as its ribbon is wide,"""
MOST = 0.28
"""and no longer than this share of the piece."""
WIDEST = 0.4
"""No strip is wider than this share of the piece."""
ROUND = 0.8
"""A string leaves a button at this share of its radius."""
LEAF = 10
"""Points along one side of a loop of a bow."""


def hinge_axis(posed: Posed, name: str) -> Floats | None:
    """The unit direction of a panel's hinge in space; None for the root."""
    pattern = posed.pattern
    for hinge in pattern.hinges:
        if hinge.panel == name:
            score = pattern.scores[hinge.score]
            start, end = in_space(posed.matrix(name), (score.start, score.end))
            along: Floats = (end - start) / np.linalg.norm(end - start)
            return along
    return None


def wrap_axis(posed: Posed, panels: Sequence[str]) -> Floats:
    """About which direction a wrap goes: the hinge of the first of these panels that has one.

    So it keeps the panel shut: across its hinge, over its free edge. A panel without a hinge says
    nothing of the way: then the longer way along an edge of the root.
    """
    for name in panels:
        axis = hinge_axis(posed, name)
        if axis is not None:
            return axis
    points = corners(posed)
    axes = np.eye(3)[:2]
    longest: Floats = max(axes, key=lambda axis: taut(points, axis))
    return longest


def corners(posed: Posed) -> Floats:
    """All corners of the piece in space, (n, 3)."""
    return np.concatenate([_outer(posed, name) for name in posed.panels])


def taut(points: Floats, axis: Floats) -> float:
    """The length in mm of a taut loop round the points, seen along the axis."""
    # Rounded, so that what is flat but for the noise of floats counts as flat.
    hull = MultiPoint(np.round(points @ _across(axis).T, 6)).convex_hull
    # A loop round something without thickness runs there and back.
    return float(hull.length) * (1 if hull.geom_type == "Polygon" else 2)


@dataclass(frozen=True, eq=False)
class Side:
    """One straight stretch of a ring, from `a` to `b`; the unit ways along it and off the piece."""

    a: Floats
    b: Floats
    along: Floats
    out: Floats

    @property
    def long(self) -> float:
        """Its length, mm."""
        return float(np.linalg.norm(self.b - self.a))


@dataclass(frozen=True, eq=False)
class Ring:
    """A taut wrap: its sides round the `axis`, how wide it is, and which side is tied.

    `low` and `high` are where the piece ends along the axis, from the middle of the wrap; mm.
    """

    sides: tuple[Side, ...]
    axis: Floats
    width: float
    low: float
    high: float
    top: int

    def strip(self, start: Floats, end: Floats, out: Floats) -> Loop:
        """A stretch of it as an outline."""
        half = self.axis * self.width / 2
        return _strip(np.array([start - half, start + half, end + half, end - half]), out)

    @property
    def loops(self) -> tuple[Loop, ...]:
        """All its sides as outlines."""
        return tuple(self.strip(side.a, side.b, side.out) for side in self.sides)

    @property
    def bow(self) -> tuple[Loop, ...]:
        """A bow on the side that is tied."""
        side = self.sides[self.top]
        size = min(BOW * self.width, MOST * (self.high - self.low), MOST * side.long)
        middle = (side.a + side.b) / 2
        return tuple(_bow(middle, side.along, self.axis, side.out, (size, self.width)))


def ring_round(
    posed: Posed, axis: Floats, on: str, width: float, others: Sequence[Floats] = ()
) -> Ring | None:
    """A taut wrap `width` mm wide over the middle of panel `on`, which is tied on its outside.

    It goes round the `others` too: outlines (n, 3) of what the piece goes together with. None
    round what has no size.
    """
    at = float(_outer(posed, on).mean(axis=0) @ axis)
    loops = [*(_outer(posed, name) for name in posed.panels), *others]
    points = np.concatenate(loops)
    low, high = float((points @ axis).min()) - at, float((points @ axis).max()) - at
    across = _across(axis)
    ring = _ring(_section(loops, axis, at), across)
    if len(ring) < 2:
        ring = _ring(points, across)
    outward: Floats = -posed.matrix(on)[:3, 2]
    sides = []
    for a, b in pairwise([*ring, *ring[:1]]):
        long = float(np.linalg.norm(b - a))
        if long < OFF:
            continue
        along = (b - a) / long
        out = np.cross(along, axis)
        base = axis * at + out * OFF
        sides.append(Side(a + base, b + base, along, out))
    if not sides:
        return None
    ranks = [(round(float(side.out @ outward), 3), side.long) for side in sides]
    top = max(range(len(sides)), key=lambda n: (ranks[n], -n))
    return Ring(tuple(sides), axis, min(width, WIDEST * (high - low)), low, high, top)


def company(own: str, posed: Mapping[str, Posed], ways: Mapping[str, Placement]) -> list[Floats]:
    """The outlines (n, 3) of all panels of the pieces that go together with one, in its frame.

    `ways` are the placements of those that lie in others, or are glued to them.
    """

    def placed(piece: str) -> tuple[str, Floats]:
        matrix: Floats = np.eye(4)
        seen = {piece}
        while piece in ways and ways[piece].within not in seen:
            matrix = ways[piece].matrix @ matrix
            piece = ways[piece].within
            seen.add(piece)
        return piece, matrix

    root, home = placed(own)
    back = np.linalg.inv(home)
    found: list[Floats] = []
    for piece, pose in posed.items():
        other, matrix = placed(piece)
        if piece != own and other == root:
            here = back @ matrix
            loops = [_outer(pose, name) for name in pose.panels]
            found += [loop @ here[:3, :3].T + here[:3, 3] for loop in loops]
    return found


def crossing(posed: Posed, first: Fastening, second: Fastening) -> tuple[Side, ...]:
    """A string that crosses between two discs on the outside of panels that face one way.

    From one side of the first to the other side of the second, round it, and back over itself.
    """
    outs = [-posed.matrix(one.panel)[:3, 2] for one in (first, second)]
    if float(outs[0] @ outs[1]) < 1 - HAND_MM / 10:
        return ()
    ends = []
    for one in (first, second):
        middle = one.shape.centroid
        ends.append(in_space(posed.matrix(one.panel), ((middle.x, middle.y),))[0])
    along = ends[1] - ends[0]
    long = float(np.linalg.norm(along))
    if long <= OFF:
        return ()
    out = outs[0]
    aside = np.cross(out, along / long)
    near, far = (aside * math.sqrt(one.shape.area / math.pi) * ROUND for one in (first, second))
    there = ends[0] + near + out * OFF, ends[1] - far + out * OFF
    back = ends[1] + far + out * OFF * 2, ends[0] - near + out * OFF * 2
    return tuple(Side(a, b, (b - a) / np.linalg.norm(b - a), out) for a, b in (there, back))


def stretch(side: Side, width: float) -> Loop:
    """The outline of so wide a string on a straight way."""
    half = np.cross(side.out, side.along) * width / 2
    return _strip(np.array([side.a - half, side.b - half, side.b + half, side.a + half]), side.out)


def _outer(posed: Posed, name: str) -> Floats:
    return in_space(posed.matrix(name), outline(posed.panels[name].shape))


def _across(axis: Floats) -> Floats:
    """Two unit directions across an axis, (2, 3), right-handed with it."""
    first, second = np.linalg.svd(axis[None, :])[2][1:]
    if float(np.cross(first, second) @ axis) < 0:
        first, second = second, first
    return np.array([first, second])


def _section(loops: Sequence[Floats], axis: Floats, at: float) -> Floats:
    """Where the outlines of panels pass `at` along the axis, (n, 3)."""
    found: list[Floats] = []
    for loop in loops:
        heights = loop @ axis - at
        for k in range(len(loop)):
            j = (k + 1) % len(loop)
            if abs(heights[k]) <= SAME_MM:
                found.append(loop[k])
            elif heights[k] * heights[j] < 0:
                share = heights[k] / (heights[k] - heights[j])
                found.append(loop[k] + (loop[j] - loop[k]) * share)
    return np.array(found).reshape(-1, 3)


def _ring(points: Floats, across: Floats) -> list[Floats]:
    """The corners of a taut loop round the points, counter-clockwise about the axis, at its 0."""
    if not len(points):
        return []
    hull = MultiPoint(np.round(points @ across.T, 6)).convex_hull
    if isinstance(hull, Polygon):
        flat = np.asarray(hull.exterior.coords)[:-1]
        flat = flat if hull.exterior.is_ccw else flat[::-1]
    else:
        flat = np.asarray(hull.coords)
    return [x * across[0] + y * across[1] for x, y in flat]


def _strip(points: Floats, out: Floats) -> Loop:
    """The outline turned so that it runs counter-clockwise as seen from outside."""
    normal = np.cross(points[1] - points[0], points[2] - points[1])
    return as_points(points if float(normal @ out) > 0 else points[::-1])


def _bow(
    at: Floats, along: Floats, axis: Floats, out: Floats, sizes: tuple[float, float]
) -> list[Loop]:
    """Two tails, two loops over them and a knot; `sizes` are a loop's length and the width, mm."""
    size, width = sizes
    # Tails hang down as the piece lies.
    along = -along if tuple(along[[1, 2, 0]].round(6)) < (0.0, 0.0, 0.0) else along
    half = min(width, size / BOW) / 2
    turns = [math.pi * k / LEAF for k in range(LEAF + 1)]
    leaf = [(size * (1 - math.cos(t)) / 2, half * 1.3 * math.sin(t)) for t in turns]
    leaf += [(u, -v) for u, v in leaf[-2:0:-1]]
    # A tail is cut slanting, as ribbons are.
    tail = [(0.0, half * 0.7), (size, half * 0.7), (size * 0.85, -half * 0.7), (0.0, -half * 0.7)]
    knot = [(half, half), (-half, half), (-half, -half), (half, -half)]
    parts = [(tail, -35.0, 1), (tail, -145.0, 1), (leaf, 20.0, 2), (leaf, 160.0, 2), (knot, 0.0, 3)]
    found = []
    for shape, degrees, level in parts:
        cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
        place = at + out * OFF * level
        points = [
            place + axis * (u * cos - v * sin) + along * (u * sin + v * cos) for u, v in shape
        ]
        found.append(_strip(np.array(points), out))
    return found

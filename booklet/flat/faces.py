"""Areas between the lines of a free piece, and the links that run round each.

In: a `Network`. Out: `Area` values from shapely's polygonize, each with its boundary as links in
counter-clockwise order, so that curves are kept as curves.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass

from shapely.geometry import LinearRing, LineString, Polygon
from shapely.ops import polygonize

from booklet.flat.flatten import points_of
from booklet.flat.linework import backward
from booklet.flat.network import Link, Network
from booklet.flat.path import Path, Point

Chord = tuple[Point, Point]


@dataclass(frozen=True)
class Walk:
    """A link as it is walked: `index` into the network's links, `forward` along its own way."""

    index: int
    forward: bool


@dataclass(frozen=True)
class Area:
    """A face: `outer` runs counter-clockwise, each of `inner` clockwise; `shape` is flattened."""

    shape: Polygon
    outer: tuple[Walk, ...]
    inner: tuple[tuple[Walk, ...], ...]


def areas(network: Network) -> tuple[Area, ...]:
    """Every area that links close in, in no order."""
    chords: dict[Chord, Walk] = {}
    lines: list[LineString] = []
    for index, link in enumerate(network.links):
        points = chain_of(link)
        lines.append(LineString(points))
        for a, b in itertools.pairwise(points):
            chords[(a, b)] = Walk(index, True)
            chords[(b, a)] = Walk(index, False)
    return tuple(
        Area(
            shape,
            _walk(_turned(shape.exterior, True), chords),
            tuple(_walk(_turned(ring, False), chords) for ring in shape.interiors),
        )
        for shape in polygonize(lines)
    )


def chain_of(link: Link) -> list[Point]:
    """The points of a link, flattened, both ends included also where it closes on itself."""
    points = points_of(link.path)
    if link.first == link.last:
        points.append(points[0])
    return points


def _turned(ring: LinearRing, ccw: bool) -> list[Point]:
    points = [(x, y) for x, y, *_ in ring.coords]
    return points if ring.is_ccw == ccw else points[::-1]


def _walk(points: Sequence[Point], chords: dict[Chord, Walk]) -> tuple[Walk, ...]:
    """The links along a ring, each once, starting where a link starts."""
    steps = [chords[(a, b)] for a, b in itertools.pairwise(points)]
    start = next((i for i in range(len(steps)) if steps[i] != steps[i - 1]), 0)
    turned = steps[start:] + steps[:start]
    walks = [turned[0]]
    for step in turned[1:]:
        if step != walks[-1]:
            walks.append(step)
    return tuple(walks)


def walked(network: Network, walk: Walk) -> Path:
    """The path of a link in the direction of the walk."""
    path = network.links[walk.index].path
    return path if walk.forward else backward(path)


def owners(faces: Sequence[Area]) -> dict[Walk, int]:
    """The face on the left of each walk."""
    return {
        walk: number
        for number, face in enumerate(faces)
        for ring in (face.outer, *face.inner)
        for walk in ring
    }

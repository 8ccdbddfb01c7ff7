"""The straight edges of faces in space, each once, with the faces that it bounds.

In: faces. Out: `Edge` values; edges on one line are cut where their owners change, so that an edge
that two panels share is one.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import islice, pairwise
from typing import TypeAlias

import numpy as np
import shapely
from numpy.typing import NDArray

from booklet.fold.face import Face, Point3, tuple3
from booklet.measure.tolerance import TOUCH_MM

Floats: TypeAlias = NDArray[np.float64]
Indices: TypeAlias = NDArray[np.int64]
Flags: TypeAlias = NDArray[np.bool_]

PARALLEL = 0.9
"""Cosine above which two edges may lie on one line; how far they are off it decides."""


@dataclass(frozen=True)
class Edge:
    """A straight edge in space and the faces (by index) that it bounds."""

    start: Point3
    end: Point3
    owners: tuple[int, ...]


def edges_of(faces: Sequence[Face], numbers: Sequence[int] | None = None) -> list[Edge]:
    """The edges of all faces, each once: edges on one line are cut where owners change.

    Owners have the `numbers` of their faces: without any, those of their places.
    """
    starts: list[Point3] = []
    ends: list[Point3] = []
    owners: list[int] = []
    for index, face in zip(range(len(faces)) if numbers is None else numbers, faces, strict=True):
        for loop in (face.points, *face.holes):
            starts.extend(loop)
            ends.extend((*loop[1:], loop[0]))
            owners.extend([index] * len(loop))
    if not starts:
        return []
    a, b = np.array(starts), np.array(ends)
    lengths = np.linalg.norm(b - a, axis=1)
    long = np.flatnonzero(lengths > TOUCH_MM)
    a, b, along = a[long], b[long], (b[long] - a[long]) / lengths[long, None]
    at = long.tolist()
    lines = _lines(a, b, along)
    result = [Edge(starts[at[i]], ends[at[i]], (owners[at[i]],)) for i, *more in lines if not more]
    shared = [line for line in lines if len(line) > 1]
    if not shared:
        return result
    members = np.array([i for line in shared for i in line])
    first = np.repeat([line[0] for line in shared], [len(line) for line in shared])
    # Where each member starts and ends along the first edge of its line, all lines at once.
    spans = np.sort(
        [np.einsum("ij,ij->i", p[members] - a[first], along[first]) for p in (a, b)], axis=0
    )
    told = zip(spans[0].tolist(), spans[1].tolist(), (owners[at[i]] for i in members), strict=True)
    cut = [
        (line[0], lo, hi, who)
        for line in shared
        for lo, hi, who in _shared(list(islice(told, len(line))))
    ]
    on = [one[0] for one in cut]
    reach = np.array([one[1:3] for one in cut]).reshape(-1, 2, 1)
    points = (a[on][:, None] + along[on][:, None] * reach).tolist()
    result += [
        Edge(tuple3(start), tuple3(end), who)
        for (start, end), (_, _, _, who) in zip(points, cut, strict=True)
    ]
    return result


def _lines(a: Floats, b: Floats, along: Floats) -> list[list[int]]:
    """Each edge from a to b once, together with those on its line that it overlaps, or that those
    overlap, and so on; sorted.

    Only edges that overlap have parts in common, and a tree of their boxes finds these in bulk: a
    panel with hundreds of round holes has ten thousand edges.
    """
    first, second = _near(a, b)
    turned = np.abs(np.einsum("ij,ij->i", along[first], along[second]))
    # Two short edges may be parallel as far as touch can tell and still differ in angle.
    keep = turned > PARALLEL
    first, second = first[keep], second[keep]
    keep = _on_line(a, b, along, first, second)
    beside: dict[int, list[int]] = {}
    for i, j in zip(first[keep].tolist(), second[keep].tolist(), strict=True):
        beside.setdefault(i, []).append(j)
    found: list[list[int]] = []
    done: set[int] = set()
    for one in range(len(a)):
        if one not in done:
            line = [i for i in _reached(one, beside, a, b, along) if i not in done]
            found.append([one, *line])
            done.update(line)
    return found


def _near(a: Floats, b: Floats) -> tuple[Indices, Indices]:
    """Pairs of edges whose boxes in space meet, each pair both ways round."""
    low, high = np.minimum(a, b) - TOUCH_MM, np.maximum(a, b) + TOUCH_MM
    boxes = np.asarray(shapely.box(low[:, 0], low[:, 1], high[:, 0], high[:, 1]))
    first, second = shapely.STRtree(boxes).query(boxes)
    keep = (
        (first != second) & (low[first, 2] <= high[second, 2]) & (low[second, 2] <= high[first, 2])
    )
    return first[keep], second[keep]


def _on_line(a: Floats, b: Floats, along: Floats, first: Indices, second: Indices) -> Flags:
    """Whether both ends of each second edge lie on the line of the first."""
    keep = np.ones(len(first), dtype=bool)
    for ends in (a, b):
        away = ends[second] - a[first]
        off = away - np.einsum("ij,ij->i", away, along[first])[:, None] * along[first]
        keep &= np.einsum("ij,ij->i", off, off) < TOUCH_MM**2
    return keep


def _reached(
    first: int, beside: Mapping[int, Sequence[int]], a: Floats, b: Floats, along: Floats
) -> list[int]:
    """All edges on the line of the first one that it overlaps, or that those overlap, and so on."""
    if first not in beside:
        return []
    found, asked = list(beside[first]), {first, *beside[first]}
    for one in found:  # grows as it goes
        more = [other for other in beside.get(one, ()) if other not in asked]
        if more:
            asked.update(more)
            on = _on_line(a, b, along, np.full(len(more), first), np.array(more))
            found += [other for other, is_on in zip(more, on, strict=True) if is_on]
    return sorted(found)


def _shared(spans: list[tuple[float, float, int]]) -> list[tuple[float, float, tuple[int, ...]]]:
    """Spans on one line cut into pieces that each have the same owners throughout."""
    if len(spans) == 1:
        return [(spans[0][0], spans[0][1], (spans[0][2],))]
    marks: list[float] = []
    for t in sorted(t for span in spans for t in span[:2]):
        if not marks or t - marks[-1] > 2 * TOUCH_MM:
            marks.append(t)
    pieces = []
    for s, e in pairwise(marks):
        middle = (s + e) / 2
        who = tuple(sorted({owner for lo, hi, owner in spans if lo < middle < hi}))
        if who:
            pieces.append((s, e, who))
    return pieces

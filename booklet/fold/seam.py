"""Seams: free edges of two panels that meet at a corner of the folded piece.

In: a piece in its final pose. Out: one `Seam` for each pair of edges that meet or nearly meet, with
the gap between them. A gap may be meant (room for a lid), so it is a note.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely

from booklet.flat.flatten import points_of
from booklet.fold.join import reach
from booklet.fold.pose import Floats, Posed, in_space
from booklet.measure.tolerance import HAND_MM
from booklet.problem import Problem

NEARLY_MM = 2.0
"""Edges farther apart than this are not meant to meet; common practice, no source."""

SQUARE = 0.1
"""Cosine between two planes' normals beyond which they make no corner but lie in a row."""


@dataclass(frozen=True)
class Seam:
    """Two panels' edges that run along each other for `length` mm, `gap` mm apart at most."""

    between: tuple[str, str]
    gap: float
    length: float


def find_seams(posed: Posed, found: list[Problem]) -> tuple[Seam, ...]:
    """Every seam; tabs that are glued are no walls and are left out."""
    tabs = {join.tab[1] for join in posed.pattern.joins if join.tab[0] == posed.pattern.id}
    owners, ends = _free_edges(posed, tabs)
    if len(owners) < 2:
        return ()
    low, high = ends.min(axis=1) - NEARLY_MM / 2, ends.max(axis=1) + NEARLY_MM / 2
    boxes = shapely.box(low[:, 0], low[:, 1], high[:, 0], high[:, 1])
    first, second = shapely.STRtree(boxes).query(boxes)
    keep = (first < second) & (low[first, 2] <= high[second, 2])
    keep &= low[second, 2] <= high[first, 2]
    seams: dict[tuple[str, str], Seam] = {}
    for i, j in zip(first[keep].tolist(), second[keep].tolist(), strict=True):
        pair = owners[i], owners[j]
        if owners[i] == owners[j] or not _corner(posed, *pair):
            continue
        measured = _along(ends[i], ends[j])
        if measured is not None and (pair not in seams or measured[1] > seams[pair].length):
            seams[pair] = Seam(pair, *measured)
    for seam in seams.values():
        if seam.gap > reach(posed):
            found.append(_open(posed, seam))
    return tuple(seams.values())


def _free_edges(posed: Posed, tabs: set[str]) -> tuple[list[str], Floats]:
    """Straight free edges in space: owners, and (edges, 2, 3)."""
    owners: list[str] = []
    ends: list[Floats] = []
    for name, panel in posed.panels.items():
        for edge in panel.edges if name not in tabs else ():
            points = points_of(edge.path)
            if len(points) != 2 or edge.kind == "score":  # more points: a curve, whose chords
                continue  # happen to run along an edge for a moment
            if np.hypot(*np.subtract(points[1], points[0])) > HAND_MM:
                owners.append(name)
                ends.append(in_space(posed.matrix(name), points))
    return owners, np.array(ends).reshape(-1, 2, 3)


def _corner(posed: Posed, first: str, second: str) -> bool:
    cosine = posed.matrix(first)[:3, 2] @ posed.matrix(second)[:3, 2]
    return abs(float(cosine)) < 1.0 - SQUARE


def _along(first: Floats, second: Floats) -> tuple[float, float] | None:
    """Largest gap and length of the stretch in which two edges run along each other.

    None where they are no nearer than NEARLY_MM at both ends, or share less than half of the
    shorter one.
    """
    way = first[1] - first[0]
    length = float(np.linalg.norm(way))
    way = way / length
    places = np.sort((second - first[0]) @ way)
    low, high = max(0.0, float(places[0])), min(length, float(places[1]))
    other = float(np.linalg.norm(second[1] - second[0]))
    if high - low < min(length, other) / 2:
        return None
    across = second[1] - second[0]
    gaps = []
    for place in (low, high):
        point = first[0] + place * way
        share = float((point - second[0]) @ across) / (other * other)
        nearest = second[0] + min(1.0, max(0.0, share)) * across
        gaps.append(float(np.linalg.norm(point - nearest)))
    return (max(gaps), high - low) if max(gaps) <= NEARLY_MM else None


def _open(posed: Posed, seam: Seam) -> Problem:
    first, second = seam.between
    return Problem(
        "seam-open",
        f'the edges of "{first}" and "{second}" make a corner that stays open by {seam.gap:.1f} mm',
        posed.panels[first].place,
        f"make one of the two {seam.gap:.1f} mm longer, or leave the gap if it is meant",
    )

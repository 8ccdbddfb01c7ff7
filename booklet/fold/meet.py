"""Ways in which a tab of one piece may come to lie on a panel of another.

In: the two flat panels. Out: 4x4 matrices from the tab's flat to the panel's. A join says which
panel a tab is glued to, not where on it. A tab hangs on its wall by a score, and where it is glued
that score runs along an edge of its panel, as at every glued corner; or, for a label, the tab lies
in the middle. Either of the tab's faces may be down.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import product

import numpy as np

from booklet.flat.flatten import points_of
from booklet.flat.pattern import Edge, Panel
from booklet.fold.pose import Floats
from booklet.measure.tolerance import HAND_MM

MOST_EDGES = 12
"""Edges of a panel that are tried, those first whose length is nearest to the score's."""


def ways_to_meet(tab: Panel, to: Panel) -> Iterator[Floats]:
    """Every way, the likeliest first: inside up before turned over, edges before the middle."""
    spine = _spine(tab)
    if spine is not None:
        for turned in (False, True):
            for edge in _edges_like(to, spine):
                yield from _along(spine, edge, turned)
    for turned, angle in product((False, True), (0.0, 90.0, 180.0, 270.0)):
        yield _rigid(_middle(tab), _middle(to), angle, turned)


def _spine(tab: Panel) -> Floats | None:
    """The one score of a tab, as (2, 2) with the tab on its left; None if it has none or more."""
    scores = [_ends(edge) for edge in tab.edges if edge.kind == "score"]
    return scores[0] if len(scores) == 1 else None


def _edges_like(panel: Panel, spine: Floats) -> list[Floats]:
    """Straight edges, longest-matching first; free edges before scores."""
    long = _length(spine)
    ranked = [
        (edge.kind == "score", round(abs(_length(_ends(edge)) - long), 3), number)
        for number, edge in enumerate(panel.edges)
        if _length(_ends(edge)) > HAND_MM
    ]
    return [_ends(panel.edges[number]) for _, _, number in sorted(ranked)[:MOST_EDGES]]


def _along(spine: Floats, edge: Floats, turned: bool) -> Iterator[Floats]:
    """Score on edge, the tab over the panel: by their middles, then by either end."""
    angle = _angle(edge) - (-_angle(spine) + 180.0 if turned else _angle(spine))
    ends = edge[::-1] if turned else edge
    shares = (0.5,) if abs(_length(spine) - _length(edge)) <= HAND_MM else (0.5, 0.0, 1.0)
    for share in shares:
        start = spine[0] + share * (spine[1] - spine[0])
        yield _rigid(start, ends[0] + share * (ends[1] - ends[0]), angle, turned)


def _rigid(start: Floats, end: Floats, degrees: float, turned: bool) -> Floats:
    """Over a turn in the plane (and before it, if asked, over the x axis) from start to end."""
    matrix = np.eye(4)
    if turned:
        matrix[1, 1] = matrix[2, 2] = -1.0
    cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    turn = np.eye(4)
    turn[:2, :2] = ((cos, -sin), (sin, cos))
    matrix = turn @ matrix
    matrix[:2, 3] = end - matrix[:2, :2] @ start
    return matrix


def _middle(panel: Panel) -> Floats:
    x0, y0, x1, y1 = panel.shape.bounds
    return np.array([(x0 + x1) / 2, (y0 + y1) / 2])


def _ends(edge: Edge) -> Floats:
    points = points_of(edge.path)
    return np.array([points[0], points[-1]], dtype=np.float64)


def _length(ends: Floats) -> float:
    return float(np.hypot(*(ends[1] - ends[0])))


def _angle(ends: Floats) -> float:
    x, y = ends[1] - ends[0]
    return math.degrees(math.atan2(y, x))

"""How long a ribbon, cord or band is that goes round a finished piece.

In: a folded piece and the panel that the closure sits on. Out: the girth in mm, exact to a
millionth. The way round is the one that keeps the panel shut: across its hinge, so over its free
edge. Allowances are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from types import MappingProxyType
from typing import Final

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import MultiPoint

from booklet.flat.reference import Reference
from booklet.fold.pose import in_space
from booklet.fold.prove import Folded

ALLOWANCE: Final[Mapping[str, Fraction]] = MappingProxyType(
    {
        "ribbon": Fraction(450),
        "tie": Fraction(200),
        "belly_band": Fraction(20),
        "button": Fraction(200),
    }
)
"""Millimetres beyond once round: a bow with two loops and two tails, a knot with its ends, the
overlap of a band, some turns round a button."""

BETWEEN: Final = Fraction(300)
"""Millimetres of string between two buttons: its knot, some figures of eight and an end to hold."""

Floats = NDArray[np.float64]


def wrap_length(
    kind: str, on: Reference, meets: Reference | None, folded: Sequence[Folded]
) -> Fraction | None:
    """Mm of one wrap with its allowance; None where the piece was not folded.

    A string between two buttons does not go round the piece.
    """
    piece = next((piece for piece in folded if piece.piece == on[0]), None)
    if piece is None:
        return None
    if kind == "button" and meets is not None:
        return BETWEEN
    panels = [on[1], *([meets[1]] if meets is not None and meets[0] == on[0] else [])]
    return girth(piece, panels) + ALLOWANCE[kind]


def girth(piece: Folded, panels: Sequence[str]) -> Fraction:
    """Once round the closed piece in mm, across the hinge of the first of `panels` that has one.

    A panel without a hinge says nothing of the way: then the longer way along an edge of the root.
    """
    points = np.array([point for outline in piece.panels.values() for point in outline])
    for name in panels:
        axis = _hinge(piece, name)
        if axis is not None:
            return _exact(_round(points, axis))
    return _exact(max(_round(points, np.eye(3)[k]) for k in (0, 1)))


def _hinge(piece: Folded, name: str) -> Floats | None:
    """The unit direction of a panel's hinge in space."""
    pattern = piece.posed.pattern
    for hinge in pattern.hinges:
        if hinge.panel == name:
            score = pattern.scores[hinge.score]
            start, end = in_space(piece.posed.matrix(name), (score.start, score.end))
            along: Floats = (end - start) / np.linalg.norm(end - start)
            return along
    return None


def _round(points: Floats, axis: Floats) -> float:
    """The length of a taut loop round the points, seen along the axis."""
    across = np.linalg.svd(axis[None, :])[2][1:]
    # Rounded, so that what is flat but for the noise of floats counts as flat.
    hull = MultiPoint(np.round(points @ across.T, 6)).convex_hull
    # A loop round something without thickness runs there and back.
    return float(hull.length) * (1 if hull.geom_type == "Polygon" else 2)


def _exact(length: float) -> Fraction:
    return Fraction(round(length * 10**6), 10**6)

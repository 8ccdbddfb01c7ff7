"""How long a ribbon, cord or band is that goes round a finished piece.

In: a folded piece and the panel that the closure sits on. Out: the girth in mm, exact to a
millionth. Allowances are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from types import MappingProxyType
from typing import Final

from booklet.flat.reference import Reference
from booklet.fold.prove import Folded
from booklet.fold.wrapping import corners, taut, wrap_axis

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
    """Once round the closed piece in mm, the way that `wrap_axis` says."""
    return _exact(taut(corners(piece.posed), wrap_axis(piece.posed, panels)))


def _exact(length: float) -> Fraction:
    return Fraction(round(length * 10**6), 10**6)

"""How long a ribbon, cord or band is that goes round a finished piece.

In: a folded piece and the panel that the closure sits on. Out: the girth in mm, exact to a
millionth. Allowances are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType
from typing import Final

from booklet.flat.pattern import Pattern
from booklet.flat.reference import Reference, find_panel
from booklet.fold.prove import Folded
from booklet.fold.wrapping import corners, taut, wrap_axis
from booklet.problem import Problem
from booklet.read.closure import Closure

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


@dataclass(frozen=True)
class Wrap:
    """What one closure takes for all copies of its piece, mm; None where that is not known.

    `between` two buttons the string does not go round the piece.
    """

    closure: Closure
    length: Fraction | None
    between: bool


def wraps_of(
    closures: Sequence[Closure], patterns: Sequence[Pattern], folded: Sequence[Folded]
) -> tuple[Wrap, ...]:
    """The closures that are wrapped or wound, each measured once whatever they are made from."""
    unheard: list[Problem] = []  # a wrong panel is reported by the stage that owns closures
    found: list[Wrap] = []
    for closure in closures:
        if closure.kind in ALLOWANCE:
            on = find_panel(closure.on, patterns, unheard)
            meets = find_panel(closure.meets, patterns, unheard) if closure.meets else None
            one = None if on is None else wrap_length(closure.kind, on, meets, folded)
            copies = next((p.count for p in patterns if on is not None and p.id == on[0]), 0)
            between = closure.kind == "button" and meets is not None
            found.append(Wrap(closure, None if one is None else one * copies, between))
    return tuple(found)


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

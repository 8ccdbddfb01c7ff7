"""[[contents]]: what goes inside a piece.

In: one raw table. Out: the frozen value `Contents`, lengths as written.
"""

from __future__ import annotations

from dataclasses import dataclass

from booklet.problem import Place, Written
from booklet.read.raw import Length


@dataclass(frozen=True, kw_only=True)
class Contents:
    """Things that lie in a piece's cavity; `size` is wide, tall, deep of one, unfolded."""

    id: Written[str]
    name: str
    size: tuple[Length, Length, Length] | None = None
    standard: Written[str] | None = None
    count: int = 1
    folded: tuple[int, int, int] | None = None
    ease: Length | None = None
    inside: Written[str] | None = None
    place: Place

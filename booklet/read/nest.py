"""[[nest]]: one folded piece inside another.

In: one raw table. Out: the frozen value `Nest`, lengths as written.
"""

from __future__ import annotations

from dataclasses import dataclass

from booklet.problem import Place, Written
from booklet.read.raw import Length, Raw


@dataclass(frozen=True, kw_only=True)
class Nest:
    """Piece `inner` lies in piece `outer`; pictures draw it out by the share `pulled`."""

    inner: Written[str]
    outer: Written[str]
    ease: Length | None = None
    pulled: Written[Raw] | None = None
    place: Place

"""[[closure]]: what keeps a piece shut.

In: one raw table. Out: the frozen value `Closure`, lengths as written.
"""

from __future__ import annotations

from dataclasses import dataclass

from booklet.problem import Place, Written
from booklet.read.raw import Length


@dataclass(frozen=True, kw_only=True)
class Closure:
    """A closure on the panel `on` that meets the panel `meets`, made from a supply (`with`)."""

    kind: str
    on: Written[str]
    meets: Written[str] | None = None
    size: Length | None = None
    supply: Written[str] | None = None
    place: Place

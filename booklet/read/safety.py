"""[safety]: for whom the project is and what to warn of besides tools and materials.

In: one raw table or none. Out: the frozen value `Safety`.
"""

from __future__ import annotations

from dataclasses import dataclass

from booklet.problem import Place


@dataclass(frozen=True, kw_only=True)
class Safety:
    """The audience (adults, teens or children) and the maker's own notes."""

    audience: str = "adults"
    notes: tuple[str, ...] = ()
    place: Place | None = None

"""[look]: accent colour and page size of the booklet.

In: one raw table or none. Out: the frozen value `Look`.
"""

from __future__ import annotations

from dataclasses import dataclass

from booklet.problem import Place


@dataclass(frozen=True, kw_only=True)
class Look:
    """The accent colour as #rrggbb and the page size (letter or a4)."""

    accent: str = "#2f6f73"
    paper: str = "letter"
    place: Place | None = None

"""[[mat]]: a layer of decorative paper glued onto a panel.

In: one raw table. Out: the frozen value `Mat`, lengths as written.
"""

from __future__ import annotations

from dataclasses import dataclass

from booklet.problem import Place, Written
from booklet.read.raw import Length


@dataclass(frozen=True, kw_only=True)
class Mat:
    """A mat on the panel `on`, smaller than it by `reveal` on every side."""

    id: Written[str]
    name: str | None = None
    on: Written[str]
    stock: Written[str] | None = None
    reveal: Length | None = None
    place: Place

"""[[size]]: another size of the same project, as overrides of measures.

In: one raw table. Out: the frozen value `Size`, lengths as written.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from booklet.problem import Place, Written
from booklet.read.raw import Length


@dataclass(frozen=True, kw_only=True)
class Size:
    """A size and the measures that it replaces, by name."""

    id: Written[str]
    name: str
    measures: dict[str, Length] = field(default_factory=dict)
    place: Place

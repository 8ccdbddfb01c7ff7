"""[safety]: for whom the project is and what to warn of besides tools and materials.

In: one raw table or none. Out: the frozen value `Safety`.
"""

from __future__ import annotations

from dataclasses import dataclass

from booklet.problem import Place
from booklet.read.listed import listed
from booklet.read.table import Key, Kind, Table
from booklet.read.text import choice, paragraph


@dataclass(frozen=True, kw_only=True)
class Safety:
    """The audience (adults, teens or children) and the maker's own notes."""

    audience: str = "adults"
    notes: tuple[str, ...] = ()
    place: Place | None = None


AUDIENCE = Key("audience", "for whom the project is", choice("adults", "teens", "children"))
NOTES = Key(
    "notes",
    "warnings besides those that tools and materials bring",
    listed(paragraph, '["Keep the knife away from the edge."]'),
)


def _build(table: Table) -> Safety:
    return Safety(
        audience=table.get_or(AUDIENCE, "adults"),
        notes=tuple(note for note in table.get_or(NOTES, ()) if note),
        place=table.place,
    )


SAFETY = Kind("safety", (AUDIENCE, NOTES), _build)

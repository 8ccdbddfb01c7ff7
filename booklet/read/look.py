"""[look]: accent colour, page size and cover photo of the booklet.

In: one raw table or none. Out: the frozen value `Look`.
"""

from __future__ import annotations

from dataclasses import dataclass

from booklet.problem import Place
from booklet.read.photo import COVER_BOX, Photo, photo, shown_as
from booklet.read.table import Key, Kind, Table
from booklet.read.text import choice, colour, paragraph


@dataclass(frozen=True, kw_only=True)
class Look:
    """The accent colour as #rrggbb, the page size (letter or a4), and a photo on the cover."""

    accent: str = "#2f6f73"
    paper: str = "letter"
    cover: Photo | None = None
    place: Place | None = None


ACCENT = Key("accent", "the accent colour, as #rrggbb", colour)
PAPER = Key("paper", "the page size of the booklet", choice("letter", "a4"))
COVER = Key("cover", "a picture file for the cover, beside the project", photo(COVER_BOX))
COVER_ALT = Key("cover_alt", "what the cover's photo shows", paragraph)


def _build(table: Table) -> Look:
    plain = Look()
    table.needs_too(COVER_ALT, COVER)
    return Look(
        accent=table.get_or(ACCENT, plain.accent),
        paper=table.get_or(PAPER, plain.paper),
        cover=shown_as(table.get(COVER), table.get(COVER_ALT)),
        place=table.place,
    )


LOOK = Kind("look", (ACCENT, PAPER, COVER, COVER_ALT), _build)

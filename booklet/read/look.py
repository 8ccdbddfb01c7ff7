"""[look]: accent colour and page size of the booklet.

In: one raw table or none. Out: the frozen value `Look`.
"""

from __future__ import annotations

from dataclasses import dataclass

from booklet.problem import Place
from booklet.read.table import Key, Kind, Table
from booklet.read.text import choice, colour


@dataclass(frozen=True, kw_only=True)
class Look:
    """The accent colour as #rrggbb and the page size (letter or a4)."""

    accent: str = "#2f6f73"
    paper: str = "letter"
    place: Place | None = None


ACCENT = Key("accent", "the accent colour, as #rrggbb", colour)
PAPER = Key("paper", "the page size of the booklet", choice("letter", "a4"))


def _build(table: Table) -> Look:
    plain = Look()
    return Look(
        accent=table.get_or(ACCENT, plain.accent),
        paper=table.get_or(PAPER, plain.paper),
        place=table.place,
    )


LOOK = Kind("look", (ACCENT, PAPER), _build)

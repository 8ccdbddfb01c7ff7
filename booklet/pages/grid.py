"""One page grid for every page: margins, columns and the baseline step.

In: the name of a paper. Out: a frozen `Paper` with its frame in mm.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

BASELINE = 14 * 25.4 / 72
"""One line of text, 14 pt, in mm."""
GUTTER = 8.0
SAFE = 7.0
"""What printers leave white at each edge of the sheet; at least 6 mm are asked for."""


NARROW = 130.0
"""A frame under this width (mm) takes one column: two of 10 pt text would be too short to read."""


@dataclass(frozen=True)
class Paper:
    """A paper and its frame: text keeps inside left..right and bottom..top (mm).

    A page with a `zoom` is composed in these millimetres and drawn so many times as large: type,
    lines and drawings together. Full-size pages have a zoom of 1. They are free from `bind` mm at
    the left to `edge` mm at the right: what printers, holes and tabs leave. `measured` is what the
    printer makes of 100 mm: full-size pages make up for it.
    """

    name: str
    width: float
    height: float
    left: float = 20.0
    bottom: float = 22.0
    outer: float = 18.0
    head: float = 20.0
    zoom: float = 1.0
    bind: float = SAFE
    edge: float = SAFE
    measured: float = 100.0

    @property
    def right(self) -> float:
        """The right edge of the frame."""
        return self.width - self.outer

    @property
    def top(self) -> float:
        """The top edge of the frame."""
        return self.height - self.head

    @property
    def measure(self) -> float:
        """The width of the frame."""
        return self.right - self.left

    @property
    def columns(self) -> int:
        """How many columns of text the frame takes."""
        return 1 if self.measure < NARROW else 2

    def column(self, index: int, of: int) -> tuple[float, float]:
        """Left edge and width of one of `of` equal columns."""
        width = (self.measure - GUTTER * (of - 1)) / of
        return self.left + index * (width + GUTTER), width


PAPERS = {
    # ANSI/ASME Y14.1 size A and ISO 216 A4
    "letter": Paper("letter", 215.9, 279.4),
    "a4": Paper("a4", 210.0, 297.0),
}


def corrected(paper: Paper) -> Paper:
    """The paper of full-size pages: drawn as much larger as its printer draws smaller."""
    if paper.measured == 100:
        return paper
    zoom = 100 / paper.measured
    return replace(paper, width=paper.width / zoom, height=paper.height / zoom, zoom=zoom)


LARGE_ZOOM = 1.8
"""Text of 10 pt becomes 18 pt: large print (American Council of the Blind, 2022)."""


def large_print(paper: Paper) -> Paper:
    """The paper in large print: a smaller frame, drawn so much larger. Margins are 1 in."""
    width, height = paper.width / LARGE_ZOOM, paper.height / LARGE_ZOOM
    inch = 25.4 / LARGE_ZOOM
    return Paper(paper.name, width, height, inch, inch, inch - 3, inch + 1, LARGE_ZOOM)


def folded_half(paper: Paper) -> Paper:
    """A page of a booklet folded from sheets of the paper: half of it, upright."""
    return Paper(paper.name, paper.height / 2, paper.width, 15.0, 17.0, 15.0, 18.0)


BIND = 19.0
"""What stays free at the left for holes: ISO 838 has their middles at 12 ± 1 mm, 6 mm wide; a US
hole of 5/16 in, half an inch from the edge, ends at 16.7 mm."""
TAB = 6.0
"""Width of a section's tab at the right edge."""


def bound(paper: Paper) -> Paper:
    """The paper with room for holes at the left and for tabs at the right."""
    left, outer = BIND + 6.0, SAFE + TAB + 8.0
    edge = SAFE + TAB + 1.0
    return Paper(paper.name, paper.width, paper.height, left, outer=outer, bind=BIND, edge=edge)

"""One page grid for every page: margins, columns and the baseline step.

In: the name of a paper. Out: a frozen `Paper` with its frame in mm.
"""

from __future__ import annotations

from dataclasses import dataclass

BASELINE = 14 * 25.4 / 72
"""One line of text, 14 pt, in mm."""
GUTTER = 8.0
SAFE = 7.0
"""What printers leave white at each edge of the sheet; at least 6 mm are asked for."""


@dataclass(frozen=True)
class Paper:
    """A paper and its frame: text keeps inside left..right and bottom..top (mm)."""

    name: str
    width: float
    height: float

    left = 20.0
    bottom = 22.0

    @property
    def right(self) -> float:
        """The right edge of the frame."""
        return self.width - 18.0

    @property
    def top(self) -> float:
        """The top edge of the frame."""
        return self.height - 20.0

    @property
    def measure(self) -> float:
        """The width of the frame."""
        return self.right - self.left

    def column(self, index: int, of: int) -> tuple[float, float]:
        """Left edge and width of one of `of` equal columns."""
        width = (self.measure - GUTTER * (of - 1)) / of
        return self.left + index * (width + GUTTER), width


PAPERS = {
    # ANSI/ASME Y14.1 size A and ISO 216 A4
    "letter": Paper("letter", 215.9, 279.4),
    "a4": Paper("a4", 210.0, 297.0),
}

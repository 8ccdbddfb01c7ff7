"""Tables for the terminal: aligned columns of plain text, narrow enough for 80 columns.

In: rows of cells. Out: lines. Widths are those that a terminal shows, not counts of letters.
"""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from booklet.command.show import display_width, harmless

WIDTH = 80
"""Columns that every terminal has."""


def table(
    rows: Sequence[Sequence[str]], right: Sequence[int] = (), indent: int = 2, wide: int = 0
) -> list[str]:
    """Lines of a table; columns in `right` line up at the right, `wide` is wrapped to fit."""
    safe = [[harmless(cell) for cell in row] for row in rows]
    count = max((len(row) for row in safe), default=0)
    widths = [max(display_width(row[k]) for row in safe if k < len(row)) for k in range(count)]
    gaps = indent + 2 * (count - 1)
    if count:
        others = sum(widths) - widths[wide]
        widths[wide] = min(widths[wide], max(12, WIDTH - gaps - others))
    lines = []
    for row in safe:
        parts = _wrapped(row[wide], widths[wide]) if wide < len(row) else [""]
        for index, part in enumerate(parts):
            cells = [part if k == wide else cell * (not index) for k, cell in enumerate(row)]
            shown = [_padded(c, widths[k], k in right) for k, c in enumerate(cells)]
            lines.append((" " * indent + "  ".join(shown)).rstrip().replace("\u00a0", " "))
    return lines


def _wrapped(text: str, width: int) -> list[str]:
    """Lines; a no-break space keeps a size on one of them."""
    return textwrap.wrap(text, width, break_on_hyphens=False) or [""]


def _padded(cell: str, width: int, right: bool) -> str:
    space = " " * max(0, width - display_width(cell))
    return space + cell if right else cell + space


def paragraph(text: str, indent: int = 2) -> list[str]:
    """Words in lines."""
    space = " " * indent
    lines = _wrapped(harmless(text), WIDTH - indent)
    return [space + line.replace("\u00a0", " ") for line in lines]

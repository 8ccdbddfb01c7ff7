"""Imposition: reading pages two-up on sheets that are folded once and nested (saddle stitching).

In: the bytes of a PDF whose pages are half a sheet each, the thickness of a leaf. Out: the bytes of
the sheets, landscape, front and back by turns, both upright: they are printed on both sides and
flipped on the short edge. Pages keep their size; they are only moved.

The order n, 1, 2, n-1, n-2, 3, ... is that of the Ubuntu 18.04 Desktop Guide, "Print a booklet".
A sheet further in is pushed out at the open edge by the thickness of every sheet round it; its
pages are moved towards the fold by as much (published rule: creep grows by one caliper a sheet).
"""

from __future__ import annotations

import io
from dataclasses import dataclass
from datetime import datetime
from typing import Final

from booklet.pages.page import About
from booklet.pdf.brush import PT_PER_MM
from booklet.pdf.section import Section
from booklet.pdf.tag_objects import Spot
from booklet.pdf.whole import Whole

OFFICE_PAPER: Final = 0.1
"""Thickness of a sheet of 80 gsm paper in mm (common practice, no source)."""


@dataclass(frozen=True)
class Side:
    """One side of a sheet: the pages at left and right, counted from 1."""

    left: int
    right: int


def sides(pages: int) -> list[Side]:
    """Front and back of each sheet, the outermost first. Raises ValueError unless 4 divides."""
    if pages % 4 or pages <= 0:
        raise ValueError(f"{pages} pages do not fill folded sheets")
    order: list[Side] = []
    for sheet in range(pages // 4):
        first, last = 2 * sheet + 1, pages - 2 * sheet
        order += [Side(last, first), Side(first + 1, last - 1)]
    return order


def imposed(section: Section, about: About, date: datetime, leaf: float = OFFICE_PAPER) -> bytes:
    """The sheets of a section's pages; `leaf` is the thickness of one in mm, 0 for no creep.

    The marks of a page stay in its drawing, a form that one sheet shows once; the tree reads the
    pages in their own order, whatever sheet they lie on.
    """
    out = io.BytesIO()
    whole = Whole(out, tagged=section.tree is not None)
    objects = whole.objects
    base = whole.pieces(section)
    forms = objects.new(len(section.pages))
    order = sides(len(section.pages))
    sheets = objects.new(len(order))
    width, height = section.pages[0].width, section.pages[0].height
    spots: dict[int, Spot] = {}
    for at, side in enumerate(order):
        creep = (at // 2) * leaf * PT_PER_MM
        spots[side.left] = Spot(sheets + at, forms + side.left - 1, creep)
        spots[side.right] = Spot(sheets + at, forms + side.right - 1, width - creep)
    keys = whole.tree(section, [spots[page] for page in sorted(spots)], about.language)
    for number, (page, key) in enumerate(zip(section.pages, keys, strict=True)):
        whole.form(forms + number, page, section, base, key)
    for at, side in enumerate(order):
        code, shown = "", ""
        for name, spot in (("/Left", spots[side.left]), ("/Right", spots[side.right])):
            code += f"q 1 0 0 1 {spot.moved:.4f} 0 cm {name} Do Q\n"
            shown += f"{name} {spot.form} 0 R "
        content = objects.new()
        objects.stream(content, b"", code.encode())
        objects.object(
            sheets + at,
            f"<</Type /Page /Parent {whole.pages} 0 R /MediaBox [0 0 {2 * width} {height}] "
            f"/Tabs /S /Resources <</XObject <<{shown}>>>> /Contents {content} 0 R>>",
        )
    numbers = [sheets + at for at in range(len(order))]
    whole.finish(about, date, numbers, " /Duplex /DuplexFlipShortEdge")
    return out.getvalue()

"""The print page: how to print a full-size template so that it comes out true.

In: the pages that are to be printed, a paper. Out: one page with settings, scale checks and the
list of pages to print.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from booklet.draw.mark import LAYERS
from booklet.draw.typeface import Faces
from booklet.pages import type as scale
from booklet.pages.flow import Composer, clipped, leading, wrap
from booklet.pages.full_size import checks
from booklet.pages.grid import Paper
from booklet.pages.page import Page, Role
from booklet.pages.panel_words import listed

TITLE: Final = "Print it at full size"
PAPER_NAMES: Final = {"letter": "Letter (8½ × 11 in)", "a4": "A4 (210 × 297 mm)"}
SETTINGS: Final = (
    "Choose {paper} as the paper, upright.",
    "Set the scale to 100 % (“actual size”). Turn “fit to page” off.",
    "Print on one side only.",
    "Print this page first. Measure both scale checks, at the left and at the lower edge: 4 in, "
    "or 100 mm.",
    "If both measure true, print the pages below. If not, look at the scale setting again before "
    "you cut.",
)
SWITCHED: Final = (
    f"The layers of a template are {listed(list(LAYERS))}. A viewer that lists layers lets you "
    "switch them off, for a clean sheet."
)
FOLDING: Final = (
    "The reading pages are a file of their own, two to a side. Print it on both sides, flipped on "
    "the short edge, at 100 %. Keep the sheets in their order, fold the pile in the middle with "
    "the cover outside, and staple it twice in the fold."
)
MOST_ROWS: Final = 20
"""Rows of the list of pages that fit; a longer list ends with a sentence."""
INDENT: Final = 11.0


def print_page(
    full_size: Sequence[tuple[int, int, str]], paper: Paper, faces: Faces, folding: bool = False
) -> list[Page]:
    """The page; `full_size` lists first and last page and the name of what to print.

    With `folding`, it also says what to do with the sheets of a booklet to fold.
    """
    sheet = Composer(paper, faces, "How to print")
    sheet.title(TITLE)
    for number, text in enumerate(SETTINGS, 1):
        words = text.format(paper=PAPER_NAMES.get(paper.name, paper.name))
        _numbered(sheet, number, words)
    sheet.skip(0.6)
    if full_size:
        sheet.heading("Pages to print")
        rows = [
            (str(start) if start == end else f"{start} to {end}", _short(name, sheet))
            for start, end, name in full_size[:MOST_ROWS]
        ]
        sheet.table(("Page", "What it has"), rows, (24.0, paper.measure - 24.0), name="to print")
        if len(full_size) > MOST_ROWS:
            sheet.words(f"And all full-size pages up to page {full_size[-1][1]}.", scale.SMALL)
        sheet.skip(0.8)
        sheet.words(SWITCHED)
    if folding:
        sheet.skip(0.8)
        sheet.heading("Fold the booklet")
        sheet.words(FOLDING)
    page = sheet.pages()[0]
    shown = (*page.elements, *checks(paper))
    return [Page(page.width, page.height, shown, page.bookmark, zoom=page.zoom)]


def _short(name: str, sheet: Composer) -> str:
    return clipped(name, scale.TEXT, sheet.paper.measure - 30.0, sheet.faces)


def _numbered(sheet: Composer, number: int, text: str) -> None:
    """One setting, its number in the accent colour."""
    x, style = sheet.paper.left, scale.LEAD
    lines = wrap(text, style, sheet.paper.measure - INDENT, sheet.faces)
    height = leading(style) * len(lines) + 1.5
    head = sheet.set([str(number)], style, x, sheet.y, "accent")
    sheet.add(
        Role("list_item", group=("settings",)), *head, *sheet.set(lines, style, x + INDENT, sheet.y)
    )
    sheet.y -= height

"""The table of sizes: a row for all that differs."""

from __future__ import annotations

from pathlib import Path

from booklet.draw.typeface import load_faces
from booklet.pages.flow import Composer
from booklet.pages.grid import PAPERS
from booklet.pages.page import Line
from booklet.pages.sizes import size_table
from booklet.pages.supplies import supplies
from tests.folding import HEAD, model_of

STRIPS = """
[measures]
wide = 30
[[piece]]
id = "low"
name = "Strip"
stock = "card"
columns = ["wide"]
rows = [80]
map = ["face"]
[[piece]]
id = "high"
name = "Strip"
stock = "card"
columns = [50]
rows = [80]
map = ["face"]
[[size]]
id = "broad"
name = "Broad"
measures = { wide = 40 }
"""


def test_pieces_of_one_name_each_have_their_row(tmp_path: Path) -> None:
    """Of two strips one differs: its row is not lost to the other's."""
    model = model_of(HEAD + STRIPS, tmp_path)
    sheet = Composer(PAPERS["letter"], load_faces())
    size_table(model, sheet)
    inks = [ink for page in sheet.pages() for one in page.elements for ink in one.inks]
    words = [ink.text for ink in inks if isinstance(ink, Line)]
    assert "Strip (low): blank" in words
    assert "Strip (high): blank" not in words


INSIDE = """
[[contents]]
id = "card"
name = "cards"
size = [20, 40, 1]
"""


def test_what_goes_inside_is_counted_size_by_size(tmp_path: Path) -> None:
    """Each size with its number, then what they are, once."""
    text = HEAD + INSIDE + STRIPS + "contents = { card = 3 }\n"
    sheet = Composer(PAPERS["letter"], load_faces())
    supplies(model_of(text, tmp_path), sheet)
    inks = [ink for page in sheet.pages() for one in page.elements for ink in one.inks]
    words = [ink.text for ink in inks if isinstance(ink, Line)]
    assert "Regular 1, Broad 3 cards" in words

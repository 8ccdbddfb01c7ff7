"""Diagrams of flat work: what is drawn lies where the reader sees it."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from booklet.draw.diagram import Highlight, step_diagram
from booklet.draw.mark import Stroke
from booklet.draw.typeface import load_faces
from booklet.flat.path_bounds import path_bounds
from tests.folding import Flat

CARD = """
[[piece]]
id = "card"
stock = "card"
columns = [40, 10]
rows = [30]
map = ["page tab"]
root = "page"
"""


@pytest.mark.parametrize(("back", "left"), [(False, 40.0), (True, 0.0)])
def test_adhesive_is_on_its_tab_on_either_side(
    flat: Callable[[str], Flat], back: bool, left: float
) -> None:
    """Turned over like a page the tab lies at the left, and the hatching with it."""
    show = Highlight(glued=("tab",), back=back)
    drawing = step_diagram(flat(CARD).pattern, 1.0, show, True, load_faces(), "")
    glue = [mark for mark in drawing.marks if isinstance(mark, Stroke) and mark.style == "hatch"]
    boxes = [path_bounds(mark.path) for mark in glue]
    assert boxes
    assert all(box is not None and left <= box[0] and box[2] <= left + 10.0 for box in boxes)

"""Diagrams of flat work: what is drawn lies where the reader sees it."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from shapely.geometry import box

from booklet.draw.diagram import Highlight, step_diagram
from booklet.draw.label import CAP, LABEL
from booklet.draw.mark import Label, Stroke
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
    assert all(b is not None and left <= b[0] and b[2] <= left + 10.0 for b in boxes)


SIZE = ("40 mm (1⅝ in)", "30 mm (1³⁄₁₆ in)")


@pytest.mark.parametrize(
    ("scale", "told"),
    [
        (1.6, list(SIZE)),
        (0.6, ["40 mm (1⅝ in)", "30 mm"]),
        (0.3, ["40 mm"]),
        (0.1, []),
    ],
)
def test_a_blank_tells_as_much_of_its_size_as_it_has_room_for(
    flat: Callable[[str], Flat], scale: float, told: list[str]
) -> None:
    """Both units, one, or nothing; the sizes stay inside and apart."""
    faces = load_faces()
    show = Highlight(plain=True, name="Card", size=SIZE)
    drawing = step_diagram(flat(CARD).pattern, scale, show, False, faces, "")
    labels = [m for m in drawing.marks if isinstance(m, Label) and m.text != "Card"]
    assert [label.text for label in labels] == told
    rooms = []
    for label in labels:
        x, y = label.at
        half = faces.width(label.text, LABEL) / 2
        upright = label.angle == 90.0
        rooms.append(
            box(x - CAP, y - half, x, y + half) if upright else box(x - half, y, x + half, y + CAP)
        )
    assert all(box(*drawing.box).contains(room) for room in rooms)
    assert len(rooms) < 2 or not rooms[0].intersects(rooms[1])

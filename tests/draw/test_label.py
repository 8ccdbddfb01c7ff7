"""Words inside panels: in the middle, or beside what is cut out there."""

from __future__ import annotations

import pytest
from shapely.geometry import LineString, Point, Polygon, box

from booklet.draw.label import LABEL, fitted
from booklet.draw.typeface import load_faces

PANEL = box(0, 0, 66, 20)
NOTCH = Point(33, 0).buffer(8)
WINDOW = box(20, 4, 66, 16)


@pytest.mark.parametrize("hole", [NOTCH, WINDOW])
def test_words_move_aside_from_what_is_cut_out_of_the_middle(hole: Polygon) -> None:
    """A front with a thumb notch had no name on its template."""
    faces = load_faces()
    area = PANEL.difference(hole)
    assert isinstance(area, Polygon)
    (label,) = fitted(["front"], area, faces)
    half = faces.width("front", LABEL) / 2
    x, y = label.at
    ends = [(x - half, y), (x + half, y)] if label.angle == 0 else [(x, y - half), (x, y + half)]
    assert area.contains(LineString(ends))


def test_words_without_a_hole_stand_in_the_middle() -> None:
    """And as many lines as fit there, before any other place is tried."""
    lines = fitted(["front", "66 mm"], PANEL, load_faces())
    assert [line.at[0] for line in lines] == [33.0, 33.0]

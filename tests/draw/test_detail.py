"""Details: a small panel is shown larger, and whole, so that one sees which one it is."""

from __future__ import annotations

import math

import pytest
from shapely.geometry import LineString, box

from booklet.draw.detail import detailed
from booklet.draw.label import CAP, LABEL
from booklet.draw.mark import Clip, Drawing, Label, Stroke
from booklet.draw.panel_name import points_of
from booklet.draw.solid import Scene, draw_seen, see_scene
from booklet.draw.typeface import Faces, load_faces
from booklet.fold.face import Face
from booklet.fold.view import FLAT

SHEET = Face("sheet", ((0, 0, 0), (200, 0, 0), (200, 100, 0), (0, 100, 0)))


@pytest.fixture(scope="module")
def faces() -> Faces:
    """The type of the booklets."""
    return load_faces()


def drawn(tab: Face, faces: Faces) -> Drawing:
    """A sheet with a tab, a tenth of its size, in a room with space beside it."""
    seen = see_scene(Scene((SHEET, tab)), FLAT)
    whole = draw_seen(seen, 0.1, "A sheet.", faces)
    return detailed(whole, seen, 0.1, (tab.id,), (80.0, 60.0), faces)


def _is_ring(mark: Stroke) -> bool:
    return mark.style == "medium" and any(command[0] == "C" for command in mark.path.commands)


def _box(mark: Stroke) -> tuple[float, float, float, float]:
    xs, ys = zip(*points_of(mark.path), strict=True)
    return min(xs), min(ys), max(xs), max(ys)


@pytest.mark.parametrize("side", [30.0, 60.0, 110.0])
def test_a_small_panel_is_enlarged_whole(side: float, faces: Faces) -> None:
    """All its corners lie inside the ring that is taken from the picture."""
    tab = Face("tab", ((200, 0, 0), (200 + side, 0, 0), (200 + side, side, 0), (200, side, 0)))
    drawing = drawn(tab, faces)
    assert [mark for mark in drawing.marks if isinstance(mark, Clip)]
    boxes = [_box(mark) for mark in drawing.marks if isinstance(mark, Stroke) and _is_ring(mark)]
    x0, y0, x1, y1 = min(boxes, key=lambda box: box[2] - box[0])
    middle, radius = ((x0 + x1) / 2, (y0 + y1) / 2), (x1 - x0) / 2
    for x, y, _ in tab.points:
        assert math.dist(middle, (x / 10, y / 10)) < radius


def test_a_large_panel_needs_no_detail(faces: Faces) -> None:
    """Nothing is added to a picture that shows it well."""
    tab = Face("tab", ((200, 0, 0), (400, 0, 0), (400, 90, 0), (200, 90, 0)))
    assert not [mark for mark in drawn(tab, faces).marks if isinstance(mark, Clip)]


@pytest.mark.parametrize("x", [20.0, 22.0, 30.0])
def test_the_line_from_ring_to_ring_runs_through_no_words(x: float, faces: Faces) -> None:
    """Where words stand on the shortest way, the enlarged view goes elsewhere."""
    tab = Face("tab", ((200, 0, 0), (260, 0, 0), (260, 60, 0), (200, 60, 0)))
    seen = see_scene(Scene((SHEET, tab)), FLAT)
    plain = draw_seen(seen, 0.1, "A sheet.", faces)
    words = Label((x, 4.0), "a long name beside it", LABEL.name, "start")
    wide = faces.width(words.text, LABEL)
    whole = Drawing((*plain.marks, words), (0.0, 0.0, x + wide, 10.0), plain.alt)
    drawing = detailed(whole, seen, 0.1, (tab.id,), (110.0, 30.0), faces)
    (leader,) = [
        mark
        for mark in drawing.marks
        if isinstance(mark, Stroke) and mark.style == "medium" and not _is_ring(mark)
    ]
    room = box(x, 4.0 - CAP / 2, x + wide, 4.0 + CAP)
    assert not LineString(points_of(leader.path)).intersects(room)

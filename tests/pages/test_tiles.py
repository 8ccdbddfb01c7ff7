"""Tiles cover what is too large for a page, and each has a name of its own."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from pathlib import Path

import pytest
from shapely.geometry import MultiLineString

from booklet.draw.bounds import label_corners
from booklet.draw.label import words_area
from booklet.draw.mark import Area, Clip, Drawing, Label, Mark, Stroke
from booklet.draw.typeface import load_faces
from booklet.flat.path_bounds import path_bounds
from booklet.pages.grid import PAPERS
from booklet.pages.page import Page, Picture
from booklet.pages.template import template_pages
from booklet.pages.tiles import OVERLAP, tile_name, tiling
from booklet.pages.type import STYLES
from booklet.stages import check_file
from tests.folding import HEAD

STRIP = """
[[piece]]
id = "strip"
stock = "card"
columns = ["LONG", "6"]
rows = ["50"]
map = ["wide low"]
root = "wide"
"""


def test_no_two_tiles_have_one_name() -> None:
    """Also where there are more rows than letters: ten metres take about fifty."""
    names = [tile_name(column, row) for row in range(60) for column in range(60)]
    assert len(set(names)) == len(names)
    assert names[:2] == ["A1", "A2"] and tile_name(0, 1) == "B1" and tile_name(0, 26) == "AA1"


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("size", [(100.0, 100.0), (192.0, 260.0), (700.0, 30.0), (1000.0, 1500.0)])
def test_tiles_cover_the_drawing_and_overlap(paper: str, size: tuple[float, float]) -> None:
    """From the left edge to the right and from the top to the bottom, neighbours share a strip."""
    plan = tiling(Drawing((), (0.0, 0.0, *size), ""), PAPERS[paper])
    assert plan.xs[0] == 0 and plan.xs[-1] + plan.width == pytest.approx(size[0])
    assert plan.ys[0] + plan.height == pytest.approx(size[1])
    assert plan.ys[-1] == pytest.approx(0, abs=1e-9)
    for left, right in pairwise(plan.xs):
        assert left + plan.width - right == pytest.approx(OVERLAP)
    for upper, lower in pairwise(plan.ys):
        assert lower + plan.height - upper == pytest.approx(OVERLAP)


def _marks(pages: Sequence[Page]) -> list[Mark]:
    """The marks of the templates on these pages, also of those inside a clipped tile."""
    inks = [ink for page in pages for element in page.elements for ink in element.inks]
    shown = [ink.drawing for ink in inks if isinstance(ink, Picture) and ink.layered]
    marks = [mark for drawing in shown for mark in drawing.marks]
    return [one for mark in marks for one in (mark.marks if isinstance(mark, Clip) else (mark,))]


def _angles(pages: Sequence[Page]) -> list[float]:
    """The angles of all panel names on these pages."""
    marks = _marks(pages)
    return [mark.angle for mark in marks if isinstance(mark, Label) and mark.layer == "labels"]


@pytest.mark.parametrize("long", ["220", "400"], ids=["one page", "tiles"])
def test_no_word_of_a_template_that_lies_sideways_is_upside_down(long: str, tmp_path: Path) -> None:
    """A long low piece is turned to fit its pages; what stood upright comes to lie level."""
    file = tmp_path / "strip.toml"
    file.write_text(HEAD + STRIP.replace("LONG", long), encoding="utf-8")
    model, _ = check_file(file)
    assert model is not None
    assert set(_angles(template_pages(model, PAPERS["letter"], load_faces()))) == {0, 270}


TABBED = """
[[piece]]
id = "folder"
stock = "card"
columns = ["60", "60", "15"]
rows = ["350"]
map = ["back front tab"]
root = "back"
[[piece.join]]
tab = "tab"
to = "back"
"""


def test_hatching_leaves_the_words_of_its_own_tile_free(tmp_path: Path) -> None:
    """A tab over two tiles has its name on both, and no line runs through either."""
    path = tmp_path / "tabbed.toml"
    path.write_text(HEAD + TABBED, "utf-8")
    model, _ = check_file(path)
    assert model is not None
    faces = load_faces()
    tiles = template_pages(model, PAPERS["a4"], faces)[1:]
    assert len(tiles) == 2
    for page in tiles:
        marks = _marks([page])
        words = [mark for mark in marks if isinstance(mark, Label) and mark.layer == "labels"]
        assert sum("glue" in word.text or word.text == "tab" for word in words) == 1
        room = words_area(words, faces)
        lines = [mark.path for mark in marks if isinstance(mark, Stroke) and mark.style == "hatch"]
        points = [point for path in lines for command in path.commands for point in command[1:]]
        hatched = MultiLineString(list(zip(points[::2], points[1::2], strict=True)))
        assert hatched.length > 0 and hatched.intersection(room.buffer(-0.05)).length == 0


TRAY = Path(__file__).resolve().parents[2] / "projects" / "harvest-tray" / "harvest-tray.toml"


@pytest.mark.parametrize("paper", PAPERS)
def test_no_line_of_the_map_runs_through_the_name_of_a_tile(paper: str) -> None:
    """White lies over the outline and under every name; the tray's tabs end in their middle."""
    model, _ = check_file(TRAY)
    assert model is not None
    faces = load_faces()
    page = template_pages(model, PAPERS[paper], faces)[0]
    inks = [ink for element in page.elements for ink in element.inks if isinstance(ink, Picture)]
    (plan,) = (ink.drawing for ink in inks if ink.drawing.alt.startswith("Map of the tiles"))
    names = [mark for mark in plan.marks if isinstance(mark, Label)]
    assert [name.text for name in names] == ["A1", "A2", "B1", "B2"]
    whites = [mark for mark in plan.marks if isinstance(mark, Area) and mark.fill == "white"]
    assert len(whites) == len(names)
    last = max(at for at, mark in enumerate(plan.marks) if isinstance(mark, Stroke))
    for name, white in zip(names, whites, strict=True):
        assert last < plan.marks.index(white) < plan.marks.index(name)
        room = path_bounds(white.path)
        assert room is not None
        left, right = (x for x, _ in label_corners(name, faces, STYLES[name.style])[:2])
        top = name.at[1] + faces.cap_height(STYLES[name.style])
        assert room[0] < left and right < room[2]
        assert room[1] < name.at[1] and top < room[3]

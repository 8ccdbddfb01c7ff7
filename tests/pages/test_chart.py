"""The score chart: its place on the page and the words under its picture."""

from __future__ import annotations

from pathlib import Path

import pytest

from booklet.draw.typeface import load_faces
from booklet.pages.binder import binder
from booklet.pages.chart import charts
from booklet.pages.flow import Composer
from booklet.pages.grid import PAPERS
from booklet.pages.handout import handout
from booklet.pages.page import Line, Picture
from tests.folding import model_of

STRIP = """
[[piece]]
id = "strip"
stock = "card"
columns = [40, 40, 40]
rows = [60]
map = ["left base right"]
root = "base"
folds = {{ left = {left}, right = {right} }}
"""


@pytest.mark.parametrize(
    ("left", "right", "words"),
    [
        (90, 90, "A dashed line folds toward you."),
        (-90, -90, "A dash-dot line folds away from you."),
        (90, -90, "A dashed line folds toward you, a dash-dot line folds away from you."),
    ],
)
def test_the_chart_explains_the_lines_that_are_drawn(
    left: int, right: int, words: str, tmp_path: Path
) -> None:
    """A reader looks for no line that is not there."""
    model = model_of(STRIP.format(left=left, right=right), tmp_path, warnings=False)
    document = handout(model, PAPERS["a4"], load_faces())
    told = [
        " ".join(ink.text for ink in element.inks if isinstance(ink, Line))
        for page in document.pages
        for element in page.elements
    ]
    assert words in told


@pytest.mark.parametrize(("free", "pages"), [(130.0, 1), (100.0, 2)])
def test_a_chart_is_drawn_smaller_where_it_then_stays_on_its_page(
    free: float, pages: int, tmp_path: Path
) -> None:
    """Below three short cautions stands a chart that would want 150 mm and can do with 125."""
    square = STRIP.format(left=90, right=90).replace("rows = [60]", "rows = [120]")
    model = model_of(square, tmp_path, warnings=False)
    sheet = Composer(PAPERS["a4"], load_faces(), "Safety")
    sheet.title("Before you start")
    sheet.y = sheet.paper.bottom + free
    charts(model, sheet)
    done = sheet.pages()
    assert len(done) == pages
    inks = [ink for element in done[-1].elements for ink in element.inks]
    [picture] = [ink for ink in inks if isinstance(ink, Picture)]
    assert picture.y >= sheet.paper.bottom


def test_the_heads_of_the_chart_stay_on_one_line_in_a_binder(tmp_path: Path) -> None:
    """Its columns are narrower: "Scored, from the" and "top" took two lines beside free room."""
    model = model_of(STRIP.format(left=90, right=90), tmp_path)
    for paper in PAPERS.values():
        pages = binder(model, paper, load_faces()).pages
        lines = [
            ink.text
            for page in pages
            for element in page.elements
            for ink in element.inks
            if isinstance(ink, Line)
        ]
        assert "Scored, from the top" in lines

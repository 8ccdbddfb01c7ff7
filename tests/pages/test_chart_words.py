"""The words under the picture of a score chart tell the lines that it has."""

from __future__ import annotations

from pathlib import Path

import pytest

from booklet.draw.typeface import load_faces
from booklet.pages.grid import PAPERS
from booklet.pages.handout import handout
from booklet.pages.page import Line
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

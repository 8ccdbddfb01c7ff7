"""The words beside a template tell of what is drawn there, and of nothing else."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

import pytest

from booklet.draw.mark import Clip, Drawing, Label, Mark, Stroke
from booklet.draw.typeface import load_faces
from booklet.pages.grid import PAPERS
from booklet.pages.page import Line, Page, Picture
from booklet.pages.template import template_pages
from booklet.stages import check_file

PROJECTS = Path(__file__).resolve().parents[2] / "projects"
DEMOS = sorted(PROJECTS.glob("*/*.toml"))
MEANT = {
    "cut": "cut",
    "valley": "score, fold toward you",
    "mountain": "score, fold away from you",
    "hatch": "tape or glue",
}


def _drawings(page: Page) -> list[Drawing]:
    return [ink.drawing for one in page.elements for ink in one.inks if isinstance(ink, Picture)]


def _styles(drawings: Sequence[Drawing]) -> set[str]:
    def of(marks: Sequence[Mark]) -> Iterator[str]:
        for mark in marks:
            if isinstance(mark, Clip):
                yield from of(mark.marks)
            elif isinstance(mark, Stroke):
                yield mark.style

    return {style for drawing in drawings for style in of(drawing.marks)}


def _groups(pages: Sequence[Page]) -> list[list[Page]]:
    """Pages with what belongs to them: the tiles go with their map."""
    groups: list[list[Page]] = []
    for page in pages:
        if (page.bookmark or "").startswith("Tile "):
            groups[-1].append(page)
        else:
            groups.append([page])
    return groups


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("demo", DEMOS, ids=lambda demo: demo.stem)
def test_the_key_has_a_row_for_each_line_on_the_page_and_no_other(demo: Path, paper: str) -> None:
    """A mat has no scores and takes no glue; a key that shows them sends a reader to look."""
    model, _ = check_file(demo)
    assert model is not None
    pages = template_pages(model, PAPERS[paper], load_faces())
    assert any(drawing.alt.startswith("Key: ") for page in pages for drawing in _drawings(page))
    for head, *tiles in _groups(pages):
        shown = [
            ink.drawing
            for page in (head, *tiles)
            for one in page.elements
            for ink in one.inks
            if isinstance(ink, Picture) and ink.layered
        ]
        keys = [drawing for drawing in _drawings(head) if drawing.alt.startswith("Key: ")]
        styles = _styles(shown)
        for key in keys:
            told = [mark.text for mark in key.marks if isinstance(mark, Label)]
            assert told == [words for style, words in MEANT.items() if style in styles]
            assert _styles([key]) == styles & MEANT.keys()
        if not tiles:
            said = any(
                ink.text.startswith("Measures outside")
                for one in head.elements
                for ink in one.inks
                if isinstance(ink, Line)
            )
            assert said <= ("dimension" in styles)


def test_a_mat_too_small_for_words_has_them_below(tmp_path: Path) -> None:
    """Two shapes on one page, the smaller without a name: nobody knew what to cut it for."""
    file = tmp_path / "strip.toml"
    file.write_text(STRIPS, encoding="utf-8")
    model, _ = check_file(file)
    assert model is not None
    page = template_pages(model, PAPERS["letter"], load_faces())[-1]
    mats = [drawing for drawing in _drawings(page) if "of the mat" in drawing.alt]
    assert len(mats) == 2
    for drawing in mats:
        said = [mark for mark in drawing.marks if isinstance(mark, Label)]
        name, size = (mark.text for mark in said)
        assert name in ("Wide mat", "Thin mat") and "mm" in size
        x0, y0, x1, y1 = drawing.box
        assert all(x0 <= mark.at[0] <= x1 and y0 <= mark.at[1] <= y1 for mark in said)
    thin = next(drawing for drawing in mats if "Thin mat" in drawing.alt)
    high = thin.box[3] - 4.0
    assert all(mark.at[1] < high for mark in thin.marks if isinstance(mark, Label))


STRIPS = """
[project]
title = "Strips"
units = "mm"
[[stock]]
id = "card"
sheet = "a4"
[[piece]]
id = "strip"
stock = "card"
columns = [60]
rows = [40, 9]
map = ["wide", "thin"]
[[mat]]
id = "one"
name = "Wide mat"
on = "wide"
stock = "card"
reveal = 2
[[mat]]
id = "two"
name = "Thin mat"
on = "thin"
stock = "card"
reveal = 2.5
[[supply]]
id = "glue"
kind = "adhesive"
"""

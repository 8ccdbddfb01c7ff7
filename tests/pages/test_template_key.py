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

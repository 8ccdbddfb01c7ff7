"""Cautions stand together: none is left alone on a page."""

from __future__ import annotations

from pathlib import Path

import pytest

from booklet.draw.typeface import load_faces
from booklet.pages.flow import Composer
from booklet.pages.grid import PAPERS
from booklet.pages.page import Line
from booklet.pages.safety import safety
from booklet.stages import check_file

TITLE = "Before you start: safety"


@pytest.mark.parametrize("lines", range(0, 40, 3))
def test_cautions_that_fit_a_page_are_never_parted(lines: int, demo: Path) -> None:
    """However much stands above: they follow below it whole, or have the next page."""
    model, _ = check_file(demo)
    assert model is not None
    alone = Composer(PAPERS["letter"], load_faces(), "")
    safety(model, alone)
    pages = len(alone.pages())
    sheet = Composer(PAPERS["letter"], load_faces(), "What you need")
    for _ in range(lines):
        sheet.words("Something that is needed.")
    safety(model, sheet)
    texts = [
        [ink.text for e in page.elements for ink in e.inks if isinstance(ink, Line)]
        for page in sheet.pages()
    ]
    (start,) = (n for n, text in enumerate(texts) if TITLE in text)
    if pages == 1:
        assert start == len(texts) - 1
    assert len(texts) <= pages + 1

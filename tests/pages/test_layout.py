"""Pages as printed, read back: words keep inside the margins and do not lie on each other."""

from __future__ import annotations

from itertools import combinations
from pathlib import Path

import pdfplumber
import pytest

from tests.made import Workshop

POINT = 25.4 / 72
MARGIN = 6.0
"""What printers cannot reach, in mm."""


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_words_keep_apart_and_inside_the_margins(
    demo: Path, paper: str, workshop: Workshop
) -> None:
    """No word is cut off by a printer's margin, and no two words overlap by a quarter."""
    (path,) = workshop.files(demo.stem, "handout", paper)
    with pdfplumber.open(path) as pdf:
        for page in pdf.pages:
            words = [w for w in page.extract_words() if w["upright"]]
            tile = ", tile " in " ".join(word["text"] for word in words)
            for word in words:
                if not tile:  # words of a template may run on to the next tile
                    assert word["x0"] * POINT > MARGIN
                    assert (page.width - word["x1"]) * POINT > MARGIN
                assert word["top"] * POINT > MARGIN
                assert (page.height - word["bottom"]) * POINT > MARGIN
            for a, b in combinations(words, 2):
                wide = min(a["x1"], b["x1"]) - max(a["x0"], b["x0"])
                high = min(a["bottom"], b["bottom"]) - max(a["top"], b["top"])
                least = min((w["x1"] - w["x0"]) * (w["bottom"] - w["top"]) for w in (a, b))
                shared = max(0.0, wide) * max(0.0, high)
                assert shared < 0.25 * least, (page.page_number, a["text"], b["text"])


def test_no_page_is_nearly_empty(demo: Path, workshop: Workshop) -> None:
    """Every page holds a picture or a good many words."""
    (path,) = workshop.files(demo.stem, "handout", "letter")
    with pdfplumber.open(path) as pdf:
        for page in pdf.pages:
            drawn = len(page.curves) + len(page.lines) >= 8 or page.images
            assert len(page.extract_words()) >= 40 or drawn

"""Long words in every text: nothing runs off a page."""

from __future__ import annotations

from pathlib import Path

import pdfplumber

from booklet.command.line import main

BOX = Path(__file__).resolve().parents[2] / "projects" / "seed-box" / "seed-box.toml"
POINT = 25.4 / 72


def test_long_titles_summaries_and_words_stay_on_their_pages(tmp_path: Path) -> None:
    """A title of 190 letters, a summary of 1,200 and a word of 1,500."""
    source = BOX.read_text("utf-8")
    source = source.replace('title = "Seed packet box"', f'title = "{"Very long title " * 12}"')
    source = source.replace('summary = "A flip', f'summary = "{"Long words again. " * 65}A flip')
    source = source.replace('say = "Fold both', f'say = "{"x" * 1500} Fold both')
    project = tmp_path / "long.toml"
    project.write_text(source, "utf-8")
    assert main(["make", str(project)]) == 0
    with pdfplumber.open(tmp_path / "long-letter.pdf") as pdf:
        for page in pdf.pages:
            words = page.extract_words()
            assert words, f"page {page.page_number} is empty"
            for word in words:
                assert word["x0"] * POINT > 6 and (page.width - word["x1"]) * POINT > 6
                assert word["top"] * POINT > 6 and (page.height - word["bottom"]) * POINT > 6

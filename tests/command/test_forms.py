"""`booklet forms`: the list in the terminal and the gallery."""

from __future__ import annotations

import re
from pathlib import Path

import pdfplumber
import pytest

from booklet.command.line import main
from booklet.read.form import form_names, read_fragment


def test_the_list_has_every_form_with_its_inputs(capsys: pytest.CaptureFixture[str]) -> None:
    """Name, what it is, and each input with its words and default."""
    assert main(["forms"]) == 0
    told = capsys.readouterr().out
    for name in form_names():
        fragment = read_fragment(name)
        flat = " ".join(told.split())
        assert f"{name}: {fragment.summary} wide " in flat
        assert all(f"{one.name} {one.says}: " in flat for one in fragment.inputs)
    assert max(map(len, told.splitlines())) <= 100


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_the_gallery_shows_every_form(paper: str, tmp_path: Path) -> None:
    """A list, then two on a page, each with name, title and a picture; no page has one alone."""
    target = tmp_path / "gallery.pdf"
    assert main(["forms", "--out", str(target), "--paper", paper]) == 0
    with pdfplumber.open(target) as pdf:
        first = len(form_names()) % 2
        assert len(pdf.pages) == 1 + len(form_names()) // 2
        texts = [page.extract_text() or "" for page in pdf.pages]
        for index, name in enumerate(form_names()):
            page = 0 if index < first else 1 + (index - first) // 2
            listed = f"{read_fragment(name).title} {page + 1}"
            assert listed in texts[0]
            assert name in texts[page] and read_fragment(name).title in texts[page]
            assert len(pdf.pages[page].curves) + len(pdf.pages[page].lines) >= 5
            for word in pdf.pages[page].extract_words():
                assert not re.search(r"[0-9]/[0-9]", word["text"])  # fractions are set
                assert word["x0"] > 15 and word["x1"] < float(pdf.pages[page].width) - 15


def test_a_gallery_that_cannot_be_written_is_a_message(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Exit status 2."""
    (tmp_path / "taken").write_text("", "utf-8")
    assert main(["forms", "--out", str(tmp_path / "taken" / "gallery.pdf")]) == 2
    assert "cannot be written" in capsys.readouterr().err

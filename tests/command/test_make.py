"""`booklet make` from end to end, on every demo."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path

import pdfplumber
import pikepdf
import pytest

from booklet.command.line import main

POINT = 25.4 / 72
"""Millimetres in a PDF unit (1/72 in: ISO 32000-1)."""
SIZES = {"letter": (215.9, 279.4), "a4": (210.0, 297.0)}
"""ANSI/ASME Y14.1 size A; ISO 216 A4."""


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_a_demo_becomes_a_booklet(demo: Path, paper: str, tmp_path: Path) -> None:
    """Right page boxes, every font embedded, an outline, title and language."""
    assert main(["make", str(demo), "--paper", paper, "--out", str(tmp_path)]) == 0
    target = tmp_path / f"{demo.stem}-{paper}.pdf"
    with pikepdf.open(target) as pdf:
        assert len(pdf.pages) >= 5
        for page in pdf.pages:
            box = [float(value) * POINT for value in page.mediabox]
            assert box[2:] == pytest.approx(SIZES[paper], abs=0.02)
            for font in page.Resources.get("/Font", pikepdf.Dictionary()).values():
                descriptor = font.get("/FontDescriptor")
                assert descriptor is not None and "/FontFile2" in descriptor
        assert str(pdf.Root.Lang) == "en"
        assert pdf.docinfo["/Title"]


def test_a_project_sheet_has_the_whole_summary(tmp_path: Path) -> None:
    """A usual summary takes two lines, and both are printed."""
    demo = Path(__file__).resolve().parents[2] / "projects" / "seed-box" / "seed-box.toml"
    summary = tomllib.loads(demo.read_text("utf-8"))["project"]["summary"]
    assert main(["make", "--for", "binder", str(demo), "--out", str(tmp_path)]) == 0
    with pdfplumber.open(tmp_path / "seed-box-binder-letter.pdf") as pdf:
        text = " ".join((pdf.pages[0].extract_text() or "").split())
    assert summary in text


def test_the_same_input_gives_the_same_bytes(demo: Path, tmp_path: Path) -> None:
    """Two runs, one file."""
    for name in ("a", "b"):
        assert main(["make", str(demo), "--out", str(tmp_path / name)]) == 0
    first, second = (next((tmp_path / name).iterdir()).read_bytes() for name in ("a", "b"))
    assert first == second


def test_the_template_is_printed_at_full_size(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Each score of the model is found in the PDF within 0.02 mm, by another library."""
    demo = Path(__file__).resolve().parents[2] / "projects" / "seed-box" / "seed-box.toml"
    assert main(["check", "--json", str(demo)]) == 0
    piece = json.loads(capsys.readouterr().out)["pieces"][0]
    assert main(["make", str(demo), "--paper", "letter", "--out", str(tmp_path)]) == 0
    with pdfplumber.open(tmp_path / "seed-box-letter.pdf") as pdf:
        page = next(p for p in pdf.pages if "Template: box body" in (p.extract_text() or ""))
        lines = [
            tuple(float(line[key]) * POINT for key in ("x0", "bottom", "x1", "top"))
            for line in page.lines
        ]
        height = float(page.height) * POINT
    drawn = [(x0, height - bottom, x1, height - top) for x0, bottom, x1, top in lines]
    scores = [(*s["from"], *s["to"]) for s in piece["scores"]]
    origins = [
        (line[0] - scores[0][0], line[1] - scores[0][1])
        for line in drawn
        if abs((line[3] - line[1]) - (scores[0][3] - scores[0][1])) < 0.02
        and abs(line[2] - line[0]) < 0.02
    ]
    assert any(
        all(
            any(
                max(abs(line[k] - score[k] - origin[k % 2]) for k in range(4)) < 0.02
                for line in drawn
            )
            for score in scores
        )
        for origin in origins
    )


def test_a_project_with_errors_leaves_the_earlier_pdf(tmp_path: Path) -> None:
    """Exit status 1, and not a byte changed."""
    project = tmp_path / "box.toml"
    source = Path(__file__).resolve().parents[2] / "projects" / "card-wallet" / "card-wallet.toml"
    project.write_text(source.read_text("utf-8"), "utf-8")
    assert main(["make", str(project)]) == 0
    before = (tmp_path / "box-a4.pdf").read_bytes()
    project.write_text(source.read_text("utf-8").replace('root = "face"', 'root = "fcae"'), "utf-8")
    assert main(["make", str(project)]) == 1
    assert (tmp_path / "box-a4.pdf").read_bytes() == before


def test_a_file_that_is_not_there_is_wrong_usage(capsys: pytest.CaptureFixture[str]) -> None:
    """Exit status 2 and a sentence, no traceback."""
    assert main(["make", "nowhere.toml"]) == 2
    assert "Traceback" not in capsys.readouterr().err

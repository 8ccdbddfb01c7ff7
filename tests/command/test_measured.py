"""A printer that is not true: full-size pages are drawn so that they come out true on it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from booklet.command.line import main
from booklet.command.measured import measured
from tests.readback import ReadPage, page_sizes, read_pages

PROJECTS = Path(__file__).resolve().parents[2] / "projects"
LETTER = (215.9, 279.4)
"""ANSI/ASME Y14.1 size A, in mm."""


def made(tmp_path: Path, name: str, *words: str) -> Path:
    """The PDF of a demo."""
    project = PROJECTS / name / f"{name}.toml"
    arguments = ["make", str(project), "--paper", "letter", "--out", str(tmp_path), *words]
    assert main(arguments) == 0
    return next(path for path in sorted(tmp_path.glob("*.pdf")) if "booklet" not in path.stem)


def checks(page: ReadPage) -> list[float]:
    """Lengths of the lines of the scale check: the two longest thin lines of 4 in or so."""
    lengths = {
        round(max(abs(b[0] - a[0]), abs(b[1] - a[1])), 2)
        for a, b, stroke in page.straight_lines()
        if (not stroke.dash and a[0] < 25 and a[1] < 30) or a[1] < 16
    }
    return sorted(length for length in lengths if 85 < length < 125)


@pytest.mark.parametrize(
    ("word", "percent"), [("98.2mm", 98.2), ("103 mm", 103.0), ("10.5cm", 105)]
)
def test_a_template_is_larger_by_what_the_printer_takes(
    word: str, percent: float, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Every score, times what the printer makes of it, is the model's; the paper stays."""
    project = PROJECTS / "card-wallet" / "card-wallet.toml"
    assert main(["check", "--json", str(project)]) == 0
    scores = json.loads(capsys.readouterr().out)["pieces"][0]["scores"]
    pdf = made(tmp_path, "card-wallet", "--measured", word)
    assert all(size == pytest.approx(LETTER, abs=0.02) for size in page_sizes(pdf))
    page = next(one for one in read_pages(pdf) if "Template: wallet" in one.text)
    drawn = [
        (abs(b[0] - a[0]) * percent / 100, abs(b[1] - a[1]) * percent / 100)
        for a, b, stroke in page.straight_lines()
        if stroke.dash
    ]
    for score in scores:
        wide, tall = (abs(score["to"][k] - score["from"][k]) for k in (0, 1))
        assert any(
            (abs(w - wide) < 0.03 and abs(t - tall) < 0.03)
            or (abs(w - tall) < 0.03 and abs(t - wide) < 0.03)
            for w, t in drawn
        )
    assert [length * percent / 100 for length in checks(page)] == pytest.approx([101.6], abs=0.03)
    words = " ".join(page.text.split())
    assert f"Drawn at {10000 / percent:.1f} %" in words and f"measured {percent:.1f} mm" in words


def test_tiles_and_mats_are_corrected_and_other_pages_are_not(tmp_path: Path) -> None:
    """Each page with a scale check says it; the score chart has its usual place."""
    plain = read_pages(made(tmp_path / "plain", "tea-carton"))
    pages = read_pages(made(tmp_path / "corrected", "tea-carton", "--measured", "98.2mm"))
    full = [page for page in pages if checks(page)]
    assert len(full) >= 3
    for page in full:
        assert "98.2 mm" in page.text
        assert checks(page) == pytest.approx([101.6 / 0.982], abs=0.03)
    chart, same = (next(p for p in one if "Score chart" in p.text) for one in (pages, plain))
    assert chart.text == same.text and chart.strokes == same.strokes


def test_inches_are_those_of_the_four_inch_line(tmp_path: Path) -> None:
    """3.9 in of 4 are 97.5 of 100 mm."""
    by_mm = made(tmp_path / "mm", "card-wallet", "--measured", "97.5mm").read_bytes()
    assert made(tmp_path / "in", "card-wallet", "--measured", "3.9in").read_bytes() == by_mm
    assert made(tmp_path / "f", "card-wallet", "--measured", "3 9/10 in").read_bytes() == by_mm


def test_a_true_printer_changes_nothing(tmp_path: Path) -> None:
    """The same bytes as without the option."""
    plain = made(tmp_path / "a", "card-wallet").read_bytes()
    assert made(tmp_path / "b", "card-wallet", "--measured", "100mm").read_bytes() == plain


def test_templates_of_a_folded_booklet_are_corrected(tmp_path: Path) -> None:
    """They are a file of their own; its print page measures true too."""
    project = PROJECTS / "card-wallet" / "card-wallet.toml"
    words = ["make", str(project), "--booklet", "--measured", "98.2mm", "--out", str(tmp_path)]
    assert main(words) == 0
    pages = read_pages(next(tmp_path.glob("*-templates.pdf")))
    assert all(checks(page) == pytest.approx([101.6 / 0.982], abs=0.03) for page in pages)


@pytest.mark.parametrize(
    "word",
    ["98.2", "50mm", "111mm", "89.9 mm", "-98mm", "0mm", "4.5in", "nonsense", "wide mm", "1/0 mm",
     "", "mm", "9" * 5000 + "mm", "nanmm", "1e999mm", "\x1b[2Jmm"],
)  # fmt: skip
def test_absurd_measures_are_refused(
    word: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Status 2 and a sentence; nothing is written."""
    project = PROJECTS / "card-wallet" / "card-wallet.toml"
    assert main(["make", str(project), "--out", str(tmp_path), f"--measured={word}"]) == 2
    told = capsys.readouterr().err
    assert "--measured" in told and "Traceback" not in told and "\x1b" not in told
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("edition", ["pattern", "binder"])
def test_what_is_for_others_is_not_corrected_for_one_printer(
    edition: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A pattern is sold to people with other printers."""
    project = PROJECTS / "card-wallet" / "card-wallet.toml"
    words = ["make", str(project), "--for", edition, "--measured", "98mm", "--out", str(tmp_path)]
    assert main(words) == 2
    assert "handout" in capsys.readouterr().err


@pytest.mark.parametrize("word", ["90mm", "110mm", "9cm", "11cm", "3.6in", '4.4"'])
def test_a_printer_may_be_out_by_ten_percent_to_the_last_digit(word: str) -> None:
    """Ten are not more than ten, in both directions and in both units."""
    assert abs(measured(word) - 100) == pytest.approx(10)

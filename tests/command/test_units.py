"""A project in another unit: rounded to that unit's ruler, proved again, printed on its own."""

from __future__ import annotations

import json
import re
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from booklet.command.line import main
from booklet.measure.reround import Reround
from booklet.problem import Place
from booklet.stages import Asked, check_file
from tests.readback import read_pages

INCH = 25.4
"""Millimetres in an inch: NIST Special Publication 811 (2008), Appendix B.8."""
HERE = Place("p.toml", 1, 1)

TRAY = """[project]
title = "Tray"
ruler = "1/16"

[measures]
wide = "2 3/8"
wall = "5/8"
brim = "wide + 1/8"

[[contents]]
id = "box"
size = ["60 mm", "2", "1/2"]
inside = "tray"

[[stock]]
id = "card"
sheet = "letter"
thickness = "0.2 mm"

[[piece]]
id = "tray"
stock = "card"
columns = ["wall", "wide", "wall"]
rows = ["wall", "brim", "wall"]
map = [".    back  .", "left base  right", ".    front ."]
"""


def told(capsys: pytest.CaptureFixture[str], *words: str) -> Any:
    """The report that the command prints."""
    assert main(["check", "--json", *words]) == 0
    return json.loads(capsys.readouterr().out)


def written(folder: Path, text: str) -> Path:
    """A project file in the folder."""
    path = folder / "tray.toml"
    path.write_text(text, "utf-8")
    return path


def test_measures_go_to_millimetres(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """By hand: 60.325 to 60, 15.875 to 16; 60 mm hold no 60 mm between walls, so 61; 61 + 3."""
    report = told(capsys, "--units", "mm", str(written(tmp_path, TRAY)))
    assert report["measures"] == {"wide": 61, "wall": 16, "brim": 64}
    assert report["pieces"][0]["blank"] == [93, 96]
    assert report["units"] == {"written": "in", "printed": "mm", "ruler": 1}
    assert report["contents"][0]["fits"]
    assert report["contents"][0]["size"] == [60, 2 * INCH, INCH / 2], "contents stay as they are"


def test_what_needs_no_room_stays_at_the_nearest_mark(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Without contents nothing is moved up."""
    text = re.sub(r"\[\[contents\]\].*?\n\n", "", TRAY, flags=re.DOTALL)
    report = told(capsys, "--units", "mm", str(written(tmp_path, text)))
    assert report["measures"] == {"wide": 60, "wall": 16, "brim": 63}


def test_a_blank_that_fills_its_sheet_goes_down(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """8 1/2 in is the sheet; five parts of 1.7 in are 43.18 mm, at the nearest 215 mm."""
    text = TRAY.replace("60 mm", "20 mm").replace('"5/8"', '"2 1/2"').replace("2 3/8", "3 1/2")
    report = told(capsys, "--units", "mm", str(written(tmp_path, text)))
    # 63.5 would go up to 64 and 88.9 to 89: 217 mm, more than the sheet's 215.9.
    assert report["pieces"][0]["blank"][0] <= 8.5 * INCH
    assert report["measures"]["wall"] == 63 and report["measures"]["wide"] == 89


@pytest.mark.parametrize("units", ["mm", "cm", "in"])
@pytest.mark.parametrize("name", ["seed-box", "card-wallet", "harvest-tray", "tea-carton"])
def test_demos_hold_in_every_unit(units: str, name: str) -> None:
    """No error and no warning in any; every blank and score lies on the ruler."""
    demo = Path(__file__).resolve().parents[2] / "projects" / name / f"{name}.toml"
    model, problems = check_file(demo, Asked(units=units))
    assert model is not None
    assert [problem for problem in problems if problem.severity != "note"] == []
    assert model.scope.units == units


def test_a_booklet_in_millimetres_says_them_first(tmp_path: Path) -> None:
    """Each size on each page is in mm with inches behind; the parts add up to the blank."""
    path = written(tmp_path, TRAY)
    assert main(["make", "--units", "mm", str(path)]) == 0
    (pdf,) = tmp_path.glob("*.pdf")
    assert pdf.name == "tray-mm-letter.pdf"
    pages = read_pages(pdf)
    text = "\n".join(page.text for page in pages)
    assert "93 × 96 mm" in text
    assert not re.search(r"in \([\d.]+ [cm]m\)", text), "no inches with metric behind"
    (page,) = (page for page in pages if "Template: tray" in page.text)
    words = [word.text for word in page.words]
    assert {"16", "61", "64"} <= set(words)
    upright = [line for line in page.straight_lines() if line[2].dash]
    xs = {round(a[0], 2) for a, b, _ in upright if abs(a[0] - b[0]) < 0.01}
    assert max(xs) - min(xs) == pytest.approx(61, abs=0.02)


def test_the_own_unit_changes_nothing(tmp_path: Path) -> None:
    """The same bytes as without the option."""
    path = written(tmp_path, TRAY)
    assert main(["make", str(path)]) == 0
    assert main(["make", "--units", "in", str(path)]) == 0
    plain, asked = (tmp_path / name for name in ("tray-letter.pdf", "tray-in-letter.pdf"))
    assert plain.read_bytes() == asked.read_bytes()


def test_boards_with_marks_of_five_millimetres(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Every score is on the board; a file name of its own."""
    path = written(tmp_path, TRAY)
    report = told(capsys, "--units", "mm", "--ruler", "5 mm", str(path))
    chart = report["pieces"][0]["score_chart"]
    assert all(at % 5 == 0 for at in chart["from_left"] + chart["from_top"])
    assert main(["make", "--units", "mm", "--ruler", "5 mm", str(path)]) == 0
    assert (tmp_path / "tray-mm-ruler-5-mm-letter.pdf").exists()


def test_what_no_rounding_proves_is_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Walls that must be 54 mm go up to 60, and then the blank of 221 mm is 225 mm."""
    text = TRAY.replace("60 mm", "100 mm").replace("2 3/8", "4 1/16").replace('"5/8"', '"2 1/4"')
    text = text.replace('"1/2"]', '"2 1/8"]')
    text = text.replace('sheet = "letter"', 'sheet = ["221 mm", "221 mm"]')
    path = written(tmp_path, text)
    assert check_file(path)[1] == []
    _, problems = check_file(path, Asked(units="mm", ruler="15 mm"))
    codes = [problem.code for problem in problems if problem.severity == "error"]
    assert "units-not-proved" in codes and len(codes) > 1
    assert main(["make", "--units", "mm", "--ruler", "15 mm", str(path)]) == 1
    assert not list(tmp_path.glob("*.pdf"))
    assert "Traceback" not in capsys.readouterr().err


def test_a_project_with_errors_is_not_blamed_for_its_unit(tmp_path: Path) -> None:
    """Its own problems, once."""
    path = written(tmp_path, TRAY.replace('"wall", "wide"', '"wall", "wied"'))
    _, problems = check_file(path, Asked(units="mm"))
    assert [problem.code for problem in problems] == ["measure-unknown"]


@pytest.mark.parametrize("ruler", ["wide", "0", "-1", "2 in", "1/0", "5 mm * 5 mm", "9" * 500, ""])
def test_an_unusable_ruler_is_wrong_usage(
    ruler: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Status 2, `option-unusable`, nothing written."""
    path = written(tmp_path, TRAY)
    assert main(["make", "--units", "mm", f"--ruler={ruler}", str(path)]) == 2
    assert "option-unusable" in capsys.readouterr().err
    assert not list(tmp_path.glob("*.pdf"))
    _, problems = check_file(path, Asked(units="mm", ruler=ruler))
    assert [problem.code for problem in problems] == ["option-unusable"]


@given(
    st.fractions(min_value=-500, max_value=500, max_denominator=64),
    st.sampled_from([Fraction(1), Fraction(5), Fraction(1, 2)]),
)
def test_a_literal_goes_to_a_mark_and_never_vanishes(mm: Fraction, ruler: Fraction) -> None:
    """Within half a mark of where it was, and within a mark when it is sent up or down."""
    for rounding, most in (
        (Reround("mm", ruler), ruler / 2),
        (Reround("mm", ruler, up=frozenset([HERE])), ruler),
        (Reround("mm", ruler, down=frozenset([HERE])), ruler),
    ):
        mark = rounding.mark(mm, HERE)
        assert mark % min(ruler, Fraction(1)) == 0
        assert (mark == 0) == (mm == 0)
        assert abs(mark - mm) <= max(most, Fraction(1))
        if abs(mm) >= ruler:
            assert mark % ruler == 0


def test_a_free_outline_goes_to_the_marks_too(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """3 1/2 by 2 1/4 in are 88.9 by 57.15 mm: 89 by 57 with measures in it or numbers."""
    path = written(
        tmp_path,
        '[project]\ntitle = "Tag"\n[measures]\ntall = "2 1/4"\n[[piece]]\nid = "tag"\n'
        'outline = "M 0 0 H 3.5 V {tall} h -3.5 Z"\n[piece.panels]\ntag = ["1", "1"]\n',
    )
    assert told(capsys, str(path))["pieces"][0]["blank"] == [88.9, 57.15]
    assert told(capsys, "--units", "mm", str(path))["pieces"][0]["blank"] == [89, 57]

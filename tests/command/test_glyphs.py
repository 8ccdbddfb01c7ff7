"""Characters that no face has are told with their place, and printing goes on."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from booklet.command.line import main
from tests.folding import HEAD

PIECE = """
[[piece]]
id = "card"
name = "Card"
stock = "card"
columns = ["40"]
rows = ["30"]
map = ["face"]
"""


def write(folder: Path, text: str) -> Path:
    """A project file."""
    path = folder / "project.toml"
    path.write_text(text, "utf-8")
    return path


def test_a_character_that_no_face_has_is_told(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Emoji, CJK and Arabic are named with line and column; it is a warning."""
    text = HEAD.replace('"Test"', '"Box 茶 with ☕ and شاي"') + PIECE
    path = write(tmp_path, text)
    assert main(["check", str(path), "--json"]) == 0
    told = [
        p for p in json.loads(capsys.readouterr().out)["problems"] if p["code"] == "glyph-missing"
    ]
    (problem,) = told
    assert "茶 (U+8336)" in problem["message"]
    assert "ش" in problem["message"]
    line = text.splitlines()[problem["line"] - 1]
    assert line[problem["column"] - 1] == "茶"
    assert problem["severity"] == "warning"
    assert main(["check", str(path), "--strict"]) == 1


def test_make_tells_it_too_and_prints(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The booklet is written all the same."""
    path = write(tmp_path, HEAD + PIECE.replace('"Card"', '"Card 🌱"'))
    assert main(["make", str(path), "--out", str(tmp_path)]) == 0
    assert "U+1F331" in capsys.readouterr().err
    assert list(tmp_path.glob("*.pdf"))


def test_letters_that_the_faces_have_are_no_problem(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Accents, Greek, fractions and dashes print."""
    path = write(tmp_path, HEAD.replace('"Test"', '"Größe – ½ “naïve” Żółć αβγ"') + PIECE)
    assert main(["check", str(path)]) == 0
    assert "glyph-missing" not in capsys.readouterr().err

"""Hostile or mistaken input through the command line: a sentence, a status, the old PDF kept."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
from pathlib import Path

import pytest

from booklet.command import line
from booklet.command.line import main

TRAY = """[project]
title = "Button tray"
units = "mm"

[[piece]]
id = "tray"
name = "Tray"
columns = [20, 80, 20]
rows = [60]
map = ["left base right"]
root = "base"
"""


@pytest.fixture
def tray(tmp_path: Path) -> Path:
    """A small project that builds, beside an earlier PDF of it."""
    path = tmp_path / "tray.toml"
    path.write_text(TRAY, "utf-8")
    (tmp_path / "tray-letter.pdf").write_bytes(b"earlier")
    return path


@pytest.mark.parametrize(
    ("old", "new", "code"),
    [
        ("[project]", "<project>", "toml-syntax"),
        ("rows = [60]", "rows = [1e400]", "number-out-of-range"),
        ("rows = [60]", "rows = [nan]", "number-out-of-range"),
        ("rows = [60]", "rows = [-60]", "size-not-positive"),
        ("rows = [60]", "rows = [0]", "size-not-positive"),
        ("rows = [60]", 'rows = ["1/999999999999"]', "length-too-small"),
        ("rows = [60]", 'rows = ["60 mm * 60 mm"]', "dimension-mismatch"),
        ("rows = [60]", 'rows = ["60/0"]', "division-by-zero"),
        ("[20, 80, 20]", str([1] * 10_000), "too-many"),
        ("left base right", "left base", "map-column-count"),
        ("left base right", "base left base", "panel-in-parts"),
        ("Button tray", "Button\\u001btray", "control-character"),
        ('"Button tray"', f'"{"W" * 100_000}"', "text-too-long"),
    ],
)
def test_a_bad_value_leaves_the_earlier_pdf(
    tray: Path, capsys: pytest.CaptureFixture[str], old: str, new: str, code: str
) -> None:
    """Status 1, the code in the message, nothing else in the folder."""
    assert old in TRAY
    tray.write_text(TRAY.replace(old, new), "utf-8")
    assert main(["make", str(tray)]) == 1
    assert f"[{code}]" in capsys.readouterr().err
    assert (tray.parent / "tray-letter.pdf").read_bytes() == b"earlier"
    assert len(list(tray.parent.iterdir())) == 2


def test_bytes_that_are_no_text_are_refused(tray: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """UTF-16 and the like: status 1."""
    tray.write_bytes(TRAY.encode("utf-16"))
    assert main(["make", str(tray)]) == 1
    assert "[not-utf8]" in capsys.readouterr().err


def test_what_is_no_ordinary_file_is_refused(tmp_path: Path) -> None:
    """A folder, a device and a pipe that nobody writes to: status 2, and no waiting."""
    pipe = tmp_path / "pipe.toml"
    os.mkfifo(pipe)
    for path in (tmp_path, Path("/dev/zero"), pipe, tmp_path / "missing.toml"):
        assert main(["check", str(path)]) == 2


def test_a_file_in_the_place_of_the_folder(tray: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The folder cannot be made: status 2 and the reason."""
    assert main(["make", str(tray), "--out", str(tray)]) == 2
    assert "a file stands where a folder is needed" in capsys.readouterr().err


def test_a_full_disk_leaves_the_earlier_pdf(
    tray: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Status 2, and no half-written file."""

    def full(_descriptor: int) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "fsync", full)
    assert main(["make", str(tray)]) == 2
    assert os.strerror(errno.ENOSPC) in capsys.readouterr().err
    assert (tray.parent / "tray-letter.pdf").read_bytes() == b"earlier"
    assert len(list(tray.parent.iterdir())) == 2


def test_two_projects_of_one_name_do_not_overwrite_each_other(tray: Path, tmp_path: Path) -> None:
    """The second is refused: status 2."""
    (tmp_path / "other").mkdir()
    other = tmp_path / "other" / "tray.toml"
    other.write_text(TRAY.replace("Button", "Thread"), "utf-8")
    assert main(["make", str(tray), str(other), "--out", str(tmp_path / "made")]) == 2
    assert len(list((tmp_path / "made").iterdir())) == 1


def test_markup_and_long_words_are_mere_text(tray: Path) -> None:
    """Texts as long as they may be, without a space, and markup: a booklet all the same."""
    long, note = "W" * 190, "<b>&amp;" + "W" * 1900
    text = TRAY.replace("Button tray", long).replace('"Tray"', f'"{long}"')
    text = text.replace("units", f'designer = "{long}"\nsummary = "{note}"\nunits', 1)
    text += f'[piece.panel.left]\nlabel = "{long}"\n[[step]]\ntitle = "{long}"\nsay = "{note}"\n'
    text += f'fold = ["left", "right"]\n[safety]\nnotes = ["{note}"]\n'
    tray.write_text(text, "utf-8")
    assert main(["make", str(tray), "--paper", "a4"]) == 0


def test_many_narrow_panels_build(tray: Path) -> None:
    """Forty accordion folds, with panels too narrow for any name."""
    widths, names = str([12] * 40), " ".join(f"p{number}" for number in range(40))
    text = TRAY.replace("[20, 80, 20]", widths).replace("left base right", names)
    tray.write_text(text.replace('root = "base"', 'root = "p0"'), "utf-8")
    assert main(["make", str(tray), "--paper", "a4"]) == 0


def test_a_terminal_without_fractions_gets_the_rest(tmp_path: Path) -> None:
    """Characters that its encoding lacks are written as numbers, not as a failure."""
    path = tmp_path / "tray.toml"
    path.write_text(TRAY.replace('"Tray"', '"Plateau doré"'), "utf-8")
    run = subprocess.run(
        [sys.executable, "-m", "booklet", "check", str(path)],
        env={**os.environ, "PYTHONIOENCODING": "ascii"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert (run.returncode, run.stderr) == (0, "")
    assert "Plateau dor\\xe9" in run.stdout


def test_a_lattice_of_names_is_bounded_in_time(tray: Path) -> None:
    """A hundred panels with names too long for them: leaders are not sorted without end."""
    names = [[f"p{row}_{column}" for column in range(10)] for row in range(10)]
    lines = ",\n".join('"' + " ".join(row) + '"' for row in names)
    text = TRAY.replace("[20, 80, 20]", str([12] * 10)).replace("[60]", str([12] * 10))
    text = text.replace('"left base right"', lines).replace('root = "base"', 'root = "p0_0"')
    text += "[piece.folds]\n" + "".join(f"{name} = 0\n" for row in names for name in row[1:])
    text += "".join(f"{row[0]} = 0\n" for row in names[1:])
    tray.write_text(text, "utf-8")
    assert main(["make", str(tray), "--paper", "a4"]) == 0


def test_a_fault_of_the_program_is_told_in_a_line(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Without a traceback: what it was, where, and what to do; the status is 2."""

    def fails() -> int:
        raise ZeroDivisionError("division by zero")

    monkeypatch.setattr(line, "main", fails)
    assert line.run() == 2
    told = capsys.readouterr().err
    assert "ZeroDivisionError in tests.command.test_bad_input, line" in told
    assert "send the project file" in told and "Traceback" not in told

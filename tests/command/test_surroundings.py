"""What a run finds round its file: closed and full streams, links in a circle, odd names, dates."""

from __future__ import annotations

import os
import subprocess
import sys
import zipfile
from collections.abc import Sequence
from pathlib import Path

import pikepdf
import pytest

from booklet.command.line import main
from booklet.stages import check_file

ROOT = Path(__file__).resolve().parents[2]
TRAY = """[project]
title = "Tray"
units = "mm"
ruler = "1"

[[stock]]
id = "card"
name = "Card"
sheet = "a4"
thickness = 0.3

[[piece]]
id = "tray"
name = "Tray"
stock = "card"
columns = [20, 80, 20]
rows = [60]
map = ["left base right"]
root = "base"
"""
Captured = pytest.CaptureFixture[str]


@pytest.fixture
def tray(tmp_path: Path) -> Path:
    """A small project in a folder of its own."""
    path = tmp_path / "in" / "tray.toml"
    path.parent.mkdir()
    path.write_text(TRAY, "utf-8")
    return path


def in_a_shell(words: str, at: Path, *arguments: str) -> tuple[int, str, str]:
    """Status and both outputs of a line of a shell, in which $@ is booklet with arguments."""
    command = [sys.executable, "-m", "booklet", *arguments]
    found = subprocess.run(
        ["sh", "-c", words, "sh", *command],
        cwd=at,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=False,
    )
    return found.returncode, found.stdout, found.stderr


@pytest.mark.parametrize(
    ("words", "status", "told"),
    [
        ('"$@" tray.toml >&-', 0, ""),
        ('"$@" tray.toml 2>&-', 0, "tray.toml: nothing to complain of\n  Tray: blank"),
        ('"$@" none.toml >&- 2>&-', 2, ""),
        ('"$@" none.toml 2>/dev/full', 2, ""),
        ('"$@" tray.toml >/dev/full', 2, "No space left on device"),
    ],
)
def test_streams_that_are_closed_or_full_change_no_status(
    words: str, status: int, told: str, tray: Path
) -> None:
    """Nobody hears what goes to a closed one; one that is full is told, where that can be."""
    code, out, err = in_a_shell(words, tray.parent, "check")
    assert code == status
    assert told in out + err
    assert "fault" not in out + err
    assert "Traceback" not in out + err


def test_a_folder_that_is_gone_is_what_is_told(tray: Path) -> None:
    """Not that the output cannot be written, which may lie elsewhere."""
    gone = tray.parent / "gone"
    gone.mkdir()
    code, out, err = in_a_shell(f'rmdir "{gone}"; "$@"', gone, "make", str(tray))
    assert (code, out) == (2, "")
    assert "the folder that booklet was started in is gone" in err


def written_to(link: Path, tray: Path) -> Sequence[Sequence[str]]:
    """Commands that would write to the link."""
    copy = tray.parent / "tray-a4.pdf"
    return [
        ["make", str(tray), "--paper", "letter"],
        ["make", str(tray), "--for", "pattern"],
        ["bind", str(tray.parent), "--out", str(link), "--jobs", "1"],
        ["forms", "--out", str(link)],
        ["stamp", str(copy), "--for", "Ana", "--out", str(link)],
    ]


@pytest.mark.parametrize("which", range(5))
def test_a_link_that_leads_to_itself_is_no_place(which: int, tray: Path, capsys: Captured) -> None:
    """Every command says so, and leaves it as it is."""
    if which == 4:
        assert main(["make", str(tray), "--paper", "a4"]) == 0
    link = tray.parent / ("tray-pattern" if which == 1 else "tray-letter.pdf")
    link.symlink_to(link.name)
    assert main(written_to(link, tray)[which]) == 2
    assert os.strerror(40) in capsys.readouterr().err
    assert link.is_symlink()
    assert not (tray.parent / "tray-pattern.zip").exists()


def test_a_second_name_of_a_booklet_is_refused(tray: Path, capsys: Captured) -> None:
    """Two projects of one run never overwrite each other through a link."""
    other = tray.with_name("other.toml")
    other.write_text(TRAY, "utf-8")
    tray.with_name("other-letter.pdf").symlink_to("tray-letter.pdf")
    assert main(["make", str(tray), str(other), "--paper", "letter"]) == 2
    assert "is another project's booklet already" in capsys.readouterr().err


def test_a_folder_in_the_place_of_a_file_is_told_as_one(tray: Path, capsys: Captured) -> None:
    """Not as a file where a folder is needed."""
    tray.with_name("tray-letter.pdf").mkdir()
    assert main(["make", str(tray), "--paper", "letter"]) == 2
    assert "tray-letter.pdf is there and is no ordinary file" in capsys.readouterr().err


def test_the_parts_of_an_output_stay_of_one_run(tray: Path) -> None:
    """Where one of them has no place, none is replaced."""
    made = ["make", str(tray), "--paper", "a4"]
    for words, stays, blocked in (
        (["--for", "pattern"], "tray-pattern/READ-ME.txt", "tray-pattern.zip"),
        (["--booklet"], "tray-booklet-a4.pdf", "tray-booklet-a4-templates.pdf"),
    ):
        tray.write_text(TRAY, "utf-8")
        assert main([*made, *words]) == 0
        earlier = (tray.parent / stays).read_bytes()
        tray.write_text(TRAY.replace('"Tray"', '"Platter"'), "utf-8")
        (tray.parent / blocked).unlink()
        (tray.parent / blocked).mkdir()
        assert main([*made, *words]) == 2
        assert (tray.parent / stays).read_bytes() == earlier


@pytest.mark.parametrize(("seconds", "year"), [("0", 1980), ("99999999999", 2107)])
def test_a_zip_takes_every_date(
    seconds: str, year: int, tray: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One that it cannot write is the nearest that it can."""
    monkeypatch.setenv("SOURCE_DATE_EPOCH", seconds)
    assert main(["make", str(tray), "--for", "pattern"]) == 0
    with zipfile.ZipFile(tray.with_name("tray-pattern.zip")) as archive:
        assert {entry.date_time[0] for entry in archive.infolist()} == {year}


def test_the_date_that_is_given_is_the_day_of_a_copy(
    tray: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Also where it is the one that files carry without it."""
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "946684800")
    assert main(["make", str(tray), "--paper", "a4"]) == 0
    made = [str(tray.with_name("tray-a4.pdf")), "--for", "Ana", "--out"]
    for name, day in (("a.pdf", []), ("b.pdf", ["--date", "2000-01-01"])):
        assert main(["stamp", *made, str(tray.with_name(name)), *day]) == 0
    assert tray.with_name("a.pdf").read_bytes() == tray.with_name("b.pdf").read_bytes()


def test_names_that_are_no_text_are_bound_and_told(tray: Path, capsys: Captured) -> None:
    """Of files, and of the folder whose name is the binder's title."""
    folder = tray.parent.with_name(os.fsdecode(b"of \xff"))
    tray.parent.rename(folder)
    for name in (b"\xfe.toml", b"\xfd.toml"):
        (folder / os.fsdecode(name)).write_text(TRAY, "utf-8")
    (folder / os.fsdecode(b"wrong \xfc.toml")).write_text("x", "utf-8")
    out = folder.with_name("b.pdf")
    assert main(["bind", str(folder), "--out", str(out), "--jobs", "1"]) == 1
    told = capsys.readouterr()
    assert "3 projects" in told.out
    assert "wrong \N{REPLACEMENT CHARACTER}.toml: not bound" in told.err


@pytest.mark.parametrize("name", [b"\xff.toml", b"a\nb.toml", b"a\x1b[31m.toml"])
def test_a_pattern_has_a_name_that_can_be_written(
    name: bytes, tray: Path, capsys: Captured
) -> None:
    """Its sums and its zip hold the name; a handout may be called anything."""
    path = tray.rename(tray.with_name(os.fsdecode(name)))
    assert main(["make", str(path), "--for", "pattern"]) == 2
    assert "rename the project" in capsys.readouterr().err
    assert sorted(path.parent.iterdir()) == [path]
    assert main(["make", str(path)]) == 0


def test_a_strange_file_in_a_pattern_steers_no_terminal(tray: Path, capsys: Captured) -> None:
    """Its name is told harmlessly."""
    folder = tray.with_name("tray-pattern")
    folder.mkdir()
    (folder / "\x1b[2J").write_text("", "utf-8")
    assert main(["make", str(tray), "--for", "pattern"]) == 2
    assert "\x1b" not in capsys.readouterr().err


@pytest.mark.parametrize("command", ["bind", "forms"])
def test_a_project_is_never_replaced_by_a_pdf(command: str, tray: Path, capsys: Captured) -> None:
    """A slip in --out would take the maker's own file; an earlier PDF of any name may go."""
    words = ["bind", str(tray.parent), "--jobs", "1"] if command == "bind" else ["forms"]
    assert main([*words, "--out", str(tray)]) == 2
    assert "is there and is no PDF" in capsys.readouterr().err
    assert tray.read_text("utf-8") == TRAY
    earlier = tray.with_name("all")
    earlier.write_bytes(b"%PDF-1.7")
    assert main([*words, "--out", str(earlier)]) == 0
    assert earlier.stat().st_size > 1000


def test_the_gallery_carries_the_date_that_is_given(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As every other PDF; one that is no count of seconds is refused."""
    out = tmp_path / "forms.pdf"
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1700000000")
    assert main(["forms", "--out", str(out)]) == 0
    with pikepdf.open(out) as made:
        assert str(made.docinfo["/CreationDate"]).startswith("D:20231114")
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "soon")
    assert main(["forms", "--out", str(out)]) == 2


def test_a_plan_is_made_once_for_so_many_kits(tray: Path) -> None:
    """A hard one takes seconds, and the page of sizes asks for the same one twice."""
    model, _ = check_file(tray)
    assert model is not None
    assert model.plan_for(3) is model.plan_for(3)
    assert model.plan_for(3) != model.plan_for(100)

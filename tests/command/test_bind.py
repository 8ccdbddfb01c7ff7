"""`booklet bind`: what a binder holds, what it makes anew, and what it refuses, read back."""

from __future__ import annotations

import os
import re
import shutil
from pathlib import Path

import pikepdf
import pypdf
import pytest

from booklet.command import bind as command
from booklet.command import bind_cache
from booklet.command.bind import CACHE
from booklet.command.bind_cache import Settings, key_of
from booklet.command.line import main
from booklet.limits import Limits
from booklet.pdf.join import Joiner
from tests.folding import HEAD
from tests.readback import ReadPage, bookmarks, page_sizes, read_pages

TRAY = """[project]
title = "{title}"
designer = "Harbour Street Paper Room"
units = "mm"

[[contents]]
id = "buttons"
name = "{holds}"
size = [20, 20, 5]
inside = "tray"

[[stock]]
id = "card"
name = "Cardstock, {holds}"
sheet = "a4"
thickness = 0.3

[[piece]]
id = "tray"
name = "Tray"
stock = "card"
columns = [20, 80, 20]
rows = [20, {rows}, 20]
map = [".    back  .", "left base right", ".    front ."]
root = "base"
"""


def write(folder: Path, name: str, title: str, holds: str = "buttons", rows: int = 60) -> Path:
    """A small project that passes."""
    path = folder / f"{name}.toml"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(TRAY.format(title=title, holds=holds, rows=rows), "utf-8")
    return path


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Four projects, two of one title, and two files that do not pass."""
    root = tmp_path / "paper-room"
    write(root, "tray", "Button tray")
    write(root, "more/tray", "Button tray", "needles")
    write(root, "zipper", "Zipper tray", rows=70)
    write(root, "etui", "Étui", "pins")
    write(root, "broken", "Broken").write_text("[project\n", "utf-8")
    write(root, "wrong", "Wrong", rows=-1)
    write(root, ".hidden/tray", "Hidden")
    return root


def bound(folder: Path, out: Path, *words: str) -> int:
    """Runs the command; every project passes or is named."""
    return main(["bind", str(folder), "--out", str(out), *words])


def number(page: ReadPage) -> str:
    """The page number in the footer, the rightmost word there."""
    words = [word for word in page.words if word.box[1] < 12]
    return max(words, key=lambda word: word.box[2]).text if words else ""


def test_a_binder_holds_what_passes_and_lists_the_rest(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Contents with true page numbers, bookmarks, indexes, log; both broken files by name."""
    out = tmp_path / "binder.pdf"
    assert bound(folder, out) == 1
    told = capsys.readouterr().err
    assert "broken.toml" in told and "wrong.toml" in told and "Traceback" not in told
    pages = read_pages(out)
    assert all(size == pytest.approx((215.9, 279.4), abs=0.02) for size in page_sizes(out))
    contents = next(page for page in pages if page.text.startswith("Contents"))
    labels = ["Button tray (more/tray.toml)", "Button tray (tray.toml)", "Zipper tray", "Étui"]
    for label in labels:
        row = re.search(rf"^{re.escape(label)} .*?(\d+)$", contents.text, re.MULTILINE)
        assert row, label
        first = next(page for page in pages if number(page) == row[1] and label in page.text)
        assert "At a glance" in first.text and label.split(" (")[0] in first.text
    assert "Hidden" not in contents.text
    missing = next(page for page in pages if page.text.startswith("Not in this binder"))
    assert "broken.toml" in missing.text and "wrong.toml" in missing.text
    outer = [title for level, title in bookmarks(out) if level == 0]
    assert outer == ["Cover", "Contents", "Not in this binder", *labels, "Indexes", "Log"]
    index = next(page for page in pages if page.text.startswith("Indexes")).text
    for heading in ("By form", "By what it holds", "By stock", "By sheet size"):
        assert heading in index
    assert re.search(r"^needles Button tray \(more/tray.toml\) \d+$", index, re.MULTILINE)
    assert "Made for" in pages[-1].text


def test_one_sheet_has_one_line_in_the_index_whatever_the_units(tmp_path: Path) -> None:
    """A4 is A4 in a project of inches and in one of millimetres."""
    for unit in ("in", "mm", "cm"):
        text = HEAD.replace('units = "mm"', f'units = "{unit}"').replace("Test", f"Tag in {unit}")
        piece = '[[piece]]\nid = "tag"\nstock = "card"\ncolumns = [2]\nrows = [2]\nmap = ["face"]\n'
        (tmp_path / f"{unit}.toml").write_text(text + piece, "utf-8")
    out = tmp_path / "binder.pdf"
    bound(tmp_path, out)
    index = next(page for page in read_pages(out) if page.text.startswith("Indexes")).text
    assert re.search(r"^A4 Tag in cm \d+, Tag in in \d+, Tag in mm \d+$", index, re.MULTILINE)


def test_page_numbers_run_through(folder: Path, tmp_path: Path) -> None:
    """Roman before the projects, then 1 to the last page without a gap."""
    out = tmp_path / "binder.pdf"
    bound(folder, out)
    numbers = [number(page) for page in read_pages(out)]
    roman = [text for text in numbers if not text.isdigit()]
    assert roman[1:] == ["ii", "iii"]
    counted = [int(text) for text in numbers if text.isdigit()]
    assert counted == list(range(1, len(numbers) - len(roman) + 1))


def test_tabs_stand_in_steps_down_the_edge(folder: Path, tmp_path: Path) -> None:
    """B, Z, E: each letter at its own height, the same on all pages of a section, 7 mm inside."""
    out = tmp_path / "binder.pdf"
    bound(folder, out, "--paper", "a4")
    heights: dict[str, set[float]] = {}
    for page in read_pages(out):
        tabs = [word for word in page.words if word.box[0] > page.width - 13.5]
        for word in tabs:
            assert word.box[2] < page.width - 6
            heights.setdefault(word.text, set()).add(round(word.box[1], 2))
    assert set(heights) == {"B", "E", "Z"}
    assert all(len(places) == 1 for places in heights.values())
    assert len(set.union(*heights.values())) == 3


def test_the_file_is_sound(folder: Path, tmp_path: Path) -> None:
    """Two other libraries open it; one set of layers for all templates; every font is embedded."""
    out = tmp_path / "binder.pdf"
    bound(folder, out)
    with pikepdf.open(out) as pdf:
        assert pdf.check_pdf_syntax() == []
        assert [str(g.Name) for g in pdf.Root.OCProperties.OCGs] == [
            "Cut", "Score", "Labels",
        ]  # fmt: skip
        known = {group.objgen for group in pdf.Root.OCProperties.OCGs}
        used = {
            group.objgen
            for page in pdf.pages
            for group in page.Resources.get("/Properties", {}).values()
        }
        assert used and used <= known
        fonts = [f for page in pdf.pages for f in page.Resources.get("/Font", {}).values()]
        assert all("/FontFile2" in font.FontDescriptor for font in fonts)
    reader = pypdf.PdfReader(out)
    assert len(reader.pages) == len(page_sizes(out))


def test_each_project_is_read_in_its_language_below_the_title(folder: Path, tmp_path: Path) -> None:
    """One tree: the binder's title above all, then a section with a language for each project."""
    project = folder / "etui.toml"
    text = project.read_text("utf-8")
    project.write_text(text.replace("units =", 'language = "fr"\nunits ='), "utf-8")
    out = tmp_path / "binder.pdf"
    bound(folder, out)
    with pikepdf.open(out) as pdf:
        (document,) = pdf.Root.StructTreeRoot.K
        sections = list(document.K)
        assert [str(section.S) for section in sections] == ["/Sect"] * 6
        # French is the last project's; cover and contents come first, indexes and log last.
        assert [str(section.Lang) for section in sections] == ["en"] * 4 + ["fr", "en"]
        kinds = [[str(item.S) for item in section.K] for section in sections]
    assert [kind for kind in kinds[0] if kind == "/H1"] == ["/H1"]
    for inside in kinds[1:]:
        headings = [kind for kind in inside if kind.startswith("/H")]
        assert headings[0] == "/H2" and "/H1" not in headings


def test_only_what_changed_is_made_anew(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """After one change one section is made, and the bytes are those of a full build."""
    made: list[str] = []
    real = command.make_section

    def counting(one: command.Bound, *rest: object) -> None:
        made.append(one.name)
        real(one, *rest)  # type: ignore[arg-type]

    monkeypatch.setattr(command, "make_section", counting)
    out = tmp_path / "a" / "binder.pdf"
    bound(folder, out, "--jobs", "1")
    assert len(made) == 6
    first = out.read_bytes()
    made.clear()
    bound(folder, out, "--jobs", "1")
    assert made == [] and out.read_bytes() == first
    write(folder, "zipper", "Zipper tray", rows=75)
    bound(folder, out, "--jobs", "1")
    assert made == ["zipper.toml"] and out.read_bytes() != first
    fresh = tmp_path / "b" / "binder.pdf"
    bound(folder, fresh, "--jobs", "1")
    assert fresh.read_bytes() == out.read_bytes()
    assert len(list((out.parent / CACHE).iterdir())) == 6


def test_two_processes_give_the_same_bytes(folder: Path, tmp_path: Path) -> None:
    """Whoever makes a section, it is the same."""
    one, two = tmp_path / "a" / "binder.pdf", tmp_path / "b" / "binder.pdf"
    bound(folder, one, "--jobs", "1")
    bound(folder, two, "--jobs", "2")
    assert one.read_bytes() == two.read_bytes()


def test_a_damaged_entry_is_made_anew(folder: Path, tmp_path: Path) -> None:
    """Cut off, emptied or changed, an entry counts as missing."""
    out = tmp_path / "binder.pdf"
    bound(folder, out)
    first = out.read_bytes()
    entries = sorted((tmp_path / CACHE).iterdir())
    entries[0].write_bytes(entries[0].read_bytes()[:-7])
    entries[1].write_bytes(b"")
    data = bytearray(entries[2].read_bytes())
    data[-1] ^= 1
    entries[2].write_bytes(bytes(data))
    bound(folder, out)
    assert out.read_bytes() == first


def test_a_new_picture_beside_a_project_counts_as_a_change(folder: Path) -> None:
    """A project's key follows the files that it names."""
    project = folder / "tray.toml"
    settings = Settings("letter", False)
    text = project.read_text("utf-8") + '[[step]]\ntitle = "Look"\nphoto = "look.jpg"\n'
    project.write_text(text, "utf-8")
    keys = {key_of(project, settings)}
    for data in (b"one", b"two"):
        (folder / "look.jpg").write_bytes(data)
        keys.add(key_of(project, settings))
    assert len(keys) == 3


def test_another_font_library_or_unit_is_another_section(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The key follows what else is in a section's bytes."""
    project = folder / "tray.toml"
    settings = [Settings("letter", False), Settings("letter", False, "in"), Settings("a4", False)]
    keys = {key_of(project, one) for one in settings}
    assert len(keys) == 3
    changes = (("font_files", lambda: {"other.ttf": b""}), ("version", lambda name: "0.0"))
    for name, other in changes:
        bind_cache.program.cache_clear()
        monkeypatch.setattr(bind_cache, name, other)
        keys.add(key_of(project, settings[0]))
    bind_cache.program.cache_clear()
    assert len(keys) == 5


def test_a_binder_may_be_in_another_unit(folder: Path, tmp_path: Path) -> None:
    """Projects in millimetres, bound in inches: a file of its own, here in another folder."""
    (there := tmp_path / "there").mkdir()
    assert main(["bind", str(folder), "--units", "in", "--out", str(there)]) == 1
    text = "".join(page.text for page in read_pages(there / "binder-in-letter.pdf"))
    assert re.search(r"\d[⅛¼⅜½⅝¾⅞]? in \(", text) and not re.search(r"\d mm \(", text)


@pytest.mark.parametrize("words", [["--size", "tall"], ["--measured", "98mm"]])
def test_what_is_for_one_project_or_printer_is_refused_in_words(
    folder: Path, words: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    """Wrong usage that says what to do instead."""
    assert main(["bind", str(folder), *words]) == 2
    assert f"make {'--for binder --size' if words[0] == '--size' else words[0]}" in (
        capsys.readouterr().err
    )


def test_a_run_that_is_killed_leaves_the_earlier_binder(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Killed while the file is being written: not a byte of the earlier one changes."""
    out = tmp_path / "binder.pdf"
    out.write_bytes(b"earlier")
    child = os.fork()
    if child == 0:
        monkeypatch.setattr(Joiner, "finish", lambda *_: os._exit(9))
        bound(folder, out, "--jobs", "1")
        os._exit(0)
    _, code = os.waitpid(child, 0)
    assert os.waitstatus_to_exitcode(code) == 9
    assert out.read_bytes() == b"earlier"


def test_folders_without_projects_are_told(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """None, an empty one, one of broken files only; an output that cannot be written."""
    assert bound(tmp_path / "nowhere", tmp_path / "a.pdf") == 2
    (tmp_path / "empty").mkdir()
    assert bound(tmp_path / "empty", tmp_path / "a.pdf") == 2
    (tmp_path / "bad").mkdir()
    shutil.copy(folder / "broken.toml", tmp_path / "bad")
    assert bound(tmp_path / "bad", tmp_path / "a.pdf") == 1
    assert bound(folder, folder / "tray.toml" / "binder.pdf") == 2
    assert "Traceback" not in capsys.readouterr().err
    assert not (tmp_path / "a.pdf").exists()


def test_more_projects_than_a_binder_takes_are_told(
    folder: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """None is left out in silence; nothing is written."""
    monkeypatch.setattr(command, "Limits", lambda: Limits(bound_projects=3))
    assert bound(folder, tmp_path / "binder.pdf") == 2
    assert "holds 6 project files, more than the 3 of a binder" in capsys.readouterr().err
    assert not (tmp_path / "binder.pdf").exists()


def test_a_file_that_cannot_be_read_is_listed(
    folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The others are bound."""
    real = key_of

    def refusing(project: Path, settings: Settings) -> str:
        if project.name == "zipper.toml":
            raise PermissionError(13, "Permission denied", str(project))
        return real(project, settings)

    monkeypatch.setattr(command, "key_of", refusing)
    out = tmp_path / "binder.pdf"
    assert bound(folder, out) == 1
    missing = next(page for page in read_pages(out) if page.text.startswith("Not in this binder"))
    assert "zipper.toml it cannot be read: Permission denied" in missing.text

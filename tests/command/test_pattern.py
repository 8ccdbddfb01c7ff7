"""`booklet make --for pattern`: what lies in the folder, judged by other programs."""

from __future__ import annotations

import hashlib
import io
import os
import re
import zipfile
from datetime import UTC, datetime
from pathlib import Path

import pikepdf
import pytest
from PIL import Image

from booklet.command.line import main
from booklet.command.pattern import drawings
from booklet.draw.typeface import Faces, load_faces
from booklet.pages.glance import glance
from booklet.pages.grid import PAPERS
from booklet.pages.page import Line
from booklet.pdf.bundle import NotOurs, write_folder, zip_bytes
from booklet.stages import check_file
from tests.readback import read_pages

ROOT = Path(__file__).resolve().parents[2]
SEED = ROOT / "projects" / "seed-box" / "seed-box.toml"
SIZES = {"letter": (612.0, 792.0), "a4": (595.28, 841.89)}
"""Points: ANSI/ASME Y14.1 size A; ISO 216 A4 (210 by 297 mm)."""


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A pattern's folder."""
    folder = tmp_path_factory.mktemp("made")
    assert main(["make", "--for", "pattern", str(SEED), "--out", str(folder)]) == 0
    return folder / "seed-box-pattern"


@pytest.fixture(scope="module")
def faces() -> Faces:
    """The faces, loaded once."""
    return load_faces()


def held(folder: Path) -> dict[str, bytes]:
    """Every file of a folder by its name there."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file()
    }


def test_the_sums_are_those_of_the_files(made: Path) -> None:
    """Each file but the list itself is listed once with its SHA-256."""
    files = held(made)
    lines = files.pop("CHECKSUMS.txt").decode().splitlines()
    assert {name: digest for digest, name in (line.split("  ", 1) for line in lines)} == {
        name: hashlib.sha256(data).hexdigest() for name, data in files.items()
    }


def test_the_zip_holds_the_folder(made: Path) -> None:
    """The standard library opens it; names lie below one folder; nothing is damaged."""
    with zipfile.ZipFile(made.with_suffix(".zip")) as archive:
        assert archive.testzip() is None
        names = archive.namelist()
        assert names == sorted(names)
        inside = {name.removeprefix("seed-box-pattern/"): archive.read(name) for name in names}
    assert inside == held(made)


def test_both_papers_are_there_in_their_size(made: Path) -> None:
    """Every page box, of the pattern and of the template alone."""
    for paper, size in SIZES.items():
        for stem in ("seed-box", "seed-box-template-grey"):
            with pikepdf.open(made / f"{stem}-{paper}.pdf") as pdf:
                for page in pdf.pages:
                    box = [float(v) for v in page.mediabox]
                    assert box[2:] == pytest.approx(size, abs=0.05)


def test_the_grey_template_has_no_colour(made: Path) -> None:
    """Red, green and blue are equal in every stroke and area."""
    for page in read_pages(made / "seed-box-template-grey-letter.pdf"):
        colours = [s.colour for s in page.strokes] + [colour for _, colour in page.areas]
        assert all(len(set(colour)) <= 1 for colour in colours)


def test_the_print_page_names_the_template_pages(made: Path) -> None:
    """Its list has every page that is full size, and every map of tiles, from first to last."""
    for name in ("seed-box-letter.pdf", "seed-box-template-grey-a4.pdf"):
        pages = read_pages(made / name)
        text = next(page.text for page in pages if "Print it at full size" in page.text)
        rows = re.findall(r"^(\d+)(?: to (\d+))? Template", text, re.MULTILINE)
        named = {n for a, b in rows for n in range(int(a), int(b or a) + 1)}
        with pikepdf.open(made / name) as pdf:
            layered = {
                number
                for number, page in enumerate(pdf.pages, 1)
                if "/Properties" in page.Resources
            }
        maps = {n for n, page in enumerate(pages, 1) if "Trim one of two" in page.text}
        assert named == layered | maps


def test_words_send_to_a_page_that_is_there(made: Path) -> None:
    """The read-me names the print page by its title, the cover by its number."""
    told = " ".join((made / "READ-ME.txt").read_text("utf-8").split())
    title = told.split("turn to the page “")[1].split("”")[0]
    for name in ("seed-box-letter.pdf", "seed-box-a4.pdf"):
        pages = read_pages(made / name)
        assert "Page 2 tells how to print" in pages[0].text
        assert title in pages[1].text


def test_pictures_are_sharp(made: Path) -> None:
    """Pillow opens each as PNG; no side is under 2,000 pixels; the cover has ink and colour."""
    pictures = sorted((made / "pictures").iterdir())
    assert len(pictures) == 3
    for path in pictures:
        with Image.open(path) as image:
            assert image.format == "PNG" and min(image.size) >= 2000
    with Image.open(pictures[0]) as cover:
        red, green, blue = cover.convert("RGB").split()
        assert cover.convert("L").getextrema() == (0, 255)
        assert red.tobytes() != green.tobytes() or green.tobytes() != blue.tobytes()


def test_the_same_project_gives_the_same_bytes(made: Path, tmp_path: Path) -> None:
    """Folder and zip, in another place."""
    assert main(["make", "--for", "pattern", str(SEED), "--out", str(tmp_path)]) == 0
    assert held(tmp_path / made.name) == held(made)
    archive = made.with_suffix(".zip")
    assert (tmp_path / archive.name).read_bytes() == archive.read_bytes()


def test_an_earlier_pattern_is_replaced_whole(tmp_path: Path) -> None:
    """What the new one lacks is gone; nothing else is left beside it."""
    target = tmp_path / "box-pattern"
    write_folder({"old.txt": b"1", "CHECKSUMS.txt": b"0" * 64 + b"  old.txt\n"}, target)
    write_folder({"a/new.txt": b"2", "CHECKSUMS.txt": b"0" * 64 + b"  a/new.txt\n"}, target)
    assert set(held(target)) == {"a/new.txt", "CHECKSUMS.txt"}
    assert list(tmp_path.iterdir()) == [target]


def test_a_folder_with_other_files_is_left_alone(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A maker's own notes in the folder: status 2, a sentence, and not a byte changed."""
    target = tmp_path / "seed-box-pattern"
    target.mkdir()
    (target / "notes.txt").write_text("mine")
    assert main(["make", "--for", "pattern", str(SEED), "--out", str(tmp_path)]) == 2
    assert "notes.txt" in capsys.readouterr().err
    assert held(tmp_path) == {"seed-box-pattern/notes.txt": b"mine"}
    with pytest.raises(NotOurs):
        write_folder({"x": b""}, target)


@pytest.mark.parametrize("moment", ["write", "between", "after"])
def test_a_run_that_is_killed_keeps_the_earlier_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, moment: str
) -> None:
    """Killed at any moment, the earlier or the new folder is whole after the next run began."""
    target = tmp_path / "box-pattern"
    old = {"old.txt": b"1", "CHECKSUMS.txt": b"0" * 64 + b"  old.txt\n"}
    new = {"new.txt": b"2", "CHECKSUMS.txt": b"0" * 64 + b"  new.txt\n"}
    write_folder(old, target)
    child = os.fork()
    if child == 0:
        moved = 0
        rename, sync = Path.rename, os.fsync

        def dying_rename(self: Path, other: Path) -> Path:
            nonlocal moved
            moved += 1
            result = rename(self, other)
            if moved == (1 if moment == "between" else 2):
                os._exit(9)
            return result

        def dying_sync(descriptor: int) -> None:
            sync(descriptor)
            os._exit(9)

        monkeypatch.setattr(Path, "rename", dying_rename)
        if moment == "write":
            monkeypatch.setattr(os, "fsync", dying_sync)
        write_folder(new, target)
        os._exit(0)
    os.waitpid(child, 0)
    if moment != "between":
        assert held(target) in (old, new)
    write_folder(new, target)
    assert held(target) == new
    kept = [entry.name for entry in tmp_path.iterdir() if not entry.name.endswith(".part")]
    assert kept == ["box-pattern"]


@pytest.mark.parametrize(
    ("a4", "words"), [(10, "10 pages, on Letter and on A4"), (9, "10 pages on Letter, 9 on A4")]
)
def test_the_overview_counts_the_pages_of_both_papers(faces: Faces, a4: int, words: str) -> None:
    """A pattern flows otherwise on a longer paper; the buyer is told what each has."""
    model, _ = check_file(SEED)
    assert model is not None
    overview = glance(model, {"letter": 10, "a4": a4}, PAPERS["letter"], faces)
    inks = [ink for element in overview.page.elements for ink in element.inks]
    assert words in [ink.text for ink in inks if isinstance(ink, Line)]
    assert len(overview.cells) == 10


def test_names_from_the_project_stay_words(faces: Faces, tmp_path: Path) -> None:
    """Markup in names; every name in the zip lies below its folder."""
    text = SEED.read_text("utf-8").replace('name = "Box body"', 'name = "Box <b>&body</b>"')
    project = tmp_path / "box.toml"
    project.write_text(text, "utf-8")
    model, _ = check_file(project)
    assert model is not None
    files = drawings(model, faces, grey=False)
    assert "Box &lt;b&gt;&amp;body&lt;/b&gt;" in files["svg/body.svg"].decode()
    date = datetime(2027, 3, 6, tzinfo=UTC)
    with zipfile.ZipFile(io.BytesIO(zip_bytes(files, "box-pattern", date))) as archive:
        assert all(name.startswith("box-pattern/svg/") for name in archive.namelist())
        assert archive.infolist()[0].date_time == (2027, 3, 6, 0, 0, 0)

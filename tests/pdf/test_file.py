"""The PDF as a file: what it says of itself, the same bytes twice, and whole or not at all."""

from __future__ import annotations

import os
from dataclasses import replace
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import pikepdf
import pytest

from booklet.draw.typeface import Faces, load_faces
from booklet.pages.page import Document, Element, Line, Page, Role
from booklet.pages.type import STYLES
from booklet.pdf.canvas import pdf_bytes
from booklet.pdf.write import write_file, write_pdf
from tests.readback import bookmarks

DATE = datetime(2027, 3, 6, 9, 30, tzinfo=UTC)


@pytest.fixture(scope="module")
def faces() -> Faces:
    """The faces, loaded once."""
    return load_faces()


def page(words: str, bookmark: str | None = None, level: int = 0) -> Page:
    """A page with one line of text."""
    line = Line(20, 200, words, STYLES["text"])
    return Page(210, 297, (Element(Role("paragraph"), (line,)),), bookmark, level)


DOCUMENT = Document(
    "Teabox – für drei",
    "Harbour Street Paper Room",
    "A box for three tea bags",
    "en-GB",
    "#2f6f73",
    (page("Cover", "Teabox"), page("Cut", "Steps", 1), page("Fold"), page("List", "日本", 4)),
)


def test_the_file_opens_without_a_fault(faces: Faces, tmp_path: Path) -> None:
    """A PDF checker finds nothing wrong, in a file of four pages and version 1.7."""
    target = tmp_path / "box.pdf"
    write_pdf(DOCUMENT, faces, target, date=DATE)
    with pikepdf.open(target) as pdf:
        assert pdf.check_pdf_syntax() == []
        assert (len(pdf.pages), pdf.pdf_version) == (4, "1.7")


def test_the_file_says_what_it_is(faces: Faces, tmp_path: Path) -> None:
    """Title, author, subject, language and dates stand where readers look for them."""
    target = tmp_path / "box.pdf"
    write_pdf(DOCUMENT, faces, target, date=DATE)
    with pikepdf.open(target) as pdf:
        info = {key: str(value) for key, value in pdf.docinfo.items()}
        assert info["/Title"] == DOCUMENT.title
        assert info["/Author"] == DOCUMENT.designer
        assert info["/Subject"] == DOCUMENT.subject
        assert info["/CreationDate"] == info["/ModDate"] == "D:20270306093000Z"
        assert str(pdf.Root.Lang) == "en-GB"
        assert bool(pdf.Root.ViewerPreferences.DisplayDocTitle)
        assert pdf.Root.ViewerPreferences.PrintScaling == "/None"


def test_bookmarks_name_their_pages_and_never_skip_a_level(faces: Faces, tmp_path: Path) -> None:
    """A bookmark asked for too deep hangs one below the bookmark before it."""
    target = tmp_path / "box.pdf"
    write_pdf(DOCUMENT, faces, target, date=DATE)
    assert bookmarks(target) == [(0, "Teabox"), (1, "Steps"), (2, "日本")]


def test_sections_that_share_a_page_have_bookmarks_of_their_own(
    faces: Faces, tmp_path: Path
) -> None:
    """Each with its own title, all to that page."""
    target = tmp_path / "box.pdf"
    shared = replace(page("List", "What you need"), further=("Safety", "Sizes"))
    write_pdf(replace(DOCUMENT, pages=(page("Cover", "Teabox"), shared)), faces, target, date=DATE)
    titles = ["Teabox", "What you need", "Safety", "Sizes"]
    assert bookmarks(target) == [(0, title) for title in titles]
    with pikepdf.open(target) as pdf, pdf.open_outline() as outline:
        places = [list(pikepdf.Array(item.to_dictionary_object(pdf).Dest)) for item in outline.root]
        assert [pdf.pages.index(pikepdf.Page(one[0])) for one in places] == [0, 1, 1, 1]


def test_the_same_document_gives_the_same_bytes(
    faces: Faces, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Neither the faces' earlier use nor the environment's clock changes a byte."""
    first = pdf_bytes(DOCUMENT, faces, date=DATE)
    pdf_bytes(replace(DOCUMENT, pages=(page("日本 ½ other words"),)), faces, date=DATE)
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1")
    assert pdf_bytes(DOCUMENT, faces, date=DATE) == first
    assert pdf_bytes(DOCUMENT, load_faces(), date=DATE) == first
    paris = DATE.astimezone(timezone(timedelta(hours=1)))
    assert pdf_bytes(DOCUMENT, faces, date=paris) == first


def test_another_document_has_another_id(faces: Faces) -> None:
    """The trailer's ID follows from what is on the pages, and from the date."""
    changed = replace(DOCUMENT, pages=(page("Cut twice"),))
    later = DATE + timedelta(seconds=1)
    ids = set()
    for document, date in ((DOCUMENT, DATE), (changed, DATE), (DOCUMENT, later)):
        data = pdf_bytes(document, faces, date=date)
        ids.add(data[data.rindex(b"/ID") :].split(b"]")[0])
    assert len(ids) == 3


def test_a_plain_file_has_neither_tags_nor_archive_metadata(faces: Faces, tmp_path: Path) -> None:
    """`plain` leaves out the structure tree, the XMP packet and the output intent."""
    target = tmp_path / "box.pdf"
    write_pdf(DOCUMENT, faces, target, date=DATE, plain=True)
    with pikepdf.open(target) as pdf:
        keys = {"/StructTreeRoot", "/MarkInfo", "/Metadata", "/OutputIntents"}
        assert keys.isdisjoint(pdf.Root.keys())
        assert b"BDC" not in pdf.pages[0].Contents.read_bytes()


def test_a_document_without_pages_is_still_a_file(faces: Faces, tmp_path: Path) -> None:
    """Nothing to print gives a PDF that opens."""
    target = tmp_path / "box.pdf"
    write_pdf(replace(DOCUMENT, pages=()), faces, target, date=DATE)
    with pikepdf.open(target) as pdf:
        assert len(pdf.pages) <= 1


@pytest.mark.parametrize("fault", ["fsync", "replace"])
def test_a_full_disk_leaves_the_earlier_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, fault: str
) -> None:
    """Where writing fails, the earlier file stays as it was and nothing is left beside it."""
    target = tmp_path / "box.pdf"
    target.write_bytes(b"earlier")

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    if fault == "fsync":
        monkeypatch.setattr(os, "fsync", full)
    else:
        monkeypatch.setattr(Path, "replace", full)
    with pytest.raises(OSError, match="No space left"):
        write_file(b"new", target)
    assert target.read_bytes() == b"earlier"
    assert list(tmp_path.iterdir()) == [target]


def test_a_missing_folder_is_told_and_not_made(tmp_path: Path) -> None:
    """A target in no folder raises OSError."""
    with pytest.raises(FileNotFoundError):
        write_file(b"new", tmp_path / "nowhere" / "box.pdf")
    assert list(tmp_path.iterdir()) == []


def test_a_folder_in_the_place_of_the_file_is_left_alone(tmp_path: Path) -> None:
    """A folder of the target's name raises OSError and stays."""
    (tmp_path / "box.pdf").mkdir()
    with pytest.raises(OSError):
        write_file(b"new", tmp_path / "box.pdf")
    assert [entry.name for entry in tmp_path.iterdir()] == ["box.pdf"]


def test_a_link_is_followed_to_its_file(tmp_path: Path) -> None:
    """Writing through a link changes the file that it names and keeps the link."""
    real, link = tmp_path / "real.pdf", tmp_path / "link.pdf"
    real.write_bytes(b"earlier")
    link.symlink_to(real)
    write_file(b"new", link)
    assert link.is_symlink() and real.read_bytes() == b"new"


def test_a_new_file_can_be_read_by_others_as_usual(tmp_path: Path) -> None:
    """The file has the rights that any new file gets, not those of a temporary one."""
    plain, target = tmp_path / "plain", tmp_path / "box.pdf"
    plain.write_bytes(b"")
    write_file(b"new", target)
    assert target.stat().st_mode == plain.stat().st_mode

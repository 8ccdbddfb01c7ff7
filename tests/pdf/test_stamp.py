"""Personal copies: what they say, and that templates stay as they were, read by another library."""

from __future__ import annotations

import datetime
from pathlib import Path

import pikepdf
import pytest

from booklet.command.line import main
from booklet.draw.typeface import Faces, load_faces
from booklet.pdf.stamp import Copy, Refused, printable, stamped
from tests.readback import bookmarks, page_sizes, read_pages

ROOT = Path(__file__).resolve().parents[2]
SEED = ROOT / "projects" / "seed-box" / "seed-box.toml"
DAY = datetime.date(2027, 3, 6)


@pytest.fixture(scope="module")
def faces() -> Faces:
    """The faces, loaded once."""
    return load_faces()


@pytest.fixture(scope="module")
def original(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A PDF to stamp."""
    folder = tmp_path_factory.mktemp("made")
    assert main(["make", str(SEED), "--out", str(folder)]) == 0
    return folder / "seed-box-letter.pdf"


@pytest.fixture(scope="module")
def copied(original: Path) -> Path:
    """A copy of it."""
    out = original.with_name("copy.pdf")
    words = ["--for", "Marit Ødegård", "--order", "A-1043", "--date", "2027-03-06"]
    assert main(["stamp", str(original), *words, "--out", str(out)]) == 0
    return out


def test_the_name_stands_in_every_footer(copied: Path) -> None:
    """Name, order number and day, on each page once, below everything else."""
    for page in read_pages(copied):
        line = [w for w in page.words if w.box[1] < 12]
        words = " ".join(w.text for w in line)
        assert words.count("Personal copy for Marit Ødegård · order A-1043 · 2027-03-06") == 1
        for a in line:
            assert all(a is b or a.box[2] <= b.box[0] or b.box[2] <= a.box[0] for b in line)


def test_the_pages_are_as_they_were(original: Path, copied: Path) -> None:
    """Boxes, every line with its places, width and dashes, bookmarks and layers."""
    assert page_sizes(copied) == page_sizes(original)
    assert bookmarks(copied) == bookmarks(original)
    for before, after in zip(read_pages(original), read_pages(copied), strict=True):
        assert after.strokes == before.strokes and after.areas == before.areas
    with pikepdf.open(original) as first, pikepdf.open(copied) as second:
        assert second.pdf_version == first.pdf_version
        assert len(second.Root.OCProperties.OCGs) == 4
        assert second.check_pdf_syntax() == []
        for a, b in zip(first.pages, second.pages, strict=True):
            drawn = a.Contents.read_bytes()
            assert [s.read_bytes() for s in b.Contents][:2] == [b"q\n", drawn]
            assert a.Resources.get("/Properties", {}).keys() == (
                b.Resources.get("/Properties", {}).keys()
            )


def test_the_file_says_whose_it_is(copied: Path, original: Path) -> None:
    """The information dictionary names person, order and day, beside what it said before."""
    with pikepdf.open(copied) as pdf, pikepdf.open(original) as before:
        info = {key: str(value) for key, value in pdf.docinfo.items()}
        assert info["/CopyFor"] == "Marit Ødegård"
        assert (info["/OrderNumber"], info["/CopyDate"]) == ("A-1043", "2027-03-06")
        assert info["/Title"] == "Seed packet box" and info["/Producer"].startswith("booklet")
        ids = [bytes(part) for part in pdf.trailer.ID]
        assert ids[0] == bytes(before.trailer.ID[0]) and ids[1] != ids[0]


def test_the_original_stays_and_the_same_words_give_the_same_bytes(
    original: Path, copied: Path, faces: Faces
) -> None:
    """Stamping changes nothing but the copy."""
    data = original.read_bytes()
    copy = Copy("Marit Ødegård", "A-1043", DAY)
    assert stamped(data, copy, faces) == copied.read_bytes()
    assert original.read_bytes() == data


def test_a_copy_is_not_stamped_again(copied: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Status 1 and whose copy it is."""
    assert main(["stamp", str(copied), "--for", "Someone else"]) == 2
    assert "for Marit Ødegård" in capsys.readouterr().err


def test_a_locked_file_is_not_stamped(
    original: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """With an owner's password only, and with a reader's."""
    for user in ("", "secret"):
        locked = tmp_path / "locked.pdf"
        with pikepdf.open(original) as pdf:
            pdf.save(locked, encryption=pikepdf.Encryption(owner="owner", user=user))
        assert main(["stamp", str(locked), "--for", "Marit"]) == 2
        assert "password" in capsys.readouterr().err
    assert [entry.name for entry in tmp_path.iterdir()] == ["locked.pdf"]


def test_what_is_not_ours_is_not_stamped(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Another program's PDF, a file that is none, an empty one, half of one: a sentence each."""
    other = pikepdf.new()
    other.add_blank_page(page_size=(612, 792))
    foreign = tmp_path / "foreign.pdf"
    other.save(foreign)
    (tmp_path / "text.pdf").write_bytes(b"not a PDF at all")
    (tmp_path / "empty.pdf").write_bytes(b"")
    (tmp_path / "half.pdf").write_bytes(foreign.read_bytes()[:200])
    names = sorted(path.name for path in tmp_path.iterdir())
    for name in names:
        assert main(["stamp", str(tmp_path / name), "--for", "Marit"]) == 2
        error = capsys.readouterr().err
        assert "is not stamped" in error and "Traceback" not in error
    assert main(["stamp", str(tmp_path / "missing.pdf"), "--for", "Marit"]) == 2
    assert main(["stamp", str(tmp_path), "--for", "Marit"]) == 2
    assert sorted(path.name for path in tmp_path.iterdir()) == names


def test_a_copy_never_takes_the_place_of_the_original_or_of_another_copy(
    original: Path, tmp_path: Path
) -> None:
    """Status 2; the same person's copy may be made anew."""
    source = tmp_path / "box.pdf"
    source.write_bytes(original.read_bytes())
    assert main(["stamp", str(source), "--for", "Ana", "--out", str(source)]) == 2
    assert source.read_bytes() == original.read_bytes()
    for name, code in (("Ana Li", 0), ("Ana-Li", 2), ("Ana Li", 0), ("Aná Li", 0)):
        assert main(["stamp", str(source), "--for", name, "--date", "2027-03-06"]) == code
    kept = sorted(path.name for path in tmp_path.iterdir())
    assert kept == ["box-for-Ana-Li.pdf", "box-for-Aná-Li.pdf", "box.pdf"]


@pytest.mark.parametrize(
    ("name", "reason"),
    [
        ("", "empty"),
        ("\u00a0\u3000", "empty"),
        ("Marit\x1b[2J", "control character"),
        ("Marit\nOrder", "control character"),
        ("Marit\u202eretsof", "steers text"),
        ("\u05e9\u05dc\u05d5\u05dd", "right to left"),
        ("\u0645\u0631\u064a\u0645", "right to left"),
        ("M\u0360arit", "combining mark"),
        ("日本", "does not have"),
        ("M\ud800", "half a character"),
        ("M" * 81, "more than 80"),
    ],
)
def test_words_that_cannot_be_printed_are_refused(faces: Faces, name: str, reason: str) -> None:
    """Each with what is wrong and where."""
    with pytest.raises(Refused, match=reason):
        printable(name, "the name", faces)


def test_letters_and_marks_that_make_one_letter_are_printed_as_one(faces: Faces) -> None:
    """An e and an acute accent are é (Unicode Standard Annex 15, form C)."""
    assert printable("Rene\u0301  Łukasz ", "the name", faces) == "René Łukasz"


def test_a_name_that_does_not_fit_is_refused(original: Path, tmp_path: Path) -> None:
    """Rather than cut off."""
    out = tmp_path / "copy.pdf"
    words = ["--for", "W" * 80, "--order", "W" * 80, "--out", str(out)]
    assert main(["stamp", str(original), *words]) == 2
    assert main(["stamp", str(original), "--for", "Ana", "--date", "yesterday"]) == 2
    assert not out.exists()

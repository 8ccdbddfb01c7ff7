"""The teacher's pages, read back from the PDF: a part of their own, with everything to prepare."""

from __future__ import annotations

import re
from pathlib import Path

import pdfplumber
import pytest
from pypdf import PdfReader

from booklet.command.line import main
from tests.made import Workshop

PROJECTS = Path(__file__).resolve().parents[2] / "projects"
SEED_BOX = PROJECTS / "seed-box" / "seed-box.toml"
WALLET = PROJECTS / "card-wallet" / "card-wallet.toml"


def texts(path: Path, out: Path, *options: str) -> list[str]:
    """The text of every page of a booklet."""
    assert main(["make", str(path), "--out", str(out), *options]) == 0
    (made,) = out.glob("*.pdf")
    with pdfplumber.open(made) as pdf:
        return [page.extract_text() or "" for page in pdf.pages]


def parts(pages: list[str]) -> tuple[list[str], list[str]]:
    """Students' pages, teacher's pages."""
    teacher = [page for page in pages if "Teacher’s page: not for" in page]
    return [page for page in pages if page not in teacher], teacher


def test_without_a_class_there_are_no_teachers_pages(tmp_path: Path) -> None:
    """One maker's booklet has the yield of each piece, and no plan and no price."""
    students, teacher = parts(texts(WALLET, tmp_path))
    assert teacher == []
    assert any("2 from one A4 sheet" in page for page in students)
    assert not any("Cutting plan" in page or "fence" in page for page in students)


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_a_class_has_a_part_of_its_own_at_the_end(tmp_path: Path, paper: str) -> None:
    """Plan, prep and cost stand on headed pages after the last of the students' pages."""
    pages = texts(SEED_BOX, tmp_path, "--paper", paper)
    students, teacher = parts(pages)
    assert pages == students + teacher
    for title in ("For the teacher", "What to buy, what it costs", "Cutting plan", "Prep sheet"):
        assert sum(title in page for page in teacher) == 1
        assert not any(title in page for page in students)
    assert not any(re.search(r"\bUSD\b|\bfence\b|\bfee\b", page) for page in students)
    assert "Spring seed swap, 6 March 2027" in students[0]


def test_each_part_counts_its_own_pages(tmp_path: Path) -> None:
    """Printed without the teacher's pages, a student's booklet is whole."""
    students, teacher = parts(texts(SEED_BOX, tmp_path))
    count = len(students)
    for number, page in enumerate(students[1:], 2):
        assert f"{number} / {count}" in page
    for number, page in enumerate(teacher, 1):
        assert f"teacher {number} / {len(teacher)}" in page


def test_the_pages_have_what_the_terminal_has(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The same cuts and sums in both, for another size of the class."""
    _, teacher = parts(texts(SEED_BOX, tmp_path, "--class", "20"))
    capsys.readouterr()
    assert main(["plan", str(SEED_BOX), "--class", "20"]) == 0
    plain = re.sub(r"\s+", " ", capsys.readouterr().out)
    printed = re.sub(r"\s+", " ", " ".join(teacher))
    for words in (
        "22 sheets, no plan takes fewer", "11 sheets, no plan takes fewer", "cut 22 sheets",
        "22 × Box body", "22 × Lid mat", "1 pack of 25", "180.00",
    ):  # fmt: skip
        assert words in plain, words
        assert words in printed, words


def test_a_class_can_be_asked_for_on_the_command_line(tmp_path: Path) -> None:
    """A file without [class] gets the pages too: squares for eight kits, no fee."""
    _, teacher = parts(texts(WALLET, tmp_path, "--class", "8"))
    prep = next(page for page in teacher if "Prep sheet" in page)
    assert "8 × Wallet" in prep and "8 kits" in prep
    assert not any("Fee and margin" in page for page in teacher)


def test_printed_shares_add_up(tmp_path: Path) -> None:
    """The last column of the table adds up to its last line, the column before it too."""
    _, teacher = parts(texts(SEED_BOX, tmp_path))
    page = next(page for page in teacher if "What to buy" in page)
    rows = re.findall(r"(\d+\.\d\d) (\d+\.\d\d) (\d+\.\d\d)$", page, re.MULTILINE)
    (sums,) = re.findall(r"^Together (\d+\.\d\d) (\d+\.\d\d)$", page, re.MULTILINE)
    assert len(rows) == 4
    for column, whole in ((1, sums[0]), (2, sums[1])):
        cents = [int(row[column].replace(".", "")) for row in rows]
        assert sum(cents) == int(whole.replace(".", ""))


@pytest.mark.parametrize("students", ["1", "60", "400"])
def test_small_and_large_classes_keep_inside_the_page(tmp_path: Path, students: str) -> None:
    """No word runs into the margin that printers leave."""
    assert main(["make", str(SEED_BOX), "--out", str(tmp_path), "--class", students]) == 0
    with pdfplumber.open(next(tmp_path.glob("*.pdf"))) as pdf:
        for page in pdf.pages:
            for word in page.extract_words():
                assert word["x0"] > 17 and page.width - word["x1"] > 17
                assert word["top"] > 17 and page.height - word["bottom"] > 17


def test_beside_a_booklet_to_fold_they_are_a_file_of_their_own(tmp_path: Path) -> None:
    """The teacher's file has the handout's pages for the teacher; the other two have none."""
    _, usual = parts(texts(SEED_BOX, tmp_path / "usual"))
    out = tmp_path / "folded"
    assert main(["make", str(SEED_BOX), "--out", str(out), "--booklet"]) == 0
    found = {}
    for made in out.glob("*.pdf"):
        with pdfplumber.open(made) as pdf:
            found[made.stem] = [page.extract_text() or "" for page in pdf.pages]
    assert found.pop("seed-box-booklet-letter-teacher") == usual
    assert len(found) == 2
    for pages in found.values():
        students, teacher = parts(pages)
        assert students and not teacher
        assert not any(re.search(r"\bUSD\b|\bfence\b|\bfee\b", page) for page in students)


def test_without_a_class_nobody_gets_a_teachers_file(tmp_path: Path) -> None:
    """Sheets and templates only."""
    assert main(["make", str(WALLET), "--out", str(tmp_path), "--booklet"]) == 0
    names = {made.name for made in tmp_path.iterdir()}
    assert names == {"card-wallet-booklet-a4.pdf", "card-wallet-booklet-a4-templates.pdf"}


@pytest.mark.parametrize("edition", ["large", "pattern", "binder"])
def test_other_editions_have_no_teachers_pages(workshop: Workshop, edition: str) -> None:
    """What is handed to one student, sold or kept says nothing of fees and margins."""
    files = workshop.files("seed-box", edition)
    assert files
    for made in files:
        words = " ".join(page.extract_text() for page in PdfReader(made).pages)
        assert "Teacher’s page" not in words and "margin" not in words.replace("margins", "")

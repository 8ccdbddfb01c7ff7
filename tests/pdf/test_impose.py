"""Folded booklets: the order of pages, folding in simulation, creep, and sizes, read back."""

from __future__ import annotations

import re
from datetime import UTC, datetime
from pathlib import Path

import pdfplumber
import pikepdf
import pytest

from booklet.command.line import main
from booklet.draw.typeface import load_faces
from booklet.pages.page import Document, Page
from booklet.pdf.canvas import pages_and_tree
from booklet.pdf.impose import imposed, sides
from booklet.pdf.section import section_of
from tests.readback import operations, page_sizes, read_pages

ROOT = Path(__file__).resolve().parents[2]
SEED = ROOT / "projects" / "seed-box" / "seed-box.toml"
POINT = 25.4 / 72


@pytest.mark.parametrize(
    ("pages", "order"),
    [
        (4, [4, 1, 2, 3]),
        (8, [8, 1, 2, 7, 6, 3, 4, 5]),
        (12, [12, 1, 2, 11, 10, 3, 4, 9, 8, 5, 6, 7]),
        (16, [16, 1, 2, 15, 14, 3, 4, 13, 12, 5, 6, 11, 10, 7, 8, 9]),
        (20, [20, 1, 2, 19, 18, 3, 4, 17, 16, 5, 6, 15, 14, 7, 8, 13, 12, 9, 10, 11]),
    ],
)
def test_the_order_is_the_published_one(pages: int, order: list[int]) -> None:
    """Ubuntu 18.04 Desktop Guide, "Print a booklet on a single-sided printer": all five."""
    assert [page for side in sides(pages) for page in (side.left, side.right)] == order


def test_pairs_follow_the_published_rule() -> None:
    """The two pages of a side sum to n + 1, the odd one at the right (mindprod.com, imposition)."""
    for pages in range(4, 80, 4):
        for side in sides(pages):
            assert (side.left + side.right == pages + 1 and side.right % 2 == 1) or (
                side.left % 2 == 0 and side.left + side.right == pages + 1
            )
    for pages in (0, -4, 6, 15):
        with pytest.raises(ValueError):
            sides(pages)


def folded_order(fronts: list[tuple[int, int]], backs: list[tuple[int, int]]) -> list[int]:
    """The pages as one reads them: sheets flipped on the short edge, nested, folded.

    Flipping on the short edge of a landscape sheet turns it about an upright axis: what is printed
    at the left of the back lies behind the right of the front.
    """
    right_leaves = [(front[1], back[0]) for front, back in zip(fronts, backs, strict=True)]
    left_leaves = [(back[1], front[0]) for front, back in zip(fronts, backs, strict=True)]
    # Opened, one turns the right halves from the outermost sheet in, then the left ones outward.
    leaves = [*right_leaves, *reversed(left_leaves)]
    return [page for leaf in leaves for page in leaf]


@pytest.mark.parametrize("pages", [4, 8, 12, 16, 40])
def test_folding_gives_the_pages_in_order(pages: int) -> None:
    """Every page once, from the first to the last."""
    pairs = [(side.left, side.right) for side in sides(pages)]
    assert folded_order(pairs[::2], pairs[1::2]) == list(range(1, pages + 1))


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The seed box as a booklet to fold."""
    folder = tmp_path_factory.mktemp("fold")
    assert main(["make", "--booklet", "--paper", "letter", str(SEED), "--out", str(folder)]) == 0
    return folder / "seed-box-booklet-letter.pdf"


def test_the_printed_sheets_fold_into_the_booklet(made: Path) -> None:
    """Page numbers read from both halves of the printed sheets, folded, run from 2 to n."""
    fronts: list[tuple[int, int]] = []
    backs: list[tuple[int, int]] = []
    pages = read_pages(made)
    for index, page in enumerate(pages):
        found = {}
        for half, (x0, x1) in enumerate(((0, page.width / 2), (page.width / 2, page.width))):
            words = [w for w in page.words if x0 <= w.box[0] < x1 and w.box[1] < 12]
            line = " ".join(w.text for w in sorted(words, key=lambda w: w.box[0]))
            number = re.search(r"(\d+) / (\d+)$", line)
            found[half] = int(number[1]) if number else 1  # the cover has no number
        (backs if index % 2 else fronts).append((found[0], found[1]))
    order = folded_order(fronts, backs)
    assert order == list(range(1, 2 * len(pages) + 1)) and len(order) % 4 == 0


def test_sheets_are_landscape_and_ask_for_the_short_edge(made: Path) -> None:
    """Letter lying on its side; ISO 32000-1 table 150: Duplex and PrintScaling."""
    assert all(size == pytest.approx((279.4, 215.9), abs=0.02) for size in page_sizes(made))
    with pikepdf.open(made) as pdf:
        assert pdf.Root.ViewerPreferences.Duplex == "/DuplexFlipShortEdge"
        assert pdf.Root.ViewerPreferences.PrintScaling == "/None"
        assert pdf.docinfo["/Title"] == "Seed packet box"
        assert pdf.check_pdf_syntax() == []


def test_text_keeps_its_size(made: Path) -> None:
    """Pages are set for the half sheet, not shrunk: nothing is under 8 pt."""
    with pikepdf.open(made) as pdf:
        for page in pdf.pages:
            for operands, operator in operations(page):
                if operator == "cm":
                    assert [float(v) for v in operands[:4]] == [1, 0, 0, 1]
    assert min(word.size for page in read_pages(made) for word in page.words) > 7.99


def test_creep_grows_by_one_leaf_a_sheet(tmp_path: Path) -> None:
    """printplanet.com thread 1579: one caliper more for each sheet further in, toward the fold."""
    half = Page(396 * POINT, 612 * POINT, ())
    document = Document("", "", "", "en", "#000000", (half,) * 16)
    date = datetime(2027, 3, 6, tzinfo=UTC)
    section = section_of(*pages_and_tree(document, load_faces(), date=date))
    for leaf in (0.0, 0.1, 0.25):
        out = tmp_path / "sheets.pdf"
        out.write_bytes(imposed(section, document, date, leaf))
        with pikepdf.open(out) as pdf:
            for index, sheet in enumerate(pdf.pages):
                left, right = (
                    float(operands[4]) * POINT
                    for operands, operator in operations(sheet)
                    if operator == "cm"
                )
                creep = (index // 2) * leaf
                assert left == pytest.approx(creep, abs=0.001)
                assert right == pytest.approx(396 * POINT - creep, abs=0.001)


def test_templates_follow_unscaled_on_their_own_sheets(made: Path, tmp_path: Path) -> None:
    """Every line of the handout's template is found again, in upright pages of the paper."""
    assert main(["make", "--paper", "letter", str(SEED), "--out", str(tmp_path)]) == 0
    apart = made.with_name("seed-box-booklet-letter-templates.pdf")
    assert all(size == pytest.approx((215.9, 279.4), abs=0.02) for size in page_sizes(apart))
    for title in ("Template: box body", "Templates of the mats"):
        first, second = (
            next(p for p in read_pages(path) if title in p.text and "Pages to print" not in p.text)
            for path in (tmp_path / "seed-box-letter.pdf", apart)
        )
        assert second.strokes == first.strokes


def test_the_same_project_gives_the_same_sheets(made: Path, tmp_path: Path) -> None:
    """Byte for byte."""
    words = ["--booklet", "--paper", "letter", str(SEED), "--out", str(tmp_path)]
    assert main(["make", *words]) == 0
    assert (tmp_path / made.name).read_bytes() == made.read_bytes()


def test_large_print_is_large(tmp_path: Path) -> None:
    """Running text is 18 pt (American Council of the Blind, 2022); templates are as they were."""
    for options in (["--large-print"], []):
        assert main(["make", "--paper", "letter", *options, str(SEED), "--out", str(tmp_path)]) == 0
    large = read_pages(tmp_path / "seed-box-large-print-letter.pdf")
    plain = read_pages(tmp_path / "seed-box-letter.pdf")
    sizes = page_sizes(tmp_path / "seed-box-large-print-letter.pdf")
    assert all(size == pytest.approx((215.9, 279.4), abs=0.02) for size in sizes)
    step = next(page for page in large if "Step by step" in page.text)
    words = [word for word in step.words if word.text in ("scoring", "board", "inside")]
    assert words and all(word.size == pytest.approx(18, abs=0.05) for word in words)
    first, second = (
        next(p for p in pages if "Template: box body" in p.text) for pages in (large, plain)
    )
    assert first.strokes == second.strokes
    with pdfplumber.open(tmp_path / "seed-box-large-print-letter.pdf") as pdf:
        # Full-size pages and those for the teacher are not for reading at arm's length.
        apart = re.compile("Print at 100 %|^Teacher’s page")
        reading = [p for p in pdf.pages if not apart.search(p.extract_text())]
        assert len(reading) > 10
        upright = [char for page in reading for char in page.chars if char["upright"]]
        assert min(char["size"] for char in upright) >= 14


def test_an_edition_that_does_not_fold_says_so(capsys: pytest.CaptureFixture[str]) -> None:
    """Wrong usage: status 2 and a sentence."""
    for words in (
        ["--for", "pattern", "--booklet"],
        ["--large-print", "--booklet"],
        ["--leaf", "x"],
    ):
        assert main(["make", *words, str(SEED)]) == 2
        assert capsys.readouterr().err

"""What a PDF shows, read back by other libraries: places at full size, lines, words, colours."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pypdfium2  # type: ignore[import-untyped]
import pytest

from booklet.draw.linestyle import LINE_STYLES
from booklet.draw.mark import Area, Clip, Drawing, Label, Mark, Stroke
from booklet.draw.typeface import Faces, load_faces
from booklet.flat.arcs import arc, circle
from booklet.flat.path import rectangle, segment
from booklet.pages.page import Box, Document, Element, Ink, Line, Page, Picture, Role, Rule
from booklet.pages.type import STYLES
from booklet.pdf.write import write_pdf
from tests.readback import ReadPage, fonts, page_sizes, read_pages

DATE = datetime(2027, 3, 6, 9, 30, tzinfo=UTC)
WITHIN = 0.02


@pytest.fixture(scope="module")
def faces() -> Faces:
    """The faces, loaded once."""
    return load_faces()


def document(*inks: Ink, accent: str = "#2f6f73") -> Document:
    """A booklet of one letter page with the given inks."""
    element = Element(Role("figure", alt="a box"), inks)
    page = Page(215.9, 279.4, (element,), "Template")
    return Document("Seed packet box", "Harbour Street Paper Room", "A box", "en", accent, (page,))


def written(faces: Faces, folder: Path, *inks: Ink, grey: bool = False) -> Path:
    """The path of a PDF with the given inks."""
    target = folder / "page.pdf"
    write_pdf(document(*inks), faces, target, date=DATE, grey=grey)
    return target


def drawn(faces: Faces, folder: Path, *marks: Mark, scale: float = 1.0) -> ReadPage:
    """A drawing with its origin at (20, 30) on the page, read back."""
    picture = Picture(20, 30, Drawing(marks, (0, 0, 100, 100), "a box"), scale)
    return read_pages(written(faces, folder, picture))[0]


def test_the_page_has_the_size_of_the_paper(faces: Faces, tmp_path: Path) -> None:
    """Letter is 8.5 by 11 in, 612 by 792 pt (ANSI/ASME Y14.1), and nothing scales it."""
    (size,) = page_sizes(written(faces, tmp_path))
    assert size == pytest.approx((215.9, 279.4), abs=1e-4)


def test_lines_lie_at_full_size_within_two_hundredths_of_a_mm(faces: Faces, tmp_path: Path) -> None:
    """Scores drawn at sixteenths of an inch are read back where they were drawn."""
    steps = [index * 25.4 / 16 for index in range(1, 60)]
    page = drawn(faces, tmp_path, *(Stroke(segment((x, 0), (x, 90)), "valley") for x in steps))
    for x in steps:
        page.stroke((20 + x, 30), (20 + x, 120))


@pytest.mark.parametrize("name", LINE_STYLES)
def test_widths_and_dashes_are_read_back_in_mm(faces: Faces, tmp_path: Path, name: str) -> None:
    """Every line style reaches the paper with its width and dashes, whatever the scale."""
    page = drawn(faces, tmp_path, Stroke(segment((0, 0), (80, 10)), name), scale=0.5)
    stroke = page.stroke((20, 30), (60, 35))
    assert stroke.width == pytest.approx(LINE_STYLES[name].width_mm, abs=1e-4)
    assert stroke.dash == pytest.approx(LINE_STYLES[name].dash, abs=1e-4)


def test_each_line_has_its_own_style_after_a_clip(faces: Faces, tmp_path: Path) -> None:
    """A clipped group leaves no width or dash behind for what follows it."""
    cut, fold = segment((0, 0), (50, 0)), segment((0, 5), (50, 5))
    hatch = segment((0, 9), (50, 9))
    page = drawn(
        faces,
        tmp_path,
        Stroke(cut, "cut"),
        Clip(rectangle(0, 0, 20, 20), (Stroke(hatch, "ghost"), Stroke(fold, "heavy"))),
        Stroke(segment((0, 15), (50, 15)), "cut"),
    )
    first, last = page.stroke((20, 30), (70, 30)), page.stroke((20, 45), (70, 45))
    assert (first.width, first.dash, first.colour) == (last.width, last.dash, last.colour)
    assert page.stroke((20, 39), (70, 39)).dash != ()


def test_a_quarter_circle_ends_where_it_was_drawn(faces: Faces, tmp_path: Path) -> None:
    """The end points of a curve are read back like those of lines."""
    page = drawn(faces, tmp_path, Stroke(arc((0, 0), 20, 0, 90), "cut"))
    (stroke,) = page.strokes
    assert stroke.points[0] == pytest.approx((40, 30), abs=WITHIN)
    assert stroke.points[-1] == pytest.approx((20, 50), abs=WITHIN)


def test_labels_stand_at_their_anchors(faces: Faces, tmp_path: Path) -> None:
    """Start, middle and end anchors put a word's left edge, centre and right edge at the point."""
    page = drawn(
        faces,
        tmp_path,
        Label((50, 10), "start", anchor="start"),
        Label((50, 20), "centre", anchor="middle"),
        Label((50, 40), "finish", anchor="end"),
    )
    boxes = {word.text: word.box for word in page.words}
    assert boxes["start"][0] == pytest.approx(70, abs=WITHIN)
    assert (boxes["centre"][0] + boxes["centre"][2]) / 2 == pytest.approx(70, abs=WITHIN)
    assert boxes["finish"][2] == pytest.approx(70, abs=WITHIN)


def test_type_keeps_its_size_when_a_picture_is_scaled(faces: Faces, tmp_path: Path) -> None:
    """A label in a picture at a tenth of its size is still set in its style's size."""
    page = drawn(faces, tmp_path, Label((50, 50), "lid"), scale=0.1)
    (word,) = page.words
    assert word.size == pytest.approx(STYLES["label"].size_pt)
    assert (word.box[0] + word.box[2]) / 2 == pytest.approx(25, abs=WITHIN)


def test_an_upright_label_reads_upward(faces: Faces, tmp_path: Path) -> None:
    """Turned by 90 degrees, a label is as tall as it was wide and centred on its point."""
    style = STYLES["label"]
    page = drawn(faces, tmp_path, Label((50, 50), "lid", angle=90))
    box = [word.box for word in page.words]
    low, high = min(b[1] for b in box), max(b[3] for b in box)
    assert high - low == pytest.approx(faces.width("lid", style), abs=WITHIN)
    assert (low + high) / 2 == pytest.approx(80, abs=WITHIN)


def test_words_can_be_searched_for_with_their_fractions(faces: Faces, tmp_path: Path) -> None:
    """Raised and lowered digits keep their characters and their order."""
    line = Line(20, 200, "Score at 3³⁄₁₆ in and 5⅛ in", STYLES["text"])
    page = read_pages(written(faces, tmp_path, line))[0]
    assert "Score at 3³⁄₁₆ in and 5⅛ in" in page.text


def test_markup_and_brackets_are_plain_words(faces: Faces, tmp_path: Path) -> None:
    """Nothing that a maker types is taken for markup."""
    text = r"<b>(cut) \one\ & [two] %3</b>"
    page = read_pages(written(faces, tmp_path, Line(20, 200, text, STYLES["text"])))[0]
    assert text in page.text


@pytest.mark.parametrize(
    "text",
    ["", " ", "שלום (עולם)", "مرحبا", "e\u0301\u0327", "🎁📦", "\ud800", "\0\x1b[31m", "茶" * 500],
)
def test_no_words_make_writing_fail(faces: Faces, tmp_path: Path, text: str) -> None:
    """Right-to-left, combining, unknown and broken characters print as something."""
    inks = [Line(20, 250 - 15 * n, text, style) for n, style in enumerate(STYLES.values())]
    picture = Picture(20, 30, Drawing((Label((5, 5), text),), (0, 0, 9, 9), text))
    path = written(faces, tmp_path, *inks, picture)
    assert len(read_pages(path)) == 1


def test_only_our_own_embedded_fonts_are_in_the_file(faces: Faces, tmp_path: Path) -> None:
    """Each font is a subset with its outlines inside; no standard font is named."""
    inks = [Line(20, 250 - 15 * n, "Lid", style) for n, style in enumerate(STYLES.values())]
    held = fonts(written(faces, tmp_path, *inks))
    assert held and all(held.values())
    assert all(name[7:8] == "+" for name in held), held
    assert fonts(written(faces, tmp_path)) == {}


def test_a_printed_bar_of_100_mm_is_100_mm_of_ink(faces: Faces, tmp_path: Path) -> None:
    """Rendered at 254 dots per inch, a filled bar of 100 by 10 mm is 1000 by 100 dots."""
    bar = Area(rectangle(0, 0, 100, 10), "ink")
    picture = Picture(20, 30, Drawing((bar,), (0, 0, 100, 10), "a bar"))
    pdf = pypdfium2.PdfDocument(written(faces, tmp_path, picture))
    image = pdf[0].render(scale=254 / 72).to_pil().convert("L")
    box = image.point(lambda level: 255 if level < 128 else 0).getbbox()
    assert box is not None
    assert (box[2] - box[0], box[3] - box[1]) == pytest.approx((1000, 100), abs=1)


def test_a_hole_shows_the_paper(faces: Faces, tmp_path: Path) -> None:
    """An inner subpath of an area is a hole whichever way round it runs."""
    outline = rectangle(0, 0, 40, 40)
    hole = circle((20, 20), 10)
    area = Area(type(outline)((*outline.commands, *hole.commands)), "ink")
    picture = Picture(20, 30, Drawing((area,), (0, 0, 40, 40), "a window"))
    pdf = pypdfium2.PdfDocument(written(faces, tmp_path, picture))
    image = pdf[0].render(scale=1).to_pil().convert("L")
    middle = (40 * 72 / 25.4, (279.4 - 50) * 72 / 25.4)
    assert image.getpixel((int(middle[0]), int(middle[1]))) == 255
    assert image.getpixel((int(middle[0] - 15 * 2.8), int(middle[1]))) == 0


def test_grey_has_no_colour_left(faces: Faces, tmp_path: Path) -> None:
    """With `grey`, accents and stock colours are greys as light as they were."""
    marks = (Area(rectangle(0, 0, 9, 9), "#7a8f5a"), Stroke(segment((0, 0), (9, 9)), "accent"))
    inks: list[Ink] = [
        Picture(20, 30, Drawing(marks, (0, 0, 9, 9), "a lid")),
        Rule(20, 80, 90, 80, "accent", "accent"),
        Line(20, 90, "1", STYLES["number"], colour="accent"),
        Box(20, 100, 3.2, 3.2),
    ]
    page = read_pages(written(faces, tmp_path, *inks, grey=True))[0]
    colours = [s.colour for s in page.strokes] + [colour for _, colour in page.areas]
    assert len(colours) == 4 and all(len(colour) == 1 for colour in colours)
    coloured = read_pages(written(faces, tmp_path, *inks))[0]
    assert {len(s.colour) for s in coloured.strokes} == {1, 3}

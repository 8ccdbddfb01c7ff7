"""Pages of a binder: holes where the standards have them, and nothing in their way."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import pypdfium2  # type: ignore[import-untyped]
import pytest

from tests.made import Workshop
from tests.readback import ReadPage, ReadStroke, read_pages

ROOT = Path(__file__).resolve().parents[2]
INCH = 25.4


DEMOS = [ROOT / "projects" / name / f"{name}.toml" for name in ("seed-box", "harvest-tray")]
"""One whose template fits the page, and one in tiles."""
CASES = [(demo, paper) for demo in DEMOS for paper in ("letter", "a4")]


@dataclass(frozen=True)
class Made:
    """A demo's pages for a binder, the file and read back."""

    file: Path
    paper: str
    pages: list[ReadPage]


@pytest.fixture(scope="module", params=CASES, ids=lambda case: f"{case[0].stem}-{case[1]}")
def made(request: pytest.FixtureRequest, workshop: Workshop) -> Made:
    """Each demo on each paper in turn."""
    demo, paper = request.param
    (file,) = workshop.files(demo.stem, "binder", paper)
    return Made(file, paper, read_pages(file))


def box(stroke: ReadStroke) -> tuple[float, float, float, float]:
    """The box of a stroke, mm."""
    xs, ys = zip(*stroke.points, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def middle(stroke: ReadStroke) -> tuple[float, float]:
    """The middle of a stroke's box, mm."""
    x0, y0, x1, y1 = box(stroke)
    return (x0 + x1) / 2, (y0 + y1) / 2


def test_holes_are_where_the_standard_has_them(made: Made) -> None:
    """ISO 838 (polymedia.pl): 80 mm apart, symmetric, 12 mm from the edge, 6 mm wide; the four-hole
    extension 80 mm beyond (fact-archive.com). US: 4.25 in apart, so 1.25, 5.5 and 9.75 in from an
    end of Letter; half an inch from the edge and 5/16 in wide from memory."""
    edge, width, heights = {
        "a4": (12.0, 6.0, [28.5, 108.5, 188.5, 268.5]),
        "letter": (INCH / 2, INCH * 5 / 16, [1.25 * INCH, 5.5 * INCH, 9.75 * INCH]),
    }[made.paper]
    for page in made.pages:
        level = [
            s for s in page.strokes
            if len(s.points) == 2
            and abs(middle(s)[0] - edge) < 0.02
            and 1 < box(s)[2] - box(s)[0] < 5
        ]  # fmt: skip
        assert sorted(middle(s)[1] for s in level) == pytest.approx(heights, abs=0.02)
        round_ = [s for s in page.strokes if s.commands.count("c") == 4]
        rings = [s for s in round_ if abs(middle(s)[0] - edge) < 0.02]
        always = heights[1:3] if made.paper == "a4" else heights
        assert sorted(middle(s)[1] for s in rings) == pytest.approx(always, abs=0.02)
        assert all(box(s)[2] - box(s)[0] == pytest.approx(width, abs=0.02) for s in rings)


def test_nothing_stands_in_the_way_of_a_hole(made: Made) -> None:
    """As drawn by another program, the 18 mm at the left hold the marks and no other ink."""
    heights = {"a4": [28.5, 108.5, 188.5, 268.5], "letter": [31.75, 139.7, 247.65]}[made.paper]
    with pypdfium2.PdfDocument(made.file) as pdf:
        for page in pdf:
            image = page.render(scale=72 / 72, grayscale=True).to_pil()
            strip = image.crop((0, 0, int(18 / 25.4 * 72), image.height))
            for height in heights:
                y = image.height - height / 25.4 * 72
                strip.paste(255, (0, round(y - 14), strip.width, round(y + 14)))
            assert strip.getextrema() == (255, 255)


def test_the_project_sheet_comes_first(made: Made) -> None:
    """Title, size, stock, and lines for whom it was made, on one page; every page numbered."""
    first = made.pages[0].text
    assert all(word in first for word in ("At a glance", "Size", "Stock", "Made for", "Date"))
    for number, page in enumerate(made.pages, 1):
        assert f"{number} / {len(made.pages)}" in page.text

"""Half sheets and large print: one column, still large pictures, pages that are well filled."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from statistics import median

import pytest

from booklet.draw.typeface import load_faces
from booklet.pages.flow import Composer
from booklet.pages.grid import PAPERS, folded_half
from booklet.pages.handout import folded, handout
from booklet.pages.page import Document, Line, Page, Picture, Rule
from booklet.pages.wording import planned_steps
from booklet.stages import check_file

PROJECTS = Path(__file__).resolve().parents[2] / "projects"
NAMES = ("seed-box", "harvest-tray", "tea-carton")


@cache
def made(project: str, kind: str, paper: str = "letter") -> Document:
    """A demo in usual or large print or on half sheets."""
    model, _ = check_file(PROJECTS / project / f"{project}.toml")
    assert model is not None
    faces = load_faces()
    if kind == "half":
        return folded(model, PAPERS[paper], faces)
    return handout(model, PAPERS[paper], faces, large=kind == "large")


def pictures(document: Document, said: str) -> list[tuple[float, float]]:
    """Width and height on paper, in mm, of the pictures whose words hold `said`."""
    return [
        (ink.drawing.size[0] * ink.scale * page.zoom, ink.drawing.size[1] * ink.scale * page.zoom)
        for page in document.pages
        for element in page.elements
        if said in element.role.alt
        for ink in element.inks
        if isinstance(ink, Picture)
    ]


@pytest.mark.parametrize("project", NAMES)
@pytest.mark.parametrize(("kind", "least"), [("large", 100.0), ("half", 75.0)])
def test_chart_and_fold_order_have_large_pictures(project: str, kind: str, least: float) -> None:
    """The longer side of each is at least so long: letters and lines can be read at a table."""
    document = made(project, kind)
    charts = pictures(document, "a letter on each score line")
    orders = pictures(document, "the number of its fold")
    assert charts and orders
    assert all(max(size) >= least for size in charts + orders)


def lowest(page: Page) -> float:
    """How far down the page its words and pictures reach, as a share of its height."""
    ys = [
        ink.y0 if isinstance(ink, Rule) else ink.y
        for element in page.elements
        if element.role.kind != "decoration"
        for ink in element.inks
    ]
    return 1 - min(ys) / page.height


@pytest.mark.parametrize("project", NAMES)
def test_step_pages_in_large_print_are_filled(project: str) -> None:
    """One step a page has all the room that its words leave: it reaches into the lower third."""
    pages = made(project, "large").pages
    first = next(at for at, page in enumerate(pages) if page.bookmark == "Steps")
    last = next(
        at
        for at, page in enumerate(pages)
        if any(name.startswith("Fold order") for name in (page.bookmark or "", *page.further))
    )
    assert all(lowest(page) > 2 / 3 for page in pages[first:last])


@pytest.mark.parametrize("paper", sorted(PAPERS))
@pytest.mark.parametrize("project", NAMES)
def test_step_pictures_grow_with_the_words_of_large_print(project: str, paper: str) -> None:
    """All but the first, which shares its page with title and key, and the finished piece."""
    usual, large = (
        {
            element.role.alt.partition(".")[0]: max(ink.drawing.size) * page.zoom
            for page in made(project, kind, paper).pages
            for element in page.elements
            for ink in element.inks
            if isinstance(ink, Picture) and element.role.alt
        }
        for kind in ("usual", "large")
    )
    model, _ = check_file(PROJECTS / project / f"{project}.toml")
    assert model is not None
    titles = [step.title for step in planned_steps(model)][1:]
    grown = [large[title] / usual[title] for title in titles if {title} <= usual.keys() & large]
    assert len(grown) >= 4
    assert min(grown) > 1.1 and median(grown) > 1.5


def test_a_short_table_stays_with_its_header() -> None:
    """Two rows at the foot of a page do not ask for more room than they take."""
    faces = load_faces()
    sheet = Composer(folded_half(PAPERS["letter"]), faces, "")
    head, rows, widths = ("Line", "Where"), [("A", "here"), ("B", "there")], (30.0, 60.0)
    sheet.words("Above.")
    sheet.y = sheet.paper.bottom + sheet.table_height(head, rows, widths) + 0.1
    sheet.table(head, rows, widths)
    assert not sheet.finished
    sheet.y = sheet.paper.bottom + sheet.table_height(head, rows, widths) - 0.1
    sheet.table(head, rows, widths)
    assert len(sheet.pages()) == 2


def test_a_long_table_goes_on_below_its_header_again() -> None:
    """For the eye alone, as its tags have it once; the last row does not go over by itself."""
    sheet = Composer(folded_half(PAPERS["letter"]), load_faces(), "")
    head, rows, widths = ("Line", "Where"), [(f"row {n}", "") for n in range(200)], (30.0, 60.0)
    first, second = (sheet.table_height(head, rows[:n], widths) for n in (1, 2))
    fit = 1 + int((sheet.y - sheet.paper.bottom - first) / (second - first))
    sheet.table(head, rows[: fit + 1], widths)
    told = [
        [
            (element.role.kind, ink.text)
            for element in page.elements
            for ink in element.inks
            if isinstance(ink, Line) and ink.text
        ]
        for page in sheet.pages()
    ]
    assert [kinds[0] for kinds in told] == [("table_header", "Line"), ("decoration", "Line")]
    assert told[1][2:] == [("table_cell", f"row {n}") for n in (fit - 1, fit)]


@pytest.mark.parametrize("paper", sorted(PAPERS))
@pytest.mark.parametrize("project", ["card-wallet", "tea-pyramid", "harvest-tray"])
def test_no_caution_stands_alone_on_the_last_page_of_them(project: str, paper: str) -> None:
    """Words of caution are read before anything else: one on a page of its own is passed over."""
    words = ("WARNING", "CAUTION", "NOTICE")
    counts = [
        sum(
            isinstance(ink, Line) and ink.text in words
            for element in page.elements
            for ink in element.inks
        )
        for page in made(project, "large", paper).pages
    ]
    assert [count for count in counts if count][-1] > 1

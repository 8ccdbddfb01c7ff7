"""Step pages: the key of their signs, rows shared out on pages, and what follows below them."""

from __future__ import annotations

from pathlib import Path

import pytest

from booklet.draw.arrow import FoldArrow, TurnOver
from booklet.draw.sign_key import WORDS, Sign
from booklet.draw.typeface import Faces, load_faces
from booklet.pages.flow import Composer
from booklet.pages.grid import PAPERS, folded_half, large_print
from booklet.pages.page import Page, Picture
from booklet.pages.shot import Flat, Folded, Stage
from booklet.pages.signs import signs_of
from booklet.pages.staging import set_stage
from booklet.pages.step_picture import step_pictures
from booklet.pages.steps import LARGEST, drawn_together, set_steps, shared_out
from booklet.pages.wording import planned_steps
from booklet.stages import check_file


@pytest.fixture(scope="module")
def faces() -> Faces:
    """The type of print."""
    return load_faces()


def staged(demo: Path) -> tuple[Stage, list[Page]]:
    """The pictures of a demo and its step pages on Letter."""
    model, _ = check_file(demo)
    assert model is not None
    steps = planned_steps(model)
    stage = set_stage(model, steps)
    sheet = Composer(PAPERS["letter"], load_faces(), "Steps")
    set_steps(stage, steps, sheet)
    return stage, sheet.pages()


def keys(pages: list[Page]) -> list[str]:
    """What the keys on these pages say."""
    return [
        ink.drawing.alt
        for page in pages
        for element in page.elements
        for ink in element.inks
        if isinstance(ink, Picture) and ink.drawing.alt.startswith("Key of the signs")
    ]


def test_the_key_stands_once_and_says_what_the_pictures_use(demo: Path) -> None:
    """On the first page of the steps alone; no sign that is not used, none left out."""
    stage, pages = staged(demo)
    (told,) = keys(pages)
    assert keys(pages[:1]) == [told]
    pictures = [shot.picture for shots in stage.shots for shot in shots]
    arrows = [a for p in pictures if isinstance(p, Folded) for a in p.seen.scene.arrows]
    flat = [p.show for p in pictures if isinstance(p, Flat)]
    heads = {a.head for a in arrows if isinstance(a, FoldArrow) and not a.opens}
    turns = any(isinstance(a, TurnOver) for a in arrows) or any(show.turn for show in flat)
    expected: dict[Sign, bool] = {
        "valley": "valley" in heads,
        "mountain": "mountain" in heads,
        "turn": turns,
        "crease": any(show.fold for show in flat),
    }
    for sign, used in expected.items():
        assert (WORDS[sign] in told) == used, sign
    larger = any(
        "A circle shows" in ink.drawing.alt
        for page in pages
        for element in page.elements
        for ink in element.inks
        if isinstance(ink, Picture)
    )
    assert (WORDS["detail"] in told) == larger


@pytest.mark.parametrize("narrow", [folded_half, large_print])
def test_the_key_fits_narrow_pages(narrow: object, demo: Path, faces: Faces) -> None:
    """On half sheets and in large print it wraps rather than running off the page."""
    assert callable(narrow)
    paper = narrow(PAPERS["letter"])
    model, _ = check_file(demo)
    assert model is not None
    steps = planned_steps(model)
    sheet = Composer(paper, faces, "Steps")
    set_steps(set_stage(model, steps), steps, sheet)
    for page in sheet.pages():
        for element in page.elements:
            for ink in element.inks:
                if isinstance(ink, Picture):
                    width, height = ink.drawing.size
                    assert ink.x + width <= page.width and ink.y + height <= page.height


def test_no_pictures_use_no_signs() -> None:
    """Steps that show nothing have no key."""
    assert signs_of([None, None]) == frozenset()


def test_pictures_have_what_the_words_of_their_page_leave() -> None:
    """The page with the title has less room than the one behind it, and lower pictures."""
    pages, highs = shared_out([30.0] * 4, 200.0, 230.0, of=2)
    assert pages == [[0, 1], [2, 3]]
    assert highs == [70.0, 70.0, 85.0, 85.0]


def test_a_last_row_alone_leaves_room_for_what_follows() -> None:
    """Its pictures are no higher than those before it, so that another section comes below."""
    pages, highs = shared_out([30.0] * 3, 200.0, 230.0, of=2)
    assert pages == [[0, 1], [2]]
    assert highs[2] == 70.0 < LARGEST


def test_short_words_let_three_rows_stand_on_a_page() -> None:
    """Where pictures stay large all the same."""
    pages, highs = shared_out([20.0] * 3, 260.0, 260.0, of=2)
    assert pages == [[0, 1, 2]]
    assert min(highs) >= 60.0


def test_the_first_page_takes_one_row_where_the_key_leaves_no_more() -> None:
    """On half sheets the others hold two all the same."""
    pages, highs = shared_out([30.0] * 5, 110.0, 160.0, of=1)
    assert pages == [[0], [1, 2], [3, 4]]
    assert highs == [80.0, 50.0, 50.0, 50.0, 50.0]


def test_in_large_print_two_rows_share_a_page_only_where_pictures_grow() -> None:
    """50 mm drawn 1.8 times as large are less than the highest picture in usual print."""
    pages, highs = shared_out([30.0] * 5, 110.0, 160.0, of=1, zoom=1.8)
    assert pages == [[0], [1], [2], [3], [4]]
    assert min(highs[1:]) * 1.8 >= LARGEST
    assert shared_out([30.0] * 5, 110.0, 164.0, of=1, zoom=1.8)[0] == [[0], [1, 2], [3, 4]]


def test_flat_pictures_share_a_scale_unless_one_room_is_far_too_low(demo: Path) -> None:
    """The page with the key does not make the sheets on all other pages tiny."""
    stage, _ = staged(demo)
    flats = [picture for picture in stage.steps if isinstance(picture, Flat)]
    faces = load_faces()

    def heights(rooms: list[float]) -> list[float]:
        drawings = step_pictures(flats[:1] * 3, 160.0, rooms, faces)
        return [drawing.size[1] for drawing in drawings if drawing is not None]

    alike = heights([70.0, 80.0, 80.0])
    assert alike[0] == alike[1] == alike[2]
    low = heights([40.0, 80.0, 80.0])
    assert low[0] < 0.7 * low[1] and low[1] == low[2]


def test_the_first_page_holds_two_lower_rows_before_the_last_is_left_alone() -> None:
    """What is cut and scored there needs less height than folded work."""
    pages, highs = shared_out([30.0] * 4, 124.0, 160.0, of=1)
    assert pages == [[0, 1], [2, 3]]
    assert highs == [32.0, 32.0, 50.0, 50.0]


def test_a_last_row_alone_joins_the_page_before_it_if_drawings_leave_room() -> None:
    """They were shared out before scales were known; what is left is shared by the page's rows."""
    pages, highs = drawn_together(
        [[0, 1], [2, 3], [4]],
        [70.0] * 5,
        [60.0, 60.0, 50.0, 50.0, 40.0],
        [20.0] * 5,
        (180.0, 215.0),
        2,
    )
    assert pages == [[0, 1], [2, 3, 4]]
    assert highs == [70.0, 70.0, 55.0, 55.0, 45.0]
    assert sum(highs[2:]) + 3 * 20.0 == 215.0


def test_in_one_column_a_page_keeps_its_height() -> None:
    """The last step joins the one before it if it can; alone it has its page, as all others do."""
    highs = [90.0] * 3
    joined = drawn_together(
        [[0], [1], [2]], highs, [90.0, 50.0, 30.0], [30.0] * 3, (120.0, 150.0), 1
    )
    assert joined == ([[0], [1, 2]], [90.0, 55.0, 35.0])
    apart = drawn_together(
        [[0], [1], [2]], highs, [90.0, 80.0, 30.0], [30.0] * 3, (120.0, 150.0), 1
    )
    assert apart == ([[0], [1], [2]], highs)


@pytest.mark.parametrize("last", [[4], [4, 5]])
def test_the_last_rows_are_as_high_as_they_need_to_be(last: list[int]) -> None:
    """One that does not fit on the page before, or two rows: those before them stay as they are."""
    needs = [60.0, 60.0, 60.0, 60.0, 40.0, 80.0]
    pages, highs = drawn_together(
        [[0, 1], [2, 3], last], [70.0] * 6, needs, [20.0] * 6, (180.0, 215.0), 2
    )
    assert pages == [[0, 1], [2, 3], last]
    assert highs[:5] == [70.0, 70.0, 70.0, 70.0, 40.0]
    assert highs[5] == 70.0

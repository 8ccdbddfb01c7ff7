"""Motion in pictures: what moves is caught on its way, with where it was and a visible arrow."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path

import pytest
from shapely.geometry import LineString, Polygon

from booklet.draw.arrow import LEAST, FoldArrow, beside, draw_arrow
from booklet.draw.hatch import hatch, hatch_across
from booklet.draw.mark import Stroke
from booklet.draw.motion import (
    PART,
    State,
    arrows,
    ghosts,
    laid_first,
    led_along,
    posed,
    under_way,
)
from booklet.draw.panel_name import points_of
from booklet.fold.view import FLAT, placed, turned_over
from booklet.pages.shot import Folded
from tests.folding import SLEEVE, STRIP, Flat, at_rest, model_of, stage_of


@pytest.fixture
def strip(flat: Callable[[str], Flat]) -> Flat:
    """A base with a wall, and a tab of 4 mm at the wall's edge."""
    return flat(STRIP)


def test_a_folding_panel_is_shown_past_its_start(strip: Flat) -> None:
    """It stands at a share of its angle; what is folded stays, and what is not lies flat."""
    (pattern,) = strip.patterns
    now = under_way(at_rest(pattern), State({"wall": 90.0}), ("tab",))
    assert now.angles == {"wall": 90.0, "tab": pytest.approx(90.0 * PART)}
    assert under_way(at_rest(pattern), State({}), ("wall",)).angles == {
        "wall": pytest.approx(90.0 * PART)
    }


def test_the_ghost_is_the_outline_before_without_the_score(strip: Flat) -> None:
    """Wall and tab lie flat as one outline of 24 by 40 mm, open at the score of 40 mm."""
    (pattern,) = strip.patterns
    found = ghosts(at_rest(pattern), State({}), ("wall",))
    lines = [LineString([p[:2] for p in ghost.loop]) for ghost in found]
    assert sum(line.length for line in lines) == pytest.approx(24 + 24 + 40, abs=0.1)
    assert all(abs(p[2]) < 1e-9 for ghost in found for p in ghost.loop)
    standing = ghosts(at_rest(pattern), State({"wall": 90.0}), ("tab",))
    heights = [p[2] for ghost in standing for p in ghost.loop]
    assert (min(heights), max(heights)) == pytest.approx((20, 24), abs=0.05)


def test_the_arrow_of_a_narrow_tab_is_long_enough_to_see(strip: Flat) -> None:
    """On a tab of 4 mm at a third of full size the true way is 1 mm; 9 mm are drawn."""
    (pattern,) = strip.patterns
    view = placed(-25, 40)
    before = State({"wall": 90.0})
    (arrow,) = arrows(
        posed(at_rest(pattern), under_way(at_rest(pattern), before, ("tab",))),
        before,
        ("tab",),
        view,
    )
    drawn = draw_arrow(arrow, view, 1 / 3, (0, 0, 20, 20))
    assert drawn is not None
    shaft = next(mark for mark in drawn.marks if isinstance(mark, Stroke))
    assert LineString(points_of(shaft.path)).length > LEAST * 0.7


def test_heads_follow_the_side_that_the_reader_sees(strip: Flat) -> None:
    """A valley on the inside is a mountain once the work is turned over."""
    (pattern,) = strip.patterns
    now = posed(at_rest(pattern), under_way(at_rest(pattern), State({}), ("wall",)))
    heads = [
        arrows(now, State({}), ("wall",), view)[0].head
        for view in (placed(-25, 60), turned_over(placed(-25, 60)))
    ]
    assert heads == ["valley", "mountain"]


def test_turning_over_swaps_left_and_right_and_keeps_up(strip: Flat) -> None:
    """Like the page of a book: what was right is left, and the back faces the reader."""
    view = turned_over(FLAT)
    assert view.project((3.0, 4.0, 0.0)) == pytest.approx((-3.0, 4.0))
    assert view.toward == pytest.approx((0.0, 0.0, -1.0))


def test_what_ends_under_another_panel_is_done_first(flat: Callable[[str], Flat]) -> None:
    """The tab under the right side is there before it; nothing else lies under anything."""
    (pattern,) = flat(SLEEVE).patterns
    assert laid_first(at_rest(pattern), ("tab", "left", "top", "right")) == ("tab",)
    now = under_way(at_rest(pattern), State({}), ("tab", "left", "top", "right"))
    assert now.angles["tab"] == pytest.approx(90.0)
    assert now.angles["right"] == pytest.approx(90.0 * PART)


def test_an_arrow_may_stand_aside_along_its_score() -> None:
    """The other places keep their distance from the score and move along it."""
    arrow = FoldArrow((40, 15, 0), ((0, 0, 0), (0, 30, 0)), -90, slide=5.0)
    places = [one.start for one in beside(arrow) if isinstance(one, FoldArrow)]
    assert places[0] == (40, 15, 0)
    assert {round(x, 6) for x, _, _ in places} == {40}
    assert {round(y, 6) for _, y, _ in places} == {15, 20, 10, 17.5, 12.5}


def test_hatching_crosses_a_long_area() -> None:
    """A strip that runs along the lines is hatched across: more and shorter lines."""
    strip = LineString([(0, 0), (20, 20)]).buffer(1.2, cap_style="flat")
    assert isinstance(strip, Polygon)
    across = points_of(hatch_across(strip))
    along = points_of(hatch(strip))
    assert len(across) > 2 * len(along)
    assert max(math.dist(a, b) for a, b in zip(across[::2], across[1::2], strict=True)) < 3


GABLE = """
[[piece]]
id = "carton"
form = "gable_carton"
inside = [45, 45, 30]
stock = "card"
"""


def test_what_follows_by_itself_has_no_arrow(tmp_path: Path) -> None:
    """The wings fold under the roof of a carton when its ends are pushed in; few need no rule."""
    model = model_of(GABLE, tmp_path)
    pattern = model.patterns[0]
    wings = ("wing_lb", "wing_lf", "wing_rf")
    by_hand = ("gable_l", "gable_r", "roof_back", "roof_front")
    assert set(led_along(pattern, (*by_hand, *wings))) == set(wings)
    assert led_along(pattern, (*by_hand[:1], *wings)) == ()
    assert led_along(pattern, (*by_hand, "fin_back", "fin_front")) == ()
    last = stage_of(model).steps[-1]
    assert isinstance(last, Folded)
    assert len([one for one in last.seen.scene.arrows if isinstance(one, FoldArrow)]) == 4
    assert not [name for name in last.seen.scene.names if name.face in wings]

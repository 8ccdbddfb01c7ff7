"""Quick first plans: all that is wanted, each layout cut edge to edge, and never far off."""

from __future__ import annotations

from collections import Counter
from itertools import islice

from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import box

from booklet.stock.blank import Blank
from booklet.stock.fewest import fewest_sheets
from booklet.stock.part import Part, spots
from booklet.stock.start import first_plans
from booklet.stock.work import Work

W, H = 60, 40
BLANKS = st.lists(
    st.builds(Blank, st.integers(1, W), st.integers(1, H), st.booleans(), st.integers(1, 9)),
    min_size=1,
    max_size=6,
)


def is_sound(part: Part, blanks: list[Blank]) -> bool:
    """Whether all blanks lie on the sheet, in a way that they may lie, and none on another."""
    placed = [spot for spot in spots(part, 0, 0, W, H) if spot.kind >= 0]
    shapes = [box(s.x, s.y, s.x + s.w, s.y + s.h) for s in placed]
    allowed = all((s.w, s.h, s.turned) in blanks[s.kind].ways() for s in placed)
    apart = all(
        one.intersection(other).area == 0 for k, one in enumerate(shapes) for other in shapes[:k]
    )
    return allowed and apart and all(box(0, 0, W, H).covers(shape) for shape in shapes)


@settings(max_examples=40, deadline=None)
@given(BLANKS)
def test_every_plan_gives_what_is_wanted(blanks: list[Blank]) -> None:
    """No fewer of any kind, and no more; a tree of joined parts can be cut edge to edge."""
    for layouts, _ in islice(first_plans(W, H, blanks, 400), 6):
        made = Counter[int]()
        for sheets, part in layouts:
            assert is_sound(part, blanks)
            made.update({kind: sheets * count for kind, count in part.counts.items()})
        assert [made[kind] for kind in range(len(blanks))] == [blank.copies for blank in blanks]


def test_the_same_question_has_the_same_plans() -> None:
    """What is shaken is shaken alike."""
    blanks = [Blank(7 + k, 31 - 2 * k, True, 1 + k % 3) for k in range(9)]
    one, other = (list(islice(first_plans(W, H, blanks, 400), 9)) for _ in range(2))
    assert one == other


def test_a_plan_of_too_many_layouts_is_given_up() -> None:
    """Each blank takes a sheet of its own."""
    blanks = [Blank(40 + k, 30, False, 1) for k in range(5)]
    assert [len(plan) for plan, _ in islice(first_plans(W, H, blanks, 4), 2)] == [0, 0]
    assert [len(plan) for plan, _ in islice(first_plans(W, H, blanks, 5), 2)] == [5, 5]


def test_many_different_blanks_are_not_cut_kind_by_kind() -> None:
    """Sixty kinds, about four to a sheet, with hardly any work allowed: no sheet for each kind."""
    blanks = [Blank(20 + k % 11, 12 + k % 8, False, 1 + k % 2) for k in range(60)]
    least = -(-sum(b.w * b.h * b.copies for b in blanks) // (W * H))
    plan = fewest_sheets(W, H, blanks, Work(total=100_000))
    assert least <= plan.bound <= plan.needed <= 1.4 * least

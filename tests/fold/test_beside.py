"""Several contents of one piece: all at once, beside and on each other, or a warning."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from booklet.fold.beside import beside_each_other
from booklet.fold.cavity import Cavity, Triple
from booklet.fold.contents import ContentsFit, place_in
from booklet.fold.filling import resting
from booklet.problem import Place, Problem

ROOM: Triple = (100.0, 80.0, 20.0)


def cavity(room: Triple = ROOM, pocket: bool = False) -> Cavity:
    return Cavity(room, (0.0, 0.0, 0.0), room, (True,) * 6, pocket)


def lay(
    sizes: list[Triple], ease: float = 0.0, pocket: bool = False
) -> tuple[tuple[ContentsFit, ...], list[Problem]]:
    room = cavity(pocket=pocket)
    fits = [place_in(f"c{n}", "box", size, ease, room) for n, size in enumerate(sizes)]
    found: list[Problem] = []
    places = {fit.id: Place("made.toml", 1, 1) for fit in fits}
    return beside_each_other(fits, room, places, found), found


def boxes(fits: tuple[ContentsFit, ...]) -> list[tuple[Triple, Triple]]:
    return [resting(fit, cavity()) for fit in fits if fit.fits]


def overlap(a: tuple[Triple, Triple], b: tuple[Triple, Triple]) -> float:
    sides = [min(a[1][k], b[1][k]) - max(a[0][k], b[0][k]) for k in range(3)]
    return math.prod(sides) if min(sides) > 0 else 0.0


def test_two_halves_lie_side_by_side() -> None:
    fits, found = lay([(50, 80, 20), (50, 80, 20)])
    first, second = boxes(fits)
    assert overlap(first, second) == pytest.approx(0.0, abs=1e-6)
    assert not found


def test_one_alone_stays_in_the_middle() -> None:
    fits, _ = lay([(50, 40, 10)])
    assert fits[0].corner is None
    assert resting(fits[0], cavity())[0] == pytest.approx((25, 20, 0))


def test_flat_things_lie_on_each_other() -> None:
    fits, found = lay([(90, 70, 9), (90, 70, 9)])
    first, second = sorted(boxes(fits))
    assert first[1][2] == pytest.approx(second[0][2])
    assert not found


def test_one_is_turned_on_the_floor_to_find_room() -> None:
    """100 wide less 60 leaves 40: the second, 70 by 40 as stated, goes in turned."""
    fits, found = lay([(60, 80, 20), (70, 40, 20)])
    assert fits[1].turned == (1, 0, 2)
    assert not found


def test_ease_is_kept_from_each_other() -> None:
    fits, found = lay([(49, 79, 19), (49, 79, 19)], ease=1.0)
    first, second = sorted(boxes(fits))
    assert second[0][0] - first[1][0] == pytest.approx(1.0)
    assert not found


@pytest.mark.parametrize(
    ("sizes", "why"),
    [
        ([(80, 60, 15), (80, 60, 15)], "no places"),
        ([(90, 70, 18), (90, 70, 18)], "142% of its room"),
    ],
)
def test_what_fits_only_one_by_one_is_told(sizes: list[Triple], why: str) -> None:
    fits, found = lay(sizes)
    assert [problem.code for problem in found] == ["contents-crowded"]
    assert why in found[0].message
    assert all(fit.fits and fit.corner is None for fit in fits)


def test_a_pocket_holds_them_on_each_other() -> None:
    """Thickness gives way in a pocket: nothing is placed and nothing is told."""
    fits, found = lay([(50, 40, 0.0), (50, 40, 0.0)], pocket=True)
    assert [fit.corner for fit in fits] == [None, None]
    assert not found


side = st.floats(2, 60).map(lambda x: round(x, 1))


@given(st.lists(st.tuples(side, side, st.floats(1, 20).map(lambda x: round(x, 1))), max_size=7))
def test_what_is_placed_lies_in_the_room_and_apart(sizes: list[Triple]) -> None:
    fits, found = lay(sizes, ease=0.5)
    if found:
        return
    lying = boxes(fits)
    for low, high in lying:
        assert min(low) > -0.06 and all(h <= r + 0.06 for h, r in zip(high, ROOM, strict=True))
    if len(lying) > 1:
        assert all(overlap(a, b) == 0 for a, b in itertools.combinations(lying, 2))

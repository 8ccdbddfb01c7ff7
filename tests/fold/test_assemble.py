"""Pieces that are glued to each other come to lie in one frame."""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from booklet.fold.cavity import Cavity, carried, is_square
from booklet.fold.prove import Folded
from booklet.problem import Problem
from tests.folding import proved, told

THICK = 0.3


def run(flat: Callable[[str], Any], text: str) -> tuple[dict[str, Folded], list[Problem]]:
    """Prove a project; the folded pieces by name and what is wrong, without notes."""
    folded, found = proved(flat(text))
    return folded, told(found)


def join(tab: str, to: str) -> str:
    """One [[piece.join]] table."""
    return f'[[piece.join]]\ntab = "{tab}"\nto = "{to}"\n'


def half(name: str, wide: float, deep: float, tall: float) -> str:
    """Half a tube: a wide wall, a deep one, and a tab."""
    return (
        f'[[piece]]\nid = "{name}"\nstock = "card"\ncolumns = [{wide}, {deep}, 10]\n'
        f'rows = [{tall}]\nmap = ["wall side tab"]\nroot = "wall"\n'
    )


def test_two_halves_make_a_tube(flat: Callable[[str], Any]) -> None:
    """Each half's tab lies on the other's wall: 60 x 25 inside four walls of two pieces."""
    text = half("one", 60, 25, 80) + join("tab", "two.wall")
    text += half("two", 60, 25, 80) + join("tab", "one.wall")
    folded, found = run(flat, text)
    assert not found
    for name, other in (("one", "two"), ("two", "one")):
        [fit] = folded[name].joins
        assert (fit.tab, fit.to) == ("tab", f"{other}.wall")
        assert fit.gap == pytest.approx(0, abs=1e-9) and fit.share == pytest.approx(1)
        assert fit.overlap == pytest.approx(10 * 80)
        cavity = folded[name].cavity
        assert cavity is not None
        assert sorted(cavity.inside) == pytest.approx([25 - THICK, 60 - THICK, 80])
    assert folded["one"].placement is None
    place = folded["two"].placement
    assert place is not None and place.within == "one" and place.residual < 1e-9
    # The second wall stands over the first, its inside toward it: turned by 180 degrees.
    middle = place.matrix @ np.array([30.0, 40.0, 0.0, 1.0])
    assert middle[:3] == pytest.approx([30, 40, 25])
    assert place.matrix[:3, 2] == pytest.approx([0, 0, -1])
    assert place.matrix[:3, :3] @ place.matrix[:3, :3].T == pytest.approx(np.eye(3))


def test_halves_that_differ_are_told(flat: Callable[[str], Any]) -> None:
    """One side is 3 mm deeper: one join lands, the other is apart or at an angle."""
    text = half("one", 60, 25, 80) + join("tab", "two.wall")
    text += half("two", 60, 28, 80) + join("tab", "one.wall")
    folded, found = run(flat, text)
    assert [problem.code for problem in found] == ["join-never-meets"]
    assert "3.0 mm apart" in found[0].message
    place = folded["two"].placement
    assert place is not None and place.residual == pytest.approx(3.0)


TRAY = """
[[piece]]
id = "tray"
stock = "card"
columns = [20, 60, 20]
rows = [20, 80, 20]
map = [". back .", "left base right", ". front ."]
root = "base"
"""


def handle(length: float) -> str:
    """A strip over the tray, its ends glued inside the left and right walls."""
    return (
        f'[[piece]]\nid = "handle"\nstock = "card"\ncolumns = [12, {length}, 12]\nrows = [30]\n'
        'map = ["end_l grip end_r"]\nroot = "grip"\n'
        + join("end_l", "tray.left")
        + join("end_r", "tray.right")
    )


def test_a_handle_reaches_from_wall_to_wall(flat: Callable[[str], Any]) -> None:
    """Two joins agree where the grip is as long as the tray is wide."""
    folded, found = run(flat, TRAY + handle(60))
    assert not found
    assert [fit.share for fit in folded["handle"].joins] == pytest.approx([1, 1])
    assert [fit.gap for fit in folded["handle"].joins] == pytest.approx([0, 0], abs=1e-9)
    place = folded["handle"].placement
    assert place is not None
    grip = place.matrix @ np.array([12.0 + 30, 15, 0, 1])
    assert grip[:3] == pytest.approx([20 + 30, 20 + 40, 20])  # level with the walls' upper edges


def test_a_short_handle_leaves_a_gap(flat: Callable[[str], Any]) -> None:
    """55 between walls that stand 60 apart: 5 mm are missing."""
    folded, found = run(flat, TRAY + handle(55))
    assert [problem.code for problem in found] == ["join-never-meets"]
    assert "5.0 mm" in found[0].message
    assert sorted(fit.gap for fit in folded["handle"].joins) == pytest.approx([0, 5], abs=1e-9)


def test_a_label_lies_in_the_middle(flat: Callable[[str], Any]) -> None:
    """A tab without a score is glued to the middle of its panel."""
    label = '[[piece]]\nid = "label"\nstock = "card"\ncolumns = [20]\nrows = [10]\nmap = ["l"]\n'
    folded, found = run(flat, TRAY + label + join("l", "tray.front"))
    assert not found
    [fit] = folded["label"].joins
    assert fit.share == pytest.approx(1) and fit.overlap == pytest.approx(200)
    place = folded["label"].placement
    assert place is not None
    middle = place.matrix @ np.array([10.0, 5.0, 0.0, 1.0])
    assert middle[:3] == pytest.approx([20 + 30, 20, 10])


def test_a_tab_wider_than_its_panel_is_told(flat: Callable[[str], Any]) -> None:
    """A label of 90 on a wall of 60 sticks out by 15 on both sides."""
    label = '[[piece]]\nid = "label"\nstock = "card"\ncolumns = [90]\nrows = [10]\nmap = ["l"]\n'
    folded, found = run(flat, TRAY + label + join("l", "tray.front"))
    assert [problem.code for problem in found] == ["tab-sticks-out"]
    assert folded["label"].joins[0].sticks_out == pytest.approx(15)


def test_contents_lie_in_a_box_of_two_halves(flat: Callable[[str], Any]) -> None:
    """The room is that of both; each half alone has none."""
    text = half("one", 60, 25, 80) + join("tab", "two.wall")
    text += half("two", 60, 25, 80) + join("tab", "one.wall")
    text += '[[contents]]\nid = "tin"\nsize = [59, 79, 24]\ninside = "two"\n'
    folded, found = run(flat, text)
    assert not found
    [fit] = folded["two"].contents
    assert fit.fits and fit.spare == pytest.approx((60 - THICK - 59, 1, 25 - THICK - 24))


def test_a_room_is_the_same_from_either_frame() -> None:
    """A quarter turn and upside down: sides change places, and so do their walls."""
    room = Cavity((10.0, 20.0, 5.0), (0.0, 0.0, 0.0), (10.0, 20.0, 5.0), (True,) * 5 + (False,))
    turn = np.array([[0, 1, 0, 2], [1, 0, 0, 3], [0, 0, -1, 4], [0, 0, 0, 1]], dtype=float)
    assert is_square(turn)
    other = carried(room, turn)
    assert other.inside == (20.0, 10.0, 5.0)
    assert (other.low, other.high) == ((2.0, 3.0, -1.0), (22.0, 13.0, 4.0))
    assert other.walls == (True, True, True, True, False, True)
    assert carried(other, np.linalg.inv(turn)) == room
    slanted = np.eye(4)
    slanted[:2, :2] = [[0.8, -0.6], [0.6, 0.8]]
    assert not is_square(slanted)


def test_many_pieces_on_each_other_are_placed_in_time(flat: Callable[[str], Any]) -> None:
    """The work grows with the pieces, and not with their number times all panels."""
    text = '[[piece]]\nid = "p0"\nstock = "card"\ncolumns = [80]\nrows = [80]\nmap = ["face"]\n'
    for k in range(1, 71):
        text += (
            f'[[piece]]\nid = "p{k}"\nstock = "card"\ncolumns = [10, 30, 10]\nrows = [30]\n'
            'map = ["ta face tb"]\nroot = "face"\n' + join("face", f"p{k - 1}.face")
        )
    made = flat(text)
    start = time.process_time()
    folded, _ = proved(made)
    assert time.process_time() - start < 3.0
    assert all(folded[f"p{k}"].placement is not None for k in range(1, 71))

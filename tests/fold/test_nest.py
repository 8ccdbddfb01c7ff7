"""Pieces inside pieces: what fits, by how much, and where it lies."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from booklet.fold.nest import NestFit
from booklet.fold.prove import Folded
from booklet.limits import Limits
from booklet.problem import Problem
from tests.folding import proved, told

THICK = 0.3
"""mm: the stock that tests are made of."""


def tray(name: str, wide: float, tall: float, deep: float) -> str:
    """An open tray; walls only, corners left open."""
    return f"""
[[piece]]
id = "{name}"
stock = "card"
columns = [{deep}, {wide}, {deep}]
rows = [{deep}, {tall}, {deep}]
map = [". back .", "left base right", ". front ."]
root = "base"
"""


def sleeve(wide: float, tall: float, deep: float) -> str:
    """A sleeve open above and below."""
    return f"""
[[piece]]
id = "sleeve"
stock = "card"
columns = [{wide}, {deep}, {wide}, {deep}, 10]
rows = [{tall}]
map = ["top right under left glue"]
root = "top"
[[piece.join]]
tab = "glue"
to = "top"
"""


def nest(inner: str, outer: str, ease: float = 0.0, pulled: str = "0") -> str:
    """One [[nest]] table."""
    return f'[[nest]]\ninner = "{inner}"\nouter = "{outer}"\nease = {ease}\npulled = "{pulled}"\n'


def run(flat: Callable[[str], Any], text: str) -> tuple[dict[str, Folded], list[Problem]]:
    """Prove a project; the folded pieces by name and what is wrong, without notes."""
    folded, found = proved(flat(text))
    return folded, told(found)


def only(folded: dict[str, Folded], outer: str) -> NestFit:
    """The one nest of a piece."""
    [fit] = folded[outer].nests
    return fit


def test_a_drawer_in_its_sleeve_has_the_room_that_is_left(flat: Callable[[str], Any]) -> None:
    """Sleeve 62 x 21.5 inside the middles of its walls: less one thickness for the room. Drawer
    60 x 20: one thickness more outside, but half a one where it is open. Ease 0.5."""
    text = tray("drawer", 60, 80, 20) + sleeve(62, 80, 21.5) + nest("drawer", "sleeve", 0.5, "1/4")
    folded, found = run(flat, text)
    assert not found
    fit = only(folded, "sleeve")
    assert fit.fits and fit.opening == 1
    assert fit.spare[0] == pytest.approx(62 - 60 - 2 * THICK - 0.5)
    assert fit.spare[2] == pytest.approx(21.5 - 20 - 1.5 * THICK - 0.5)
    place = folded["drawer"].placement
    assert place is not None and place.within == "sleeve"
    assert place.way == (0, 1, 0) and place.pulled == 0.25
    assert place.length == pytest.approx(80 + THICK)
    out = place.drawn() @ np.linalg.inv(place.matrix)
    assert out[:3, 3] == pytest.approx([0, (80 + THICK) / 4, 0])


def test_a_drawer_lies_between_the_walls_of_its_sleeve(flat: Callable[[str], Any]) -> None:
    """Every corner of the drawer, carried over, is inside the sleeve's walls."""
    text = tray("drawer", 60, 80, 20) + sleeve(62, 80, 21.5) + nest("drawer", "sleeve")
    folded, _ = run(flat, text)
    place, room = folded["drawer"].placement, folded["sleeve"].cavity
    assert place is not None and room is not None
    for points in folded["drawer"].panels.values():
        whole = np.c_[np.array(points), np.ones(len(points))] @ place.matrix.T
        for axis in (0, 2):
            assert (whole[:, axis] > room.low[axis]).all()
            assert (whole[:, axis] < room.high[axis]).all()
    assert np.linalg.det(place.matrix[:3, :3]) == pytest.approx(1.0)


def test_the_same_width_lacks_twice_the_thickness_and_the_ease(flat: Callable[[str], Any]) -> None:
    """A lid as wide and tall as its tray cannot go over it."""
    text = tray("tray", 60, 80, 20) + tray("lid", 60, 80, 15) + nest("tray", "lid", 0.4)
    folded, found = run(flat, text)
    assert [problem.code for problem in found] == ["nest-too-tight"]
    fit = only(folded, "lid")
    assert not fit.fits
    assert fit.spare[:2] == pytest.approx((-2 * THICK - 0.4, -2 * THICK - 0.4))
    assert "1.0 mm in wide, 1.0 mm in tall" in found[0].message
    assert "1 mm" in found[0].help


@pytest.mark.parametrize(("more", "fits"), [(2 * THICK + 0.4, True), (2 * THICK + 0.35, False)])
def test_a_lid_is_larger_by_twice_the_thickness_and_the_ease(
    flat: Callable[[str], Any], more: float, fits: bool
) -> None:
    """Just enough is enough, a little less is not."""
    lid = tray("lid", round(60 + more, 4), round(80 + more, 4), 15)
    folded, found = run(flat, tray("tray", 60, 80, 20) + lid + nest("tray", "lid", 0.4))
    assert only(folded, "lid").fits is fits
    assert bool(found) is not fits


def test_a_lid_closes_over_its_tray(flat: Callable[[str], Any]) -> None:
    """The lid is less deep than the tray, which stands out of it, with its mouth to the lid's top.

    In the lid's frame its top lies at z = 0, so the tray's mouth (its own z = 20) lies next to
    it and the tray's base farthest out.
    """
    text = tray("tray", 60, 80, 20) + tray("lid", 62, 82, 15) + nest("tray", "lid")
    folded, found = run(flat, text)
    assert not found
    fit = only(folded, "lid")
    assert fit.opening == 2 and fit.spare[2] == pytest.approx(15 - 20 - THICK)
    mouth = fit.placement.matrix @ np.array([0.0, 0.0, 20.0, 1.0])
    base = fit.placement.matrix @ np.array([0.0, 0.0, 0.0, 1.0])
    assert mouth[2] == pytest.approx(THICK / 2)
    assert base[2] == pytest.approx(20 + THICK / 2)
    assert fit.placement.way == (0, 0, 1)


def test_a_drawer_that_lies_across_its_sleeve_is_turned(flat: Callable[[str], Any]) -> None:
    """60 long and 80 wide goes into 62 x 80 only when its wide lies along the sleeve."""
    text = tray("drawer", 80, 60, 20) + sleeve(62, 80, 21.5) + nest("drawer", "sleeve")
    folded, found = run(flat, text)
    fit = only(folded, "sleeve")
    assert not found and fit.fits and fit.turned == (1, 0, 2)
    assert np.linalg.det(fit.placement.matrix[:3, :3]) == pytest.approx(1.0)


ENVELOPE = """
[[piece]]
id = "envelope"
stock = "card"
columns = [10, 100, 10]
rows = [70, 70]
map = ["flap_l front flap_r", ". back ."]
root = "front"
[piece.folds]
flap_l = 180
flap_r = 180
back = 180
[[piece.join]]
tab = "flap_l"
to = "back"
[[piece.join]]
tab = "flap_r"
to = "back"
"""


@pytest.mark.parametrize(("wide", "fits"), [(99, True), (100.5, False)])
def test_a_card_in_a_pocket(flat: Callable[[str], Any], wide: float, fits: bool) -> None:
    """A single card, 0.3 thick, makes the pocket bulge by its thickness: 100 takes 99.7."""
    card = f'[[piece]]\nid = "card"\nstock = "card"\ncolumns = [{wide}]\nrows = [60]\nmap = ["c"]\n'
    folded, found = run(flat, ENVELOPE + card + nest("card", "envelope"))
    fit = only(folded, "envelope")
    assert fit.fits is fits
    assert fit.spare[0] == pytest.approx(100 - wide - THICK)
    assert [problem.code for problem in found] == ([] if fits else ["nest-too-tight"])


def test_a_piece_cannot_lie_in_itself_or_twice(flat: Callable[[str], Any]) -> None:
    """A circle of nests and a second home are refused; the first home stands."""
    trays = tray("one", 60, 80, 20) + tray("two", 70, 90, 25)
    _, found = run(flat, trays + nest("one", "one"))
    assert [problem.code for problem in found] == ["nest-impossible"]
    folded, found = run(flat, trays + nest("one", "two") + nest("two", "one"))
    assert [problem.code for problem in found] == ["nest-impossible"]
    assert only(folded, "two").fits and not folded["one"].nests


def test_a_flat_sheet_holds_nothing(flat: Callable[[str], Any]) -> None:
    """The outer piece has to enclose a room."""
    sheet = '[[piece]]\nid = "sheet"\nstock = "card"\ncolumns = [90]\nrows = [90]\nmap = ["s"]\n'
    _, found = run(flat, tray("tray", 60, 80, 20) + sheet + nest("tray", "sheet"))
    assert [problem.code for problem in found] == ["no-cavity"]


def test_a_lid_that_lies_on_the_front_makes_a_box_deeper(flat: Callable[[str], Any]) -> None:
    """A flap that closes over the front from outside adds its thickness to the outer box."""
    box = """
[[piece]]
id = "box"
stock = "card"
columns = [20, 60, 20]
rows = [20, 20, 50, 20, 50]
map = [". lid .", ". top .", "left back right", ". base .", ". front ."]
root = "back"
[[closure]]
kind = "hook_and_loop"
on = "lid"
meets = "front"
"""
    folded, _ = run(flat, box)
    hull = folded["box"].hull
    assert folded["box"].layers["lid"] > folded["box"].layers["front"]
    assert hull.size == pytest.approx((60 + THICK, 50 + THICK, 20 + 2 * THICK))


def test_a_set_of_boxes_one_in_another_has_an_end(flat: Callable[[str], Any]) -> None:
    """Whatever the order of the tables, the one that makes the set too deep is told."""
    most = Limits().nested
    boxes = "".join(tray(f"b{k}", 400 - 4 * k, 300 - 4 * k, 20) for k in range(most + 1))
    pairs = [nest(f"b{k}", f"b{k - 1}") for k in range(1, most + 1)]
    for ordered in (pairs, pairs[::2] + pairs[1::2]):
        _, found = run(flat, boxes + "".join(ordered))
        assert [problem.code for problem in found] == ["too-many"]
    _, found = run(flat, boxes + "".join(pairs[:-1]))
    assert found == []

"""The flip-lid box of the trade, folded, with its contents and its order."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from booklet.fold.prove import Folded, contents_of
from booklet.problem import Problem
from tests.folding import proved

INCH = 25.4

BOX = """
[project]
title = "Trade case"
units = "in"

[measures]
deep = "1/2"

[[stock]]
id = "card"
name = "Card"
sheet = "letter"
thickness = "0.30 mm"

[[contents]]
id = "note"
name = "note"
standard = "us-note"
folded = [2, 1, 1]

[[contents]]
id = "id_card"
name = "card"
standard = "id-1"

[[piece]]
id = "body"
stock = "card"
columns = ["deep", "deep", "3 1/8", "deep", "deep"]
rows = ["1 3/4", "deep", "2 5/8", "deep", "1 3/4"]
map = [
  ".       .      lid    .      .      ",
  ".       .      top    .      .      ",
  "wrap_l  side_l back   side_r wrap_r ",
  ".       tab_l  base   tab_r  .      ",
  ".       .      front  .      .      ",
]
cuts = ["tab_l|base", "base|tab_r"]
root = "back"

[[piece.join]]
tab = "tab_l"
to = "base"

[[piece.join]]
tab = "tab_r"
to = "base"

[[piece.join]]
tab = "wrap_l"
to = "front"

[[piece.join]]
tab = "wrap_r"
to = "front"

[[closure]]
kind = "hook_and_loop"
on = "body.lid"
meets = "body.front"
size = "{dot}"
"""


def prove_box(flat: Callable[[str], Any], dot: str = "5/8") -> tuple[Folded, list[Problem]]:
    """The box with a dot of that size."""
    folded, found = proved(flat(BOX.replace("{dot}", dot)))
    return next(iter(folded.values())), found


def test_the_cavity_is_that_of_the_trade(flat: Callable[[str], Any]) -> None:
    """3 1/8 x 2 5/8 x 1/2 in less one thickness of card (common practice, no source)."""
    box, _ = prove_box(flat)
    assert box.cavity is not None
    nominal = [3.125 * INCH, 2.625 * INCH, 0.5 * INCH]
    assert list(box.cavity.inside) == pytest.approx([side - 0.3 for side in nominal])
    assert all(box.cavity.walls)


def test_lid_and_front_overlap_by_seven_eighths(flat: Callable[[str], Any]) -> None:
    """7/8 in takes a dot of 5/8 in (common practice, no source), but not one of 1 in."""
    box, found = prove_box(flat)
    assert box.closures[0].overlap[1] == pytest.approx(0.875 * INCH)
    assert box.closures[0].fits
    assert "closure-too-big" not in [problem.code for problem in found]
    box, found = prove_box(flat, dot="1")
    assert not box.closures[0].fits
    assert "closure-too-big" in [problem.code for problem in found]


def test_joins_land_without_a_gap(flat: Callable[[str], Any]) -> None:
    """Tabs land whole; the wraps run on under the lid, which is a note and no warning."""
    box, found = prove_box(flat)
    assert [join.gap for join in box.joins] == pytest.approx([0, 0, 0, 0], abs=1e-9)
    assert [join.share for join in box.joins] == pytest.approx([1, 1, 2 / 3, 2 / 3])
    assert box.joins[0].overlap == pytest.approx((0.5 * INCH) ** 2)
    notes = [problem for problem in found if problem.code == "tab-runs-on"]
    assert len(notes) == 2


def test_a_folded_note_fits_and_an_id_card_does_not(flat: Callable[[str], Any]) -> None:
    """US note 6.14 x 2.61 in (table of US currency) folded in half; ID-1 card (ISO/IEC 7810)."""
    box, found = prove_box(flat)
    note, card = contents_of([box])
    assert note.fits
    assert note.spare[0] == pytest.approx((3.125 - 3.07) * INCH - 0.3)
    assert note.spare[1] == pytest.approx((2.625 - 2.61) * INCH - 0.3)
    assert not card.fits
    assert card.spare[0] == pytest.approx(3.125 * INCH - 0.3 - 85.6)
    [problem] = [problem for problem in found if problem.code == "contents-do-not-fit"]
    assert "wide" in problem.message
    assert "column 3" in problem.help


def test_an_order_is_found(flat: Callable[[str], Any]) -> None:
    """Mirror images fold together, tabs before the panel that covers them, the lid last."""
    box, _ = prove_box(flat)
    order = box.order
    assert order.proved and not order.given and not order.collisions
    assert order.steps[0] == ("side_l", "side_r")
    assert order.steps[-1] == ("lid",)
    at = {name: i for i, step in enumerate(order.steps) for name in step}
    assert at["tab_l"] == at["tab_r"] < at["base"]
    assert at["wrap_l"] == at["wrap_r"] < at["front"]


def test_layers_follow_the_order(flat: Callable[[str], Any]) -> None:
    """Wrap under front under lid; the base comes up outside its tabs."""
    layer = prove_box(flat)[0].layers
    assert layer["wrap_l"] < layer["front"] < layer["lid"]
    assert layer["base"] < layer["tab_l"]  # higher y is inside the box

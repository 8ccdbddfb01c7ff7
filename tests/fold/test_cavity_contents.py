"""Rooms in folded pieces, and what goes into them."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from booklet.fold.cavity import Cavity
from booklet.fold.contents import place_in
from booklet.fold.filling import resting
from booklet.fold.prove import Folded, prove
from booklet.fold.way_out import pocket_mouth
from booklet.problem import Problem
from tests.folding import proved

TRAY = """
[[piece]]
id = "tray"
stock = "card"
columns = [20, 60, 20]
rows = [20, 50, 20]
map = [". back .", "left floor right", ". front ."]
"""

CARD = """
[[piece]]
id = "tray"
stock = "card"
columns = [60, 60]
rows = [80]
map = ["left right"]
[piece.folds]
right = {angle}
"""

ENVELOPE = """
[[piece]]
id = "tray"
stock = "card"
columns = [15, 120, 15]
rows = [40, 80, 75]
map = [". flap .", "tab_l back tab_r", ". front ."]
root = "back"
[piece.folds]
flap = 180
tab_l = 180
tab_r = 180
front = 180
[[piece.join]]
tab = "tab_l"
to = "front"
[[piece.join]]
tab = "tab_r"
to = "front"
"""

THING = """
[[contents]]
id = "thing"
name = "thing"
size = {size}
inside = "tray"
{more}
"""

STAND = """
[[contents]]
id = "note"
name = "note"
size = [40, 50, "0.1"]
inside = "stand"
[[piece]]
id = "stand"
stock = "card"
columns = [10, 60, 10]
rows = [60, 80, 80]
map = ["tab_l pocket tab_r", ". wall .", ". foot ."]
root = "foot"
[piece.folds]
pocket = 180
tab_l = 180
tab_r = 180
[[piece.join]]
tab = "tab_l"
to = "wall"
[[piece.join]]
tab = "tab_r"
to = "wall"
"""


def prove_with(
    flat: Callable[[str], Any], piece: str, size: str = "[50, 40, 10]", more: str = ""
) -> tuple[Folded, list[Problem]]:
    """A piece with one thing in it."""
    folded, found = proved(flat(THING.format(size=size, more=more) + piece))
    return next(iter(folded.values())), found


def test_a_tray_is_as_deep_as_its_walls(flat: Callable[[str], Any]) -> None:
    """Wall spacing less half a thickness for each wall; no lid, so only the floor counts in z."""
    tray, found = prove_with(flat, TRAY)
    assert tray.cavity is not None
    assert tray.cavity.inside == pytest.approx((59.7, 49.7, 19.85))
    assert tray.cavity.walls == (True, True, True, True, True, False)
    assert tray.contents[0].spare == pytest.approx((9.7, 9.7, 9.85))
    assert not found


@pytest.mark.parametrize("angle", [0, 90, 180])
def test_an_open_card_has_no_cavity(flat: Callable[[str], Any], angle: int) -> None:
    """Two panels enclose nothing, however they are folded."""
    card, found = prove_with(flat, CARD.format(angle=angle))
    assert card.cavity is None
    assert not card.contents[0].fits
    assert [problem.code for problem in found] == ["no-cavity"]


def test_an_envelope_is_a_pocket(flat: Callable[[str], Any]) -> None:
    """Front and back lie on each other; thickness counts in both directions of the plane."""
    envelope, found = prove_with(flat, ENVELOPE, "[110, 70, 2]")
    assert envelope.cavity is not None and envelope.cavity.pocket
    assert envelope.cavity.inside == pytest.approx((120.0, 75.0, 0.0))
    assert envelope.contents[0].spare == pytest.approx((8.0, 3.0, 0.0))
    assert not [problem for problem in found if problem.severity == "error"]


def test_contents_may_be_turned(flat: Callable[[str], Any]) -> None:
    """What fits in another direction only is placed so, and said so."""
    tray, found = prove_with(flat, TRAY, "[15, 45, 55]")
    [fit] = tray.contents
    assert fit.fits and fit.turned == (2, 1, 0)
    assert fit.spare == pytest.approx((4.85, 4.7, 4.7))
    assert [problem.code for problem in found] == ["contents-turned"]


def test_folding_stacking_and_ease_count(flat: Callable[[str], Any]) -> None:
    """Folded in two along wide it is half as wide and twice as thick; four are stacked."""
    tray, _ = prove_with(flat, TRAY, "[100, 40, 2]", 'count = 4\nfolded = [2, 1, 1]\nease = "1 mm"')
    [fit] = tray.contents
    assert fit.size == (50, 40, 16)
    assert fit.spare == pytest.approx((8.7, 8.7, 2.85))


def test_what_is_missing_is_told(flat: Callable[[str], Any]) -> None:
    """The direction, the amount and the measure to change."""
    tray, found = prove_with(flat, TRAY, "[59, 49, 25]")
    assert not tray.contents[0].fits
    assert tray.contents[0].spare[2] == pytest.approx(-5.15)
    [problem] = found
    assert problem.code == "contents-do-not-fit"
    assert "5.2 mm in deep" in problem.message or "5.1 mm in deep" in problem.message
    assert "row 1" in problem.help or "column 1" in problem.help


def test_layers_that_grid_leaves_are_told(flat: Callable[[str], Any]) -> None:
    """Six in rows of four lie in two layers: a deeper room is not the only way out."""
    _, [problem] = prove_with(flat, TRAY, "[14, 40, 14]", "count = 6\ngrid = [4, 1]")
    assert "6 lie 4 by 1 in 2 layers, as grid says; with its ease" in problem.message


def test_contents_are_not_judged_before_the_tabs_of_their_piece_meet(
    flat: Callable[[str], Any],
) -> None:
    """A sleeve that nobody said folds flat has no room yet, and the thing is not to blame."""
    sleeve = """
[[piece]]
id = "tray"
stock = "card"
columns = [60, 60, 10]
rows = [80]
map = ["front back seam"]
[piece.folds]
back = {angle}
seam = {angle}
[[piece.join]]
tab = "seam"
to = "front"
"""
    tray, [problem] = prove_with(flat, sleeve.format(angle=90), "[30, 50, 5]")
    assert problem.code == "join-never-meets"
    assert 'fold "seam" and "back" over flat (180 in folds)' in problem.help
    assert not tray.contents[0].fits
    _, [problem] = prove_with(flat, sleeve.format(angle=180), "[70, 90, 5]")
    assert problem.code == "contents-do-not-fit"


def test_the_stated_orientation_wins() -> None:
    """A cube-like room takes contents as stated, even if a turn left more to spare."""
    cavity = Cavity((50.0, 40.0, 30.0), (0, 0, 0), (50, 40, 30), (True,) * 6)
    assert place_in("a", "p", (30, 40, 30), 0.0, cavity).turned == (0, 1, 2)


def test_a_pocket_is_open_opposite_of_its_fold(flat: Callable[[str], Any]) -> None:
    """The back comes up from below, so the pocket opens at the upper edge alone."""
    made = flat(
        '[[piece]]\nid = "pocket"\nstock = "card"\ncolumns = [10, 90]\nrows = [50, 40]\n'
        'map = ["flap front", ". back"]\nroot = "front"\n[piece.folds]\nflap = 180\nback = 180\n'
        '[[piece.join]]\ntab = "flap"\nto = "back"\n'
    )
    [pocket] = prove(made.patterns, made.project, made.scope, [])
    assert pocket.cavity is not None and pocket.cavity.pocket
    assert pocket.cavity.walls == (True, True, True, False, True, True)


def test_a_pocket_on_an_upright_wall_holds_its_contents_upright(flat: Callable[[str], Any]) -> None:
    """They stand in the plane of the wall, and come in opposite of the pocket's own fold."""
    folded, _ = proved(flat(STAND))
    stand = folded["stand"]
    assert stand.cavity is not None and stand.cavity.flat == 1
    (note,) = stand.contents
    low, high = resting(note, stand.cavity)
    assert [b - a for a, b in zip(low, high, strict=True)] == pytest.approx([40, 0, 50])
    assert low[1] == pytest.approx(stand.cavity.low[1])
    assert pocket_mouth(stand.posed, stand.cavity) == (2, -1)

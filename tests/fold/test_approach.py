"""Finished pieces come to each other along a way that is free of paper."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from booklet.fold.prove import Folded
from booklet.problem import Problem
from tests.folding import proved


def run(flat: Callable[[str], Any], text: str) -> tuple[dict[str, Folded], list[Problem]]:
    """Prove a project; the folded pieces by name and what is wrong."""
    return proved(flat(text))


BOX = """
[[piece]]
id = "box"
stock = "card"
columns = [30, 60, 30]
rows = [30, 80, 30]
map = [". back .", "left base right", ". front ."]
root = "base"
"""
INNER = """
[[piece]]
id = "inner"
stock = "card"
columns = [10, 40, 10]
rows = [10, 60, 10]
map = [". back .", "left base right", ". front ."]
root = "base"
[[nest]]
inner = "inner"
outer = "box"
"""
SHEET = """
[[piece]]
id = "box"
stock = "card"
columns = [30, 80, 30]
rows = [{rows}]
map = [{lid}". back .", "left base right", ". front ."]
root = "base"
[[piece]]
id = "sheet"
stock = "card"
columns = [40]
rows = [30]
map = ["plate"]
[[piece.join]]
tab = "plate"
to = "box.base"
"""
POCKET = """
[[piece]]
id = "card"
stock = "card"
columns = [100]
rows = [60]
map = ["face"]
[[piece]]
id = "pocket"
stock = "card"
columns = [10, 80, 10]
rows = [60, 10]
map = ["tab_l front tab_r", ". tab_b ."]
root = "front"
[piece.folds]
tab_l = {turn}
tab_r = {turn}
tab_b = {turn}
[[piece.join]]
tab = "tab_l"
to = "card.face"
[[piece.join]]
tab = "tab_r"
to = "card.face"
[[piece.join]]
tab = "tab_b"
to = "card.face"
"""


def test_a_tray_comes_out_of_an_open_box_through_its_mouth(flat: Callable[[str], Any]) -> None:
    """Toward the reader, where the box is open."""
    folded, found = run(flat, BOX + INNER)
    assert not found
    place = folded["inner"].placement
    assert place is not None
    assert place.off == (0.0, 0.0, 1.0)


def test_nothing_gets_into_a_box_that_is_shut_first(flat: Callable[[str], Any]) -> None:
    """A lid over the mouth: six walls, and no way for the tray."""
    shut = BOX.replace("rows = [30, 80, 30]", "rows = [30, 80, 30, 80]").replace(
        '". front ."]', '". front .", ". lid ."]'
    )
    folded, found = run(flat, shut + INNER)
    assert [problem.code for problem in found] == ["way-together-not-proved"]
    place = folded["inner"].placement
    assert place is not None
    assert place.off is None


def test_a_sheet_does_not_come_flat_through_a_lid(flat: Callable[[str], Any]) -> None:
    """Parallel to the lid it crosses it at no place on its way, and yet it does not get through.

    Under the box, where no lid is, it may be glued all the same.
    """
    for rows, lid in (("30, 90, 30", ""), ("90, 30, 90, 30", '". lid .", ')):
        folded, _ = run(flat, SHEET.format(rows=rows, lid=lid))
        place = folded["sheet"].placement
        assert place is not None and place.off is not None
        assert (place.off == (0.0, 0.0, 1.0)) != bool(lid)


LID = """
[[piece]]
id = "lid"
stock = "card"
columns = [60]
rows = [80, 10]
map = ["top", "tab"]
root = "top"
[piece.folds]
tab = 90
[[piece.join]]
tab = "tab"
to = "box.front"
"""


def test_a_tray_gets_past_what_is_glued_to_its_box_too(flat: Callable[[str], Any]) -> None:
    """A lid that is a piece of its own shuts the box as one that hangs on it does."""
    folded, found = run(flat, BOX + LID + INNER)
    assert folded["lid"].placement is not None
    told = [one.message for one in found if one.code == "way-together-not-proved"]
    assert [message.split()[0] for message in told] == ['"inner"']


@pytest.mark.parametrize("turn", [180, -180])
def test_a_pocket_comes_to_its_card_from_above(flat: Callable[[str], Any], turn: int) -> None:
    """Whichever way its tabs are folded, they lie between the two; and both have its room."""
    folded, found = run(flat, POCKET.format(turn=turn))
    assert not [problem for problem in found if problem.severity != "note"]
    place = folded["pocket"].placement
    assert place is not None and place.off == (0.0, 0.0, 1.0)
    # Valley tabs lie on the inside, which then faces the card, mountain tabs on the outside.
    assert place.matrix[2, 2] == pytest.approx(-1.0 if turn > 0 else 1.0)
    for name in ("card", "pocket"):
        cavity = folded[name].cavity
        assert cavity is not None and cavity.pocket
        assert sorted(cavity.inside) == pytest.approx([0, 60, 80])
        assert cavity.walls.count(False) == 1
        assert cavity.mouth is not None and cavity.mouth[0] == 1


def test_a_label_that_one_tab_holds_is_no_pocket(flat: Callable[[str], Any]) -> None:
    """Two tabs at least hold a pocket."""
    text = POCKET.format(turn=180)
    one = text[: text.rindex("[[piece.join]]")]
    one = one[: one.rindex("[[piece.join]]")]
    folded, _ = run(flat, one)
    assert folded["card"].cavity is None

"""Joins that land, miss and stick out; closures with and without room."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from booklet.fold.prove import Folded
from tests.folding import proved

WALL = """
[[piece]]
id = "tray"
stock = "card"
columns = [20, 60]
rows = [{tab}, 50]
map = ["tab back", "left floor"]
cuts = ["tab|back"]
root = "floor"
[piece.folds]
tab = {angle}
{more}
[[piece.join]]
tab = "tab"
to = "{to}"
"""


def wall(
    flat: Callable[[str], Any], tab: float = 20, angle: float = 90, to: str = "back", more: str = ""
) -> tuple[Folded, list[str]]:
    """A tray corner: a left wall whose tab is glued to the back wall."""
    folded, found = proved(flat(WALL.format(tab=tab, angle=angle, to=to, more=more)))
    [tray] = folded.values()
    return tray, [problem.code for problem in found]


def test_a_corner_tab_lands(flat: Callable[[str], Any]) -> None:
    """The whole tab lies on the back wall, without a gap."""
    tray, codes = wall(flat)
    [join] = tray.joins
    assert (join.share, join.sticks_out) == pytest.approx((1.0, 0.0))
    assert join.gap == pytest.approx(0.0, abs=1e-9)
    assert codes == []


def test_a_tab_folded_the_wrong_way_never_meets(flat: Callable[[str], Any]) -> None:
    """-90 turns it away from the wall: same plane, nothing overlaps."""
    tray, codes = wall(flat, angle=-90)
    assert tray.joins[0].share == 0
    assert "join-never-meets" in codes


def test_a_tab_at_an_angle_is_told(flat: Callable[[str], Any]) -> None:
    """Glue cannot hold two planes at 20 degrees."""
    tray, codes = wall(flat, angle=70)
    assert not tray.joins[0].parallel
    assert "join-not-flat" in codes


def test_a_parallel_panel_far_away_never_meets(flat: Callable[[str], Any]) -> None:
    """The floor turned into a wall's partner: not parallel to the tab."""
    _, codes = wall(flat, to="floor")
    assert "join-not-flat" in codes


STICKS = """
[[piece]]
id = "band"
stock = "card"
columns = [{tab}, 30, {roof}]
rows = [40]
map = ["tab spine back"]
root = "spine"
[piece.folds]
tab = 180
back = 180
[[piece.join]]
tab = "tab"
to = "back"
"""


def test_a_tab_wider_than_its_base_sticks_out(flat: Callable[[str], Any]) -> None:
    """Two flaps turned onto a spine of 30: the tab of 25 reaches past the back of 20."""
    folded, found = proved(flat(STICKS.format(tab=40, roof=20)))
    [band] = folded.values()
    [join] = band.joins
    assert join.overlap == pytest.approx(20 * 40)
    assert join.sticks_out == pytest.approx(10.0, abs=0.5)
    assert "tab-sticks-out" in [problem.code for problem in found]


CLOSED = """
[[piece]]
id = "folder"
stock = "card"
columns = [30]
rows = [25, 60, 50]
map = ["flap", "back", "front"]
root = "back"
[piece.folds]
flap = {flap}
front = 180
[[closure]]
kind = "magnet"
on = "folder.flap"
meets = "folder.front"
size = 12
"""


def test_a_closure_lies_in_the_overlap(flat: Callable[[str], Any]) -> None:
    """Flap of 25 and front of 50 on a back of 60 overlap by 15: room for 15, not more."""
    folded, found = proved(flat(CLOSED.format(flap=180)))
    [folder] = folded.values()
    [closure] = folder.closures
    assert closure.overlap == pytest.approx((30.0, 15.0))
    assert closure.room == pytest.approx(15.0, abs=0.02)
    assert closure.fits and not found


@pytest.mark.parametrize(
    ("size", "told"),
    [("size = 20", []), ("size = 21", ["front"]), ("size = 41", ["flap", "front"])],
)
def test_a_button_needs_room_beside_the_flap(
    flat: Callable[[str], Any], size: str, told: list[str]
) -> None:
    """A flap of 40 on a back of 60 leaves 20 of the front of 50 free; all are 40 wide."""
    text = CLOSED.replace("columns = [30]", "columns = [40]").replace("rows = [25,", "rows = [40,")
    _, found = proved(
        flat(text.replace("magnet", "button").replace("size = 12", size).format(flap=180))
    )
    assert [p.message.split('"')[1] for p in found if p.code == "button-no-room"] == told


def test_a_button_on_a_covered_panel_is_told_without_a_size(flat: Callable[[str], Any]) -> None:
    """The flap covers the whole front: no string gets round a button there."""
    text = CLOSED.replace("rows = [25, 60, 50]", "rows = [58, 60, 58]").replace("magnet", "button")
    _, found = proved(flat(text.format(flap=180).replace("size = 12", "")))
    assert [p.code for p in found if p.code == "button-no-room"] == ["button-no-room"]


def test_a_closure_on_an_open_flap_holds_nothing(flat: Callable[[str], Any]) -> None:
    """A flap that stands up does not meet the front."""
    _, found = proved(flat(CLOSED.format(flap=90)))
    assert "closure-never-meets" in [problem.code for problem in found]

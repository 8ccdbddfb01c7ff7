"""Tabs touch their panels on the right side, and layers say so: proof and pictures agree."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from booklet.command.line import main
from booklet.fold.prove import prove
from booklet.fold.touch import Side, Touch, let_go, settled_layers, touch, tucked_layers
from booklet.stages import check_file
from tests.folding import SLEEVE, STRIP, Flat, at_rest

CARTON = """
[[piece]]
id = "carton"
stock = "card"
columns = [40, 30, 40, 30]
rows = [40, 30, 12]
map = ["back left front right", "bottom . . .", "lip . . ."]
root = "back"
[[closure]]
kind = "tuck"
on = "lip"
meets = "front"
"""


def test_glue_goes_where_tab_and_panel_touch(flat: Callable[[str], Flat]) -> None:
    """A tab folded in first is glued on its outside; a hem on the side that is folded inward."""
    (pattern,) = flat(SLEEVE).patterns
    assert touch(at_rest(pattern), "tab", "right", {}) == Touch("back", "front")
    hem = STRIP + '[piece.folds]\nwall = {}\n[[piece.join]]\ntab = "wall"\nto = "base"\n'
    sides: tuple[tuple[int, Side], ...] = ((180, "front"), (-180, "back"))
    for angle, side in sides:
        (pattern,) = flat(hem.format(angle)).patterns
        assert touch(at_rest(pattern), "wall", "base", {}) == Touch(side, side)


def test_a_tab_lies_on_the_side_where_it_touches() -> None:
    """One step inward of its panel, unless it lies there already; told along its own inside."""
    inward, hem = Touch("back", "front"), Touch("front", "front")
    assert tucked_layers({"tab": 0, "to": 2}, [("tab", "to", inward)])["tab"] == 3
    assert tucked_layers({"tab": 5, "to": 2}, [("tab", "to", inward)])["tab"] == 5
    assert tucked_layers({"tab": 0, "to": 0}, [("tab", "to", hem)])["tab"] == -1


def test_a_shut_tab_is_opened_again_for_its_glue(flat: Callable[[str], Flat]) -> None:
    """The panel folded last lets go; a tab whose panel is still open shuts nothing."""
    (pattern,) = flat(SLEEVE).patterns
    done = dict.fromkeys(("tab", "left", "top", "right"), 90.0)
    assert let_go(pattern, done, "tab", "right", {}) == "right"
    assert let_go(pattern, done, "tab", "right", {"tab": 3, "right": 2}) == "tab"
    assert let_go(pattern, {"tab": 90.0}, "tab", "right", {}) is None


def test_a_seam_tab_lies_inside_its_cover(flat: Callable[[str], Flat]) -> None:
    """In one step with its cover, wherever it is named; outside only if it folds a step later.

    Both stand at the base's low x; higher layers lie farther along x.
    """
    (pattern,) = flat(SLEEVE).patterns
    walls = ["left", "top", "right"]
    for steps in ([["tab", *walls]], [[*walls, "tab"]], [["tab"], walls]):
        level = settled_layers(at_rest(pattern), steps)
        assert level["right"] < level["tab"]
        assert min(level.values()) == 0
    level = settled_layers(at_rest(pattern), [walls, ["tab"]])
    assert level["right"] > level["tab"]


def test_a_tucked_lip_lies_behind_its_front(flat: Callable[[str], Flat]) -> None:
    """The front of a carton on its back is on top: the lip, folded last, is under it."""
    made = flat(CARTON)
    [carton] = prove(made.patterns, made.project, made.scope, [])
    assert carton.layers["front"] > carton.layers["lip"]


@pytest.mark.parametrize("form", ["pyramid", "hexagonal_tray_with_lid"])
def test_tabs_of_walls_that_fold_in_unison_lie_inside(form: str, tmp_path: Path) -> None:
    """The outside of each tab lies on the inside of its wall, on every side alike."""
    words = ["start", str(tmp_path / "new"), "--form", form, "--inside", "60x50x30mm"]
    assert main(words) == 0
    model, _ = check_file(tmp_path / "new.toml")
    assert model is not None
    for pattern, folded in zip(model.patterns, model.folded, strict=True):
        turns = {name: at for at, names in enumerate(folded.order.steps) for name in names}
        for join in pattern.joins:
            if join.tab[0] == join.to[0]:
                how = touch(folded.posed, join.tab[1], join.to[1], turns)
                assert how == Touch("back", "front"), join

"""A panel comes down on a tab only when what carries the tab stands."""

from __future__ import annotations

from pathlib import Path

import pytest

from booklet.stages import Model, check_file
from tests.folding import started

PYRAMID = Path(__file__).resolve().parents[2] / "projects" / "tea-pyramid" / "tea-pyramid.toml"


def walls_in_turn(model: Model) -> list[tuple[int, int]]:
    """For each glued tab the steps that fold what carries it, and the panel that it is glued to."""
    piece = model.folded[0]
    step = {name: number for number, names in enumerate(piece.order.steps) for name in names}
    pattern = next(one for one in model.patterns if one.id == piece.piece)
    parents = {hinge.panel: hinge.parent for hinge in pattern.hinges}
    return [
        (step[parents[join.tab[1]]], step[join.to[1]])
        for join in pattern.joins
        if parents[join.tab[1]] in step and join.to[1] in step
    ]


def test_the_walls_of_a_pyramid_stand_up_in_turn() -> None:
    """Front and back are mirror images, but the front carries the tab that the right panel takes:
    folded with the back, it brought its tab to the outside of a panel that stood."""
    model, _ = check_file(PYRAMID)
    assert model is not None
    turns = walls_in_turn(model)
    assert len(turns) == 3
    assert all(carries < takes for carries, takes in turns)


@pytest.mark.parametrize("form", ["hexagonal_tray_with_lid"])
def test_walls_round_a_form_stand_before_the_walls_that_take_their_tabs(
    form: str, tmp_path: Path
) -> None:
    """Of six walls in a ring, mirror images stay together as far as none takes the other's tab."""
    turns = walls_in_turn(
        started(tmp_path, "--form", form, "--inside", "80x80x30", "--units", "mm")
    )
    assert turns
    assert all(carries < takes for carries, takes in turns)

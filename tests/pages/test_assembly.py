"""Pieces that go into each other are shown together: closed, and drawn out with their contents."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from booklet.draw.arrow import SlideArrow
from booklet.pages.assembly import SHOWN
from booklet.pages.shot import Folded
from booklet.pages.staging import set_stage
from booklet.pages.wording import planned_steps
from tests.folding import model_of, stage_of, started

DRAWER = """
[[contents]]
id = "pins"
name = "pins"
size = ["60", "70", "15"]
inside = "drawer"
[[piece]]
id = "sleeve"
name = "Sleeve"
stock = "card"
columns = ["72", "24", "72", "24", "10"]
rows = ["90"]
map = ["top right under left glue"]
root = "top"
[[piece.join]]
tab = "glue"
to = "top"
[[piece]]
id = "drawer"
name = "Drawer"
stock = "card"
columns = ["22", "68", "22"]
rows = ["22", "88", "22"]
map = [". back .", "left base side", ". front ."]
root = "base"
[[nest]]
inner = "drawer"
outer = "sleeve"
ease = "1"
pulled = "1/4"
"""


def span(picture: Folded, piece: str) -> tuple[float, float]:
    """How far the faces of one piece reach along the sleeve (y)."""
    faces = [face for face in picture.seen.scene.faces if face.id.startswith(f"{piece}/")]
    ys = np.array(
        [point[1] for face in faces for point in face.points if "contents" not in face.id]
    )
    return float(ys.min()), float(ys.max())


def test_a_nest_is_shown_closed_and_drawn_out(tmp_path: Path) -> None:
    """Closed the drawer lies in its sleeve; on the second picture a quarter of it looks out."""
    model = model_of(DRAWER, tmp_path)
    steps = planned_steps(model)
    stage = set_stage(model, steps)
    (closed,) = stage.finished
    low, high = span(closed, "sleeve")
    inside = span(closed, "drawer")
    assert low - 0.5 <= inside[0]
    assert inside[1] <= high + 0.5
    assert stage.opened is not None
    moved = [a - b for a, b in zip(span(stage.opened, "drawer"), inside, strict=True)]
    assert np.abs(moved) == pytest.approx([22, 22], abs=0.3)
    assert [name.text for name in stage.opened.seen.scene.names] == ["pins"]
    number = next(index for index, step in enumerate(steps) if step.nest)
    assert steps[number].text == "Slide the drawer into the sleeve."
    picture = stage.steps[number]
    assert isinstance(picture, Folded)
    (arrow,) = picture.seen.scene.arrows
    assert isinstance(arrow, SlideArrow)


def test_a_lid_turned_over_keeps_its_tabs_inside(tmp_path: Path) -> None:
    """No tab of the lid is seen on the outside of the closed box."""
    form = ("--form", "hexagonal_tray_with_lid", "--inside", "60x50x30mm")
    closed = stage_of(started(tmp_path, *form)).finished[0]
    seen = [one.face.id for one in closed.seen.sight.seen if one.region.area > 1.0]
    assert "lid" in " ".join(seen)
    assert not [name for name in seen if "lid/tab" in name]


POCKET = """
[[contents]]
id = "ticket"
name = "ticket"
size = ["70", "40", "0.3"]
inside = "card"
[[piece]]
id = "card"
name = "Card"
stock = "card"
columns = ["100"]
rows = ["60"]
map = ["face"]
[[piece]]
id = "pocket"
name = "Pocket"
stock = "card"
columns = ["10", "80", "10"]
rows = ["50"]
map = ["tab_l front tab_r"]
root = "front"
[piece.folds]
tab_l = 180
tab_r = 180
[piece.panel]
tab_l.label = "tab"
tab_r.label = "tab"
[[piece.join]]
tab = "tab_l"
to = "card.face"
[[piece.join]]
tab = "tab_r"
to = "card.face"
"""


@pytest.mark.parametrize(
    "steps",
    [
        "",
        '[[step]]\nfold = ["tab_l", "tab_r"]\n[[step]]\njoin = ["tab_l", "tab_r"]\n'
        '[[step]]\nfill = ["ticket"]\n',
    ],
)
def test_a_piece_is_glued_onto_another_and_filled_then(steps: str, tmp_path: Path) -> None:
    """Words, an arrow that brings it, adhesive where it will lie; contents between the two."""
    model = model_of(POCKET + steps, tmp_path, warnings=False)
    plan = planned_steps(model)
    stage = set_stage(model, plan)
    number = next(index for index, step in enumerate(plan) if step.onto)
    assert plan[number].text == (
        "Put adhesive on the tabs of the pocket. Press the pocket onto the card."
    )
    gluing, filling = stage.steps[number], stage.steps[number + 1]
    assert isinstance(gluing, Folded)
    scene = gluing.seen.scene
    assert [type(arrow) for arrow in scene.arrows] == [SlideArrow]
    assert [hatch.face for hatch in scene.hatches] == ["card/face", "card/face"]
    assert all(hatch.meets for hatch in scene.hatches)
    assert "broken hatching shows where its adhesive will lie" in gluing.alt
    assert sorted(name.text for name in scene.names) == ["Card", "Pocket"]
    assert plan[number + 1].fill == ("ticket",)
    assert isinstance(filling, Folded)
    levels = {face.id: face.layer for face in filling.seen.scene.faces}
    ticket = next(level for name, level in levels.items() if "contents" in name)
    assert levels["card/face"] < ticket < levels["pocket/front"]


def test_a_lid_comes_down_over_its_tray(tmp_path: Path) -> None:
    """The tray stands on its base, the lid over it, outside up, and the arrow leads down."""
    model = started(tmp_path, "--form", "tray_with_lid", "--inside", "60x50x30mm")
    steps = planned_steps(model)
    number = next(index for index, step in enumerate(steps) if step.nest)
    assert steps[number].text == "Put the lid over the tray."
    picture = set_stage(model, steps).steps[number]
    assert isinstance(picture, Folded)
    (arrow,) = picture.seen.scene.arrows
    assert isinstance(arrow, SlideArrow)
    assert arrow.start[2] > arrow.end[2]
    heights = {
        face.id: float(np.mean([point[2] for point in face.points]))
        for face in picture.seen.scene.faces
    }
    assert heights["tray/base"] < heights["tray/back"] < heights["lid/roof"]


def test_of_many_inserts_a_picture_shows_the_one_and_those_before_it(tmp_path: Path) -> None:
    """No step shows what comes later, nor more pieces than one can tell apart."""
    slips = "".join(
        f'[[piece]]\nid = "slip{k}"\nname = "Slip {k}"\nstock = "card"\n'
        f'columns = [{60 - k}]\nrows = [{80 - k}]\nmap = ["face"]\n'
        f'[[nest]]\ninner = "slip{k}"\nouter = "drawer"\nease = 1\n'
        for k in range(12)
    )
    model = model_of(DRAWER + slips, tmp_path)
    steps = planned_steps(model)
    stage = set_stage(model, steps)
    for step, picture in zip(steps, stage.steps, strict=True):
        if step.nest.startswith("slip"):
            assert isinstance(picture, Folded)
            shown = {face.id.partition("/")[0] for face in picture.seen.scene.faces}
            later = {f"slip{k}" for k in range(int(step.nest[4:]) + 1, 12)}
            assert {step.nest, "drawer", "sleeve"} <= shown
            assert not shown & later
            assert len(shown) <= SHOWN + 2

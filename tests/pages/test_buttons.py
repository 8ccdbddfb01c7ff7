"""Buttons go on while the piece is flat, and the work lies the way that the picture shows."""

from __future__ import annotations

from pathlib import Path

import pytest

from booklet.pages.planned import PlannedStep
from booklet.pages.shot import Flat, Folded
from booklet.pages.staging import set_stage
from booklet.pages.wording import planned_steps
from booklet.stages import check_file
from tests.folding import model_of, written

FOLDER = """
[[piece]]
id = "folder"
stock = "card"
columns = [40]
rows = [40, 60, 50]
map = ["flap", "back", "front"]
root = "back"
[piece.folds]
flap = 180
front = 180
[[closure]]
kind = "button"
on = "flap"
"""
MEETS = 'meets = "front"\n'
MAT = '[[mat]]\nid = "cover"\non = "flap"\nreveal = 3\nstock = "card"\n'


def staged(text: str, folder: Path) -> list[tuple[PlannedStep, Flat | Folded | None]]:
    """Steps with their pictures, from the one that fixes the buttons on."""
    model = model_of(text, folder)
    steps = planned_steps(model)
    pairs = list(zip(steps, set_stage(model, steps).steps, strict=True))
    first = next(n for n, step in enumerate(steps) if step.buttons)
    return pairs[first:]


@pytest.mark.parametrize(
    ("more", "words", "panels"),
    [
        (MEETS, "Fix a button to the flap and one to the front, with the string tied under the "
         "first.", ("flap", "front")),
        ("", "Fix a button to the flap, with the string tied under it.", ("flap",)),
    ],
)  # fmt: skip
def test_buttons_are_fixed_on_the_outside_before_the_first_fold(
    tmp_path: Path, more: str, words: str, panels: tuple[str, ...]
) -> None:
    """The piece is turned over for them, their panels are tinted, and it is turned back to fold."""
    (fix, picture), (fold, after), *_ = staged(FOLDER + more, tmp_path)
    assert fix.text == f"Turn the piece over, outside up. {words}"
    assert isinstance(picture, Flat)
    assert (picture.show.back, picture.show.turn, picture.show.close) == (True, True, panels)
    assert fold.text.startswith("Turn the piece over again, inside up. Fold")
    assert isinstance(after, Folded) and not fold.turned


def test_after_mats_the_outside_lies_up_already(tmp_path: Path) -> None:
    """One turn for both: no word and no sign for turning in the second."""
    (fix, picture), *_ = staged(FOLDER + MEETS + MAT, tmp_path)
    assert fix.text.startswith("Fix a button")
    assert isinstance(picture, Flat)
    assert picture.show.back and not picture.show.turn


def test_the_string_is_wound_when_the_piece_is_shut(tmp_path: Path) -> None:
    """Between two buttons in a figure eight, round the piece for one."""
    closing = staged(FOLDER + MEETS, tmp_path)[-1][0]
    assert closing.close
    assert closing.text.endswith(
        "Wind the string in a figure eight round the button on it and the one on the front."
    )
    closing = staged(FOLDER, tmp_path)[-1][0]
    assert closing.text.endswith("Lead the string once round and wind it round the button.")


ROOTED = """
[[piece]]
id = "box"
stock = "card"
columns = [20, 40, 20]
rows = [20, 30, 20]
map = [". back .", "left base right", ". front ."]
root = "base"
[[closure]]
kind = "{kind}"
on = "base"
meets = "front"
"""


@pytest.mark.parametrize(
    ("kind", "words"),
    [
        ("button", "Wind the string in a figure eight round the button on the base and the one on "
         "the front."),
        ("hook_and_loop", "Stick one half of the dot under the base and the other half on the "
         "front, where the two meet."),
        ("ribbon", "Wrap the ribbon round and tie a bow."),
    ],
)  # fmt: skip
def test_a_closure_on_the_panel_that_stays_folds_nothing(
    tmp_path: Path, kind: str, words: str
) -> None:
    """The root has no hinge: no word of folding it, and the cover's picture opens nothing."""
    model, _ = check_file(written(ROOTED.format(kind=kind), tmp_path))
    assert model is not None
    steps = planned_steps(model)
    assert steps[-1].text == words
    assert set_stage(model, steps).opened is None

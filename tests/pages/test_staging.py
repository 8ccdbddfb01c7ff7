"""What the pictures of steps show: turned work, contents on their way in, glue that can be seen."""

from __future__ import annotations

from pathlib import Path

import pytest

from booklet.draw.arrow import SlideArrow, TurnOver
from booklet.fold.face import dot
from booklet.pages.staging import Flat, Folded, Stage, set_stage
from booklet.pages.wording import planned_steps
from booklet.stages import check_file
from tests.folding import HEAD

BOX = """
[[contents]]
id = "beans"
name = "beans"
size = ["20", "10", "10"]
[[piece]]
id = "box"
stock = "card"
columns = ["20", "40", "20"]
rows = ["20", "30", "20"]
map = [". back .", "left base right", ". front ."]
root = "base"
"""


def staged(text: str, folder: Path) -> Stage:
    """The stage of a project in mm."""
    path = folder / "test.toml"
    path.write_text(HEAD + text, "utf-8")
    model, problems = check_file(path)
    assert model is not None
    assert not [p for p in problems if p.severity == "error"], problems
    return set_stage(model, planned_steps(model))


def signs(picture: object) -> int:
    """How many signs for turning over a picture has."""
    if isinstance(picture, Flat):
        return int(picture.show.turn)
    assert isinstance(picture, Folded)
    return sum(isinstance(arrow, TurnOver) for arrow in picture.seen.scene.arrows)


def side(picture: object) -> float:
    """How much of the base's inside faces the reader: 1 wholly, -1 the outside."""
    assert isinstance(picture, Folded)
    view = picture.seen.sight.view
    base = next(seen.face for seen in picture.seen.sight.seen if seen.face.id == "base")
    return dot(base.normal, view.toward)


def test_a_turned_piece_is_seen_from_its_other_side(tmp_path: Path) -> None:
    """One sign where it is turned, none while it lies so, and the outside up in between."""
    steps = "".join(
        f"[[step]]\n{line}\n"
        for line in (
            'fold = ["left"]', 'turn = "over"', 'fold = ["right"]',
            'fold = ["back"]\nturn = "over"', 'fold = ["front"]',
        )
    )  # fmt: skip
    pictures = staged(BOX + steps, tmp_path).steps
    assert [signs(picture) for picture in pictures] == [0, 1, 0, 1, 0]
    assert [side(picture) > 0 for picture in pictures] == [True, True, False, True, True]


def test_flat_work_is_turned_too(tmp_path: Path) -> None:
    """Cutting after a turn is drawn on the outside, mirrored, and the fold after it as well."""
    steps = (
        '[[step]]\nscore = ["box"]\n[[step]]\ncut = ["box"]\nturn = "over"\n'
        '[[step]]\nfold = ["left", "right", "back", "front"]\n'
    )
    first, second, third = staged(BOX + steps, tmp_path).steps
    assert isinstance(first, Flat)
    assert isinstance(second, Flat)
    assert (first.show.back, second.show.back) == (False, True)
    assert [signs(picture) for picture in (first, second, third)] == [0, 1, 0]
    assert side(third) < 0


def test_contents_go_in_along_the_open_side(tmp_path: Path) -> None:
    """Above an open tray the block stands clear of its walls, and an arrow leads down."""
    stage = staged(BOX, tmp_path)
    fill = stage.steps[-1]
    assert isinstance(fill, Folded)
    (arrow,) = fill.seen.scene.arrows
    assert isinstance(arrow, SlideArrow)
    assert arrow.start[2] > 20
    assert arrow.end[:2] == pytest.approx(arrow.start[:2])
    assert arrow.end[2] < arrow.start[2]


def test_an_open_tray_shows_its_contents_at_the_end(tmp_path: Path) -> None:
    """Without a closure the second picture of the cover is the tray filled, with their name."""
    stage = staged(BOX, tmp_path)
    assert stage.filled_open
    assert stage.opened is not None
    assert [name.text for name in stage.opened.seen.scene.names] == ["beans"]
    seen = stage.opened.seen.sight.of("contents:beans:0")
    assert seen is not None
    assert seen.region.area > 0


def test_the_open_end_of_a_sleeve_shows_its_contents(tmp_path: Path) -> None:
    """Contents that only look out at the far end are seen from there, with their name."""
    sleeve = """
[[contents]]
id = "beans"
name = "beans"
size = ["30", "50", "10"]
[[piece]]
id = "box"
stock = "card"
columns = ["40", "20", "40", "20", "8"]
rows = ["10", "20", "60", "20"]
map = [
  "lip . . . .",
  "lid . . . .",
  "base right top left tab",
  "end . . . .",
]
root = "base"
[[piece.join]]
tab = "tab"
to = "base"
[[closure]]
kind = "tuck"
on = "lip"
meets = "top"
"""
    opened = staged(sleeve, tmp_path).opened
    assert opened is not None
    (name,) = opened.seen.scene.names
    seen = opened.seen.sight.of(name.face)
    assert seen is not None
    assert seen.face.normal == pytest.approx((0, 1, 0))
    assert seen.region.area > 0

"""Contents in the plan of steps: before the fold that shuts them out, at the end else."""

from __future__ import annotations

from pathlib import Path

from booklet.draw.arrow import FoldArrow, SlideArrow
from booklet.pages.planned import PlannedStep
from booklet.pages.shot import Folded
from booklet.pages.staging import set_stage
from booklet.pages.wording import planned_steps
from tests.folding import model_of

THING = """
[[contents]]
id = "bag"
name = "tea bag"
size = [20, 20, 10]
"""
TRAY = """
[[piece]]
id = "cube"
stock = "card"
columns = [30, 30, 30]
rows = [30, 30, 30]
map = [". back .", "left base right", ". front ."]
root = "base"
"""
SHUT_CUBE = """
[[piece]]
id = "cube"
stock = "card"
columns = [30, 30, 30]
rows = [30, 30, 30, 30, 8]
map = [". back .", "left base right", ". front .", ". top .", ". lip ."]
root = "base"
[[piece.join]]
tab = "lip"
to = "back"
"""


def at(steps: tuple[PlannedStep, ...], what: str) -> list[int]:
    """The places of steps that fill, or that join."""
    return [place for place, step in enumerate(steps) if getattr(step, what)]


def test_a_piece_glued_shut_is_filled_before(tmp_path: Path) -> None:
    """The step comes before the fold that leaves no way in, and its picture shows the way."""
    model = model_of(THING + SHUT_CUBE, tmp_path)
    steps = planned_steps(model)
    (fill,) = at(steps, "fill")
    (join,) = at(steps, "join")
    assert fill < join
    assert steps[fill].text == "Put the tea bag in."
    picture = set_stage(model, steps).steps[fill]
    assert isinstance(picture, Folded)
    assert [type(arrow) for arrow in picture.seen.scene.arrows] == [SlideArrow]


def test_without_contents_the_step_that_shuts_it_says_so(tmp_path: Path) -> None:
    """Whatever the maker wants inside has to go in before."""
    texts = [step.text for step in planned_steps(model_of(SHUT_CUBE, tmp_path))]
    assert sum("If anything is to go inside, put it in first." in text for text in texts) == 1


def test_an_open_piece_is_filled_at_the_end(tmp_path: Path) -> None:
    """A tray takes its contents when it is done, and nothing is said of being shut."""
    steps = planned_steps(model_of(THING + TRAY, tmp_path))
    assert at(steps, "fill") == [len(steps) - 1]
    assert not any("goes inside" in step.text for step in steps)


def test_a_step_fills_before_it_folds(tmp_path: Path) -> None:
    """Two pictures: the contents on their way in, then the folds with the contents inside."""
    text = (
        '[[step]]\nfold = ["left", "right", "back"]\n'
        '[[step]]\nfill = ["cube"]\nfold = ["front", "top", "lip"]\njoin = ["lip"]\n'
    )
    model = model_of(THING + SHUT_CUBE + text, tmp_path)
    steps = planned_steps(model)
    assert steps[1].fill == ("bag",)
    assert steps[1].text.startswith("Put the tea bag in. ")
    stage = set_stage(model, steps)
    first, then = stage.shots[1][0].picture, stage.steps[1]
    assert isinstance(first, Folded)
    assert [type(arrow) for arrow in first.seen.scene.arrows] == [SlideArrow]
    assert isinstance(then, Folded)
    assert {type(arrow) for arrow in then.seen.scene.arrows} == {FoldArrow}
    assert any(face.id.startswith("contents:bag") for face in then.seen.scene.faces)


def test_a_step_of_a_form_fills_with_whatever_there_is(tmp_path: Path) -> None:
    """The piece's name stands for its contents, also where the project has none."""
    box = """
[[piece]]
id = "bags"
form = "tuck_carton"
inside = [30, 30, 20]
stock = "card"
"""
    (fill,) = [step for step in planned_steps(model_of(THING + box, tmp_path)) if step.fill]
    assert fill.fill == ("bag",)
    steps = planned_steps(model_of(box, tmp_path))
    assert not any(step.fill for step in steps)
    assert steps[-1].title == fill.title


def test_what_carries_a_lip_is_folded_and_joined_in_the_closing_step(tmp_path: Path) -> None:
    """The wall that the lip hangs on folds with it, and a tab that meets it only then is glued."""
    text = """
[[piece]]
id = "cube"
stock = "card"
columns = [30, 30, 30]
rows = [30, 30, 30]
map = [". back tab", "left base right", ". front lip"]
cuts = ["tab|right", "front|lip"]
root = "base"
[[piece.join]]
tab = "tab"
to = "right"
[[closure]]
kind = "tuck"
on = "cube.lip"
meets = "cube.front"
"""
    model = model_of(text, tmp_path)
    last = planned_steps(model)[-1]
    assert last.join == (("cube", "tab"),)
    assert ("cube", "right") in last.fold
    assert last.text == (
        "Put adhesive on the tab. Fold the right panel onto it and press. "
        "Fold the lip in and tuck it behind the front."
    )

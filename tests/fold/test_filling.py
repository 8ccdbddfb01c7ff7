"""Contents go into a piece while it is open."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from booklet.problem import Problem
from booklet.stages import check_file
from tests.folding import HEAD, model_of

CUBE = """
[[contents]]
id = "bag"
name = "bag"
size = [20, 20, 10]
[[piece]]
id = "cube"
stock = "card"
columns = [30, 30, 30]
rows = [30, 30, 30, 30]
map = [". back .", "left base right", ". front .", ". top ."]
root = "base"
"""
LIE = ("left", "right", "back")
SHUT = ("front", "top")


def problems(text: str, folder: Path) -> list[Problem]:
    """What is wrong with the order of a project in mm."""
    path = folder / "test.toml"
    path.write_text(HEAD + CUBE + text, "utf-8")
    model, found = check_file(path)
    assert model is not None
    return found


def step(fold: tuple[str, ...] = (), fill: str = "", close: str = "") -> str:
    """A [[step]] table."""
    names = ", ".join(f'"{name}"' for name in fold)
    lines = [f"fold = [{names}]"] if fold else []
    lines += [f'fill = ["{fill}"]'] if fill else []
    lines += [f'close = ["{close}"]'] if close else []
    return "\n".join(["[[step]]", *lines, ""])


@pytest.mark.parametrize("name", ["bag", "cube"])
def test_what_goes_in_before_the_last_fold_is_fine(name: str, tmp_path: Path) -> None:
    """In a step of its own, or first in the step that shuts the piece."""
    assert problems(step(LIE) + step(fill=name) + step(SHUT), tmp_path) == []
    assert problems(step(LIE) + step(SHUT, fill=name), tmp_path) == []


@pytest.mark.parametrize("name", ["bag", "cube"])
def test_what_goes_in_after_it_is_blamed_on_the_word(name: str, tmp_path: Path) -> None:
    """The problem names the step that shut the piece."""
    (problem,) = problems(step(LIE) + step(SHUT) + step(fill=name), tmp_path)
    assert problem.code == "filled-too-late"
    assert problem.message.endswith("since step 2")
    assert problem.place is not None
    lines = (tmp_path / "test.toml").read_text("utf-8").splitlines()
    assert lines[problem.place.line - 1].startswith("fill")


def test_a_piece_shut_for_good_needs_its_filling_said(tmp_path: Path) -> None:
    """Not where a closure is the last thing: what no step fills goes in before that."""
    (problem,) = problems(step(LIE) + step(SHUT), tmp_path)
    assert problem.code == "filling-not-said"
    assert problems(step(LIE) + step(SHUT, close="top"), tmp_path) == []
    early = step(("left",), close="left") + step(("right", "back")) + step(SHUT)
    assert [one.code for one in problems(early, tmp_path)] == []


def test_an_open_tray_may_be_filled_at_any_time(tmp_path: Path) -> None:
    """All walls stand, the top hangs open: nothing is said."""
    path = tmp_path / "test.toml"
    tray = CUBE.replace(', ". top ."]', "]").replace(
        "rows = [30, 30, 30, 30]", "rows = [30, 30, 30]"
    )
    walls = step((*LIE, "front"))
    path.write_text(HEAD + tray + walls + step(fill="bag"), "utf-8")
    assert check_file(path)[1] == []
    path.write_text(HEAD + tray + walls, "utf-8")
    assert check_file(path)[1] == []


def test_things_in_a_drawer_are_looked_for_in_the_drawer(tmp_path: Path) -> None:
    """The sleeve is the roomier of the two, but the drawer lies in it."""
    text = """
[[contents]]
id = "pins"
name = "pins"
size = [30, 40, 10]
[[piece]]
id = "drawer"
stock = "card"
columns = [20, 60, 20]
rows = [20, 80, 20]
map = [". back .", "left base right", ". front ."]
[[piece]]
id = "sleeve"
stock = "card"
columns = [62, 21.5, 62, 21.5, 10]
rows = [80]
map = ["base right top left tab"]
root = "base"
[[piece.join]]
tab = "tab"
to = "base"
[[nest]]
inner = "drawer"
outer = "sleeve"
"""
    model = model_of(text, tmp_path)
    assert {fit.id: fit.piece for one in model.folded for fit in one.contents} == {"pins": "drawer"}


def test_many_contents_of_a_piece_with_many_folds_are_judged_in_time(tmp_path: Path) -> None:
    """The work grows with the states of the folds and not with those times the contents."""
    strips = [f"s{k}" for k in range(60)]
    things = "".join(
        f'[[contents]]\nid = "c{k}"\nname = "bead"\nsize = [5, 5, 5]\n' for k in range(30)
    )
    waste = ". " * len(strips)
    box = f"""
[[piece]]
id = "cube"
stock = "card"
columns = {[30, 30, 30] + [2] * len(strips)}
rows = [30, 30, 30, 30]
map = [". back . {waste}", "left base right {" ".join(strips)}", ". front . {waste}",
  ". top . {waste}"]
root = "base"
"""
    folds = "[piece.folds]\n" + "".join(f"{name} = {(-1) ** k}\n" for k, name in enumerate(strips))
    steps = step((*LIE, *SHUT)) + "".join(step((name,)) for name in strips)
    path = tmp_path / "test.toml"
    path.write_text(HEAD + things + box + folds + steps, "utf-8")
    start = time.process_time()
    _, found = check_file(path)
    assert "filling-not-said" in {problem.code for problem in found}
    assert time.process_time() - start < 4.0


LEANING = """
[[contents]]
id = "soap"
name = "soap"
size = [50, 30, 8]
[[piece]]
id = "box"
stock = "card"
columns = [100, 12, 80, 12]
rows = [12, 60, 12]
map = [". . north .", "flap west base east", ". . south ."]
root = "base"
[piece.folds]
flap = 165
"""


def test_what_a_later_fold_opens_again_is_blamed_on_the_fold_that_shut_it(tmp_path: Path) -> None:
    """The flap leans over the open tray until the wall that carries it stands up."""
    walls = step(("north", "south", "east"))
    told = walls + step(("flap",)) + step(fill="soap") + step(("west",))
    path = tmp_path / "test.toml"
    path.write_text(HEAD + LEANING + told, "utf-8")
    _, found = check_file(path)
    (late,) = [problem for problem in found if problem.code == "filled-too-late"]
    assert late.message.endswith("since step 2")


POUCH = Path(__file__).resolve().parents[2] / "projects" / "soap-pouch" / "soap-pouch.toml"


def test_a_pouch_is_filled_before_its_last_flaps_bend_shut(tmp_path: Path) -> None:
    """While it lies flat its layers are open; with both flaps of one end made, soap is shut in."""
    made = POUCH.read_text("utf-8").split("[[step]]")[0]
    made += step(("back", "tab")) + '[[step]]\njoin = ["tab"]\n' + step(("front_low",))
    ends = step(("back_low",)) + step(("back_top",)) + step(("front_top",))
    path = tmp_path / "test.toml"

    def told(text: str) -> list[str]:
        path.write_text(text, "utf-8")
        codes = ("filled-too-late", "filling-not-said")
        return [problem.code for problem in check_file(path)[1] if problem.code in codes]

    assert told(made + step(fill="soap") + ends) == []
    assert told(made + ends + step(fill="soap")) == ["filled-too-late"]
    assert told(made + ends) == ["filling-not-said"]

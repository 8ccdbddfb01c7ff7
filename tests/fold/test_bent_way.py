"""The way of panels that bend: forms and demos go, known collisions are found, and what gives."""

from __future__ import annotations

import math
import re
import tomllib
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from booklet.fold.bend import BentPose, bend_half_way
from booklet.fold.bent_collide import checked_plates
from booklet.fold.bent_plate import BentPlates, bent_crossings
from booklet.fold.bent_way import bent_step
from booklet.fold.crease import bent_groups, samples
from booklet.fold.plate import plates
from booklet.fold.pose import pose
from booklet.fold.prove import Folded
from booklet.fold.trap import Swap, order_traps
from booklet.problem import Problem
from booklet.read.form import form_names, form_text
from booklet.report import report
from booklet.stages import check_file
from tests.folding import started, written

Floats = NDArray[np.float64]
DEMO = Path(__file__).resolve().parents[2] / "projects" / "soap-pouch" / "soap-pouch.toml"


def pieces(path: Path) -> tuple[list[Folded], list[Problem]]:
    """The pieces of a project that bend, and all that is told of it."""
    model, problems = check_file(path)
    assert model is not None
    return [piece for piece in model.folded if piece.bent is not None], problems


def curved_flaps(piece: Folded) -> set[str]:
    """The panels that hang on curved scores."""
    pattern = piece.posed.pattern
    return {h.panel for h in pattern.hinges if pattern.scores[h.score].curve is not None}


@pytest.fixture
def pouch() -> Folded:
    """The demo's pouch."""
    (piece,), _ = pieces(DEMO)
    return piece


def solid(piece: Folded) -> BentPlates:
    """The plates with which its way is swept."""
    assert piece.bent is not None
    found = checked_plates(plates(piece.posed), piece.bent, (), [])
    assert isinstance(found, BentPlates)
    return found


def half_way(piece: Folded, folds: dict[str, float]) -> BentPose:
    """A piece at its targets but for some panels, all bent as in the end."""
    bones = piece.posed.bones
    degrees = bones.targets.copy()
    for name, angle in folds.items():
        degrees[bones.index[name]] = angle
    posed = replace(piece.posed, matrices=pose(bones, degrees))
    return bend_half_way(posed, bent_groups(posed), degrees, bones.targets)


def test_the_demo_goes_in_its_printed_order(pouch: Folded) -> None:
    """Every curved flap turns clean, about a score that is bent already: that is told."""
    assert pouch.order.given and pouch.order.proved and not pouch.order.collisions
    assert set(pouch.order.gives) == curved_flaps(pouch)


def curved_forms() -> list[str]:
    """The forms that have a score with an arc or another curve in it."""
    found = []
    for form in form_names():
        lines = [
            line
            for piece in tomllib.loads(form_text(form))["piece"]
            for line in piece.get("scores", ())
        ]
        if re.search(r"(^|[ }])[AaCcQqSsTt] ", " ".join(lines)):
            found.append(form)
    return found


@pytest.mark.parametrize("size", ["45x75x10", "100x60x30", "20x150x4"])
@pytest.mark.parametrize("form", curved_forms())
def test_forms_with_curved_scores_go_in_their_printed_order(
    form: str, size: str, tmp_path: Path
) -> None:
    """In any size; what gives are the flaps along curves."""
    model = started(tmp_path, "--form", form, "--inside", size, "--units", "mm")
    (piece,) = (piece for piece in model.folded if piece.bent is not None)
    assert piece.order.given and piece.order.proved
    assert set(piece.order.gives) == curved_flaps(piece)


def test_there_is_a_form_with_curves() -> None:
    """The search for them finds the pouch."""
    assert "pillow_pouch" in curved_forms()


def test_a_note_says_which_flaps_give_and_by_how_much() -> None:
    """Turned by 45° about an arc bent for 90°, the bow of 14 mm slips by 14 (sqrt 2 - 1) mm."""
    model, problems = check_file(DEMO)
    told = report(model, problems)["folded"]["pouch"]["curved"]
    assert len(told) == 4
    for one in told:
        assert one["slips_mm"] == pytest.approx(14 * (math.sqrt(2) - 1), abs=0.01)
    (note,) = [p for p in problems if p.code == "bend-way-not-proved"]
    assert f"{14 * (math.sqrt(2) - 1):.0f} mm" in note.message
    assert all(f'"{name}"' in note.message for name in ("front_low", "back_top"))
    assert '"front"' not in note.message


def test_flaps_that_turn_together_pass_through_each_other(pouch: Folded) -> None:
    """Both stand on opened sheets, 2 f apart and 2 f deep: they meet in the middle, from 30° on.

    So one comes after the other, which is tried where all at once does not go.
    """
    bones, way = pouch.posed.bones, solid(pouch)
    top = ["front_top", "back_top"]
    pair = [(bones.index["front_top"], bones.index["back_top"])]
    assert not bent_crossings(way, half_way(pouch, dict.fromkeys(top, 29.0)))
    assert bent_crossings(way, half_way(pouch, dict.fromkeys(top, 36.0))) == pair
    before = bones.targets.copy()
    before[list(pair[0])] = 0.0
    one_by_one = bent_step(way, before, top)
    assert one_by_one is not None and not one_by_one.met


def test_a_glued_pouch_opens_on_both_sides_for_one_flap(tmp_path: Path) -> None:
    """Flap by flap: the back bends with the front that it is glued to, else it would be in the way.

    The same without printed steps: the order that is found goes, too.
    """
    text = DEMO.read_text("utf-8").split("[[step]]")[0]
    flaps = ("front_low", "back_low", "back_top", "front_top")
    steps = '[[step]]\nfold = ["back", "tab"]\n[[step]]\njoin = ["tab"]\n'
    steps += "".join(
        f'[[step]]\nfold = ["{name}"]\n' + 'fill = ["soap"]\n' * (name == "back_top")
        for name in flaps
    )
    for printed in (steps, ""):
        (piece,), problems = pieces(written(text + printed, tmp_path))
        assert piece.order.given == bool(printed)
        assert piece.order.proved and not [p for p in problems if p.severity != "note"]
        assert set(piece.order.gives) == set(flaps)


def test_half_way_flaps_hang_on_their_scores_and_keep_their_rulings(pouch: Folded) -> None:
    """Every score holds both its panels together; lines along the rulings keep their length."""
    bent = half_way(pouch, {"front_low": 40.0, "back_low": 10.0, "front_top": 0.0})
    for score in pouch.posed.pattern.scores:
        points = np.array(samples(score.curve) if score.curve else [score.start, score.end])
        first, second = (bent.place(name, points) for name in score.between)
        assert np.linalg.norm(first - second, axis=1).max() < 0.01, score.between
    for x in (10.0, 40.0, 71.0):
        ends = bent.place("front_low", np.array([[x, 0.0], [x, 5.0]]))
        assert np.linalg.norm(ends[1] - ends[0]) == pytest.approx(5.0, abs=1e-6)


def test_half_way_agrees_with_the_end(pouch: Folded) -> None:
    """At the targets the turned flaps are the mirrored rests of their panels."""
    assert pouch.bent is not None
    bent = half_way(pouch, {})
    for name, panel in pouch.posed.panels.items():
        points = np.asarray(panel.shape.exterior.coords)[:, :2]
        assert bent.place(name, points) == pytest.approx(pouch.bent.place(name, points), abs=1e-6)


HOLDER = """
[[piece]]
id = "holder"
stock = "card"
outline = "M 0 0 H 80 V 110 H 0 V 80 H -55 V 0 Z"
scores = ["M 0 0 V 80 M -25 0 V 80", "M 0 80 Q 40 74 80 80"]
root = "body"
[piece.panels]
body = [40, 40]
wall = [-10, 40]
rim = [-40, 40]
flap = [40, 95]
[piece.folds]
flap = 150
"""


def test_a_flap_that_ends_under_a_rim_goes_before_it(tmp_path: Path) -> None:
    """Printed the other way round it is an error (tests/cases/wrong); an order found has it so.

    It bends its body as it turns, so that nothing has to give, and no note is left.
    """
    flap = '[[step]]\nfold = ["flap"]\n'
    rest = '[[step]]\nfold = ["wall", "rim"]\n'
    (piece,), problems = pieces(written(HOLDER + flap + rest, tmp_path))
    assert piece.order.proved and not piece.order.gives
    assert "bend-way-not-proved" not in {problem.code for problem in problems}
    (piece,), problems = pieces(written(HOLDER + rest + flap, tmp_path))
    (hit,) = piece.order.collisions
    assert not piece.order.proved
    assert hit.panels == ("flap", "rim") and hit.step == 2 and 45 < hit.angle < 100
    (piece,), problems = pieces(written(HOLDER, tmp_path))
    assert piece.order.proved and not piece.order.given
    places = {name: number for number, step in enumerate(piece.order.steps) for name in step}
    assert places["flap"] < places["rim"]


def test_a_trap_is_told_only_where_bent_panels_are_in_the_way(
    pouch: Folded, tmp_path: Path
) -> None:
    """The back does not lie down on flaps that stand; either end of a pouch may be closed first."""
    assert order_traps(pouch) == (Swap(("tab", "back"), ("front_low", "back_low")),)
    steps = "".join(f'[[step]]\nfold = ["{name}"]\n' for name in ("wall", "flap", "rim"))
    (piece,), _ = pieces(written(HOLDER + steps, tmp_path))
    assert order_traps(piece) == (Swap(("flap",), ("rim",)),)


BESIDE = """
[[piece]]
id = "holder"
stock = "card"
outline = "M 0 0 H 80 V 110 H 0 V 80 H -5 V 120 H -65 V 85 H -25 V 0 Z"
scores = ["M 0 0 V 80 M -25 85 V 120", "M 0 80 Q 40 74 80 80"]
root = "body"
[piece.panels]
body = [40, 40]
wall = [-10, 40]
rim = [-40, 100]
flap = [40, 95]
[piece.folds]
rim = 150
"""


def test_before_anything_bends_curved_panels_are_swept_flat(tmp_path: Path) -> None:
    """The rim dips through the plane of the table just where the flap lies until it is folded."""
    flap = '[[step]]\nfold = ["flap"]\n'
    rest = '[[step]]\nfold = ["wall"]\n[[step]]\nfold = ["rim"]\n'
    (piece,), problems = pieces(written(BESIDE + flap + rest, tmp_path))
    assert piece.order.proved and not [p for p in problems if p.severity == "error"]
    (piece,), problems = pieces(written(BESIDE + rest + flap, tmp_path))
    assert "panels-collide" in {problem.code for problem in problems}
    first = piece.order.collisions[0]
    assert (first.panels, first.step) == (("rim", "flap"), 2)


def test_a_piece_that_crosses_in_the_end_is_not_swept(tmp_path: Path) -> None:
    """Its order is not called proved, and only the end is told."""
    text = HOLDER.replace("V 110", "V 150").replace("flap = 150", "flap = 100")
    (piece,), problems = pieces(written(text, tmp_path))
    assert [p.code for p in problems if p.severity != "note"] == ["bends-collide"]
    assert not piece.order.proved and not piece.order.collisions

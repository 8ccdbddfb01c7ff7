"""Creases: folded there and back, in words, with an arrow that has two heads, and nothing moved."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from booklet.draw.arrow import FoldArrow
from booklet.draw.diagram import step_diagram
from booklet.draw.mark import Area, Drawing, Stroke
from booklet.draw.panel_name import points_of
from booklet.draw.typeface import load_faces
from booklet.pages.shot import Flat, Folded
from booklet.pages.wording import planned_steps
from tests.folding import model_of, stage_of, started

TRAY = """
[[piece]]
id = "tray"
stock = "card"
columns = [20, 40, 20]
rows = [20, 30, 20]
map = [". back .", "left base right", ". front ."]
root = "base"
"""
PYRAMID = """
[[piece]]
id = "pyramid"
stock = "card"
unit = "mm"
outline = "M 0 0 h 60 v 60 Z"
scores = ["M 20 0 L 60 40"]
[piece.panels]
base = [20, 10]
corner = [50, 10]
"""


def drawn(picture: object) -> Drawing:
    """A picture of flat work at full size."""
    assert isinstance(picture, Flat)
    return step_diagram(picture.pattern, 1.0, picture.show, True, load_faces(), picture.alt)


def heads(drawing: Drawing) -> tuple[int, int]:
    """How many solid heads, and how many hollow ones of three corners."""
    solid = sum(isinstance(m, Area) and m.fill == "ink" for m in drawing.marks)
    hollow = sum(
        isinstance(m, Stroke) and m.style == "arrow" and m.path.commands[-1][0] == "Z"
        for m in drawing.marks
    )
    return solid, hollow


def test_every_score_is_creased_there_and_back(tmp_path: Path) -> None:
    """Four scores: four solid heads for the way there, four hollow ones for the way back."""
    model = model_of(TRAY, tmp_path)
    step, picture = next(
        (step, picture)
        for step, picture in zip(planned_steps(model), stage_of(model).steps, strict=True)
        if step.crease
    )
    assert "open again" in step.title
    assert "open it flat again" in step.text
    drawing = drawn(picture)
    assert heads(drawing) == (4, 4)
    assert "two heads" in drawing.alt


def test_a_slanted_score_is_crossed_squarely(tmp_path: Path) -> None:
    """Both ends of the arrow are mirror images in the score, whose direction is 45 degrees."""
    steps = '[[step]]\ncrease = ["pyramid"]\n[[step]]\nfold = ["corner"]\n'
    (shaft,) = (
        points_of(m.path)
        for m in drawn(stage_of(model_of(PYRAMID + steps, tmp_path)).steps[0]).marks
        if isinstance(m, Stroke) and m.style == "arrow" and m.path.commands[-1][0] != "Z"
    )
    (x0, y0), (x1, y1) = shaft[0], shaft[-1]
    assert math.degrees(math.atan2(y1 - y0, x1 - x0)) == pytest.approx(135.0, abs=10.0)


def test_a_crease_of_the_projects_own_steps_changes_nothing(tmp_path: Path) -> None:
    """Panels by name or a whole piece; the same panels may be folded later."""
    steps = (
        '[[step]]\ncrease = ["left", "right"]\n[[step]]\nfold = ["back"]\n'
        '[[step]]\ncrease = ["front"]\n[[step]]\nfold = ["left", "right", "front"]\n'
    )
    model = model_of(TRAY + steps, tmp_path)
    plan, pictures = planned_steps(model), stage_of(model).steps
    assert plan[0].text == "Fold the left and right panels and burnish. Then open them flat again."
    assert heads(drawn(pictures[0])) == (2, 2)
    late = pictures[2]
    assert isinstance(late, Folded)
    (arrow,) = late.seen.scene.arrows
    assert isinstance(arrow, FoldArrow)
    assert arrow.opens
    last = pictures[3]
    assert isinstance(last, Folded)
    assert sum(isinstance(a, FoldArrow) and not a.opens for a in last.seen.scene.arrows) == 3


def test_a_mountain_crease_has_a_half_head(tmp_path: Path) -> None:
    """Folded behind: no solid head."""
    text = TRAY + "[piece.folds]\nleft = -90\nright = -90\nback = -90\nfront = -90\n"
    picture = next(
        p for p in stage_of(model_of(text, tmp_path)).steps if isinstance(p, Flat) and p.show.fold
    )
    assert heads(drawn(picture)) == (0, 8)


def test_of_several_pieces_each_is_named_where_its_folding_begins(tmp_path: Path) -> None:
    """A tray and its lid are folded alike: nothing else in the steps would tell which is meant."""
    model = started(tmp_path, "--form", "tray_with_lid", "--inside", "80x60x30mm")
    titles = [step.title for step in planned_steps(model) if step.crease]
    assert titles == ["Fold and open the tray", "Fold and open the lid"]

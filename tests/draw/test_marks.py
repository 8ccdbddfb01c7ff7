"""Drawings as values: moving, scaling, turning, and the box of their ink."""

from __future__ import annotations

from typing import get_args

import pytest

from booklet.draw.bounds import ink_bounds, label_corners
from booklet.draw.linestyle import HAIRLINE, HEAVY, LINE_STYLES, MEDIUM, ScoreStyle
from booklet.draw.mark import Area, Clip, Drawing, Label, Stroke, move, scaled, turned
from booklet.draw.typeface import Faces, load_faces
from booklet.flat.path import Path, rectangle, segment
from booklet.pages.full_size import LINES
from booklet.pages.type import STYLES


@pytest.fixture(scope="module")
def faces() -> Faces:
    """The faces, loaded once."""
    return load_faces()


DRAWING = Drawing(
    (
        Stroke(segment((0, 0), (10, 5)), "cut"),
        Area(rectangle(2, 2, 4, 2), "panel"),
        Label((3, 1), "lid"),
        Clip(rectangle(0, 0, 4, 4), (Stroke(segment((0, 0), (9, 9)), "hatch"),)),
    ),
    (0, 0, 10, 5),
    "a lid",
)


def test_four_quarter_turns_give_the_same_drawing() -> None:
    """Quarter turns are exact, so four of them are nothing at all."""
    drawing = DRAWING
    for _ in range(4):
        drawing = turned(drawing, 90)
    assert drawing == DRAWING


def test_a_quarter_turn_turns_labels_and_box() -> None:
    """x runs up after a quarter turn, and labels are read upward."""
    drawing = turned(DRAWING, 90)
    assert drawing.box == (-5, 0, 0, 10)
    label = drawing.marks[2]
    assert isinstance(label, Label)
    assert (label.at, label.angle) == ((-1, 3), 90)


def test_moving_there_and_back_changes_nothing() -> None:
    """A move is undone by its opposite, clipped marks included."""
    assert move(move(DRAWING, 8, 16), -8, -16) == DRAWING


def test_scaling_changes_places_but_no_style() -> None:
    """Widths and type are named, so a scaled drawing has the same names."""
    drawing = scaled(DRAWING, 2)
    assert drawing.box == (0, 0, 20, 10)
    stroke = drawing.marks[0]
    assert isinstance(stroke, Stroke)
    assert (stroke.path, stroke.style) == (segment((0, 0), (20, 10)), "cut")


@pytest.mark.parametrize("k", [0, -1, float("nan"), float("inf")])
def test_a_drawing_cannot_be_scaled_away(k: float) -> None:
    """Zero, negative and endless scales are refused."""
    with pytest.raises(ValueError, match="scaled"):
        scaled(DRAWING, k)


def test_ink_reaches_half_a_line_beyond_its_path(faces: Faces) -> None:
    """A heavy line's ink is 0.35 mm outside its path; its width does not grow with the scale."""
    drawing = Drawing((Stroke(rectangle(0, 0, 10, 20), "heavy"),), (0, 0, 10, 20), "")
    assert ink_bounds(drawing, faces, STYLES) == pytest.approx((-0.35, -0.35, 10.35, 20.35))
    assert ink_bounds(drawing, faces, STYLES, 3) == pytest.approx((-0.35, -0.35, 30.35, 60.35))


def test_clipped_ink_does_not_reach_beyond_its_clip(faces: Faces) -> None:
    """Only what lies inside the clip counts."""
    clip = Clip(rectangle(0, 0, 4, 4), (Stroke(segment((-9, 2), (9, 2)), "hair"),))
    drawing = Drawing((clip,), (0, 0, 4, 4), "")
    assert ink_bounds(drawing, faces, STYLES) == pytest.approx((0, 2 - 0.09, 4, 2 + 0.09))


def test_nothing_drawn_has_no_bounds(faces: Faces) -> None:
    """No marks, an empty path and an empty label take no room."""
    marks = (Stroke(Path(()), "cut"), Label((0, 0), ""))
    assert ink_bounds(Drawing(marks, (0, 0, 1, 1), ""), faces, STYLES) is None


def test_a_label_keeps_its_width_when_turned(faces: Faces) -> None:
    """Upright words are as tall as level ones are wide, centred on their point."""
    style = STYLES["label"]
    width = faces.width("front", style)
    corners = label_corners(Label((5, 5), "front", angle=90), faces, style)
    ys = [y for _, y in corners]
    assert (min(ys), max(ys)) == pytest.approx((5 - width / 2, 5 + width / 2))


def test_lines_have_three_widths_and_no_others() -> None:
    """Hairline, medium and heavy, each about twice the one before."""
    assert {style.width_mm for style in LINE_STYLES.values()} == {HAIRLINE, MEDIUM, HEAVY}
    assert pytest.approx(2, abs=0.1) == MEDIUM / HAIRLINE
    assert pytest.approx(2, abs=0.1) == HEAVY / MEDIUM


def test_each_style_of_a_score_has_a_heavy_one_and_a_row_in_the_key() -> None:
    """A score is drawn thin on the template and heavy in the step that makes it."""
    scores = set(get_args(ScoreStyle))
    assert scores | {f"heavy_{name}" for name in scores} <= LINE_STYLES.keys()
    assert {style for style, _, _ in LINES} == scores | {"cut"}


def test_folds_and_cuts_differ_without_colour() -> None:
    """Cut is solid, valley has one dash length, mountain dashes and dots: black and white will do.

    Published notation: Yoshizawa-Randlett system, valley dashed, mountain dash-dot.
    """
    cut, valley, mountain = (LINE_STYLES[name] for name in ("cut", "valley", "mountain"))
    assert cut.dash == ()
    assert len(valley.dash) == 2
    assert len(mountain.dash) == 4 and mountain.dash[2] < mountain.dash[0] / 4

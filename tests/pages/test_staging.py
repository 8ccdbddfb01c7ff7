"""What the pictures of steps show: turned work, contents on their way in, glue that can be seen."""

from __future__ import annotations

from pathlib import Path

import pytest
import shapely
from shapely.geometry import LineString

from booklet.draw.arrow import FoldArrow, SlideArrow, TurnOver
from booklet.draw.diagram import LIFTED, step_diagram
from booklet.draw.folded import SEEN_GLUE
from booklet.draw.mark import Area, Label, Stroke
from booklet.draw.panel_name import points_of
from booklet.draw.typeface import load_faces
from booklet.fold.best_view import VIEWPOINTS
from booklet.fold.face import dot
from booklet.pages.shot import Flat, Folded, Stage
from booklet.pages.signs import signs_of
from booklet.pages.staging import set_stage
from booklet.pages.step_picture import step_pictures
from booklet.pages.wording import planned_steps
from tests.folding import model_of, stage_of, started

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
    return stage_of(model_of(text, folder))


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
    """One sign where it is turned, none while it lies so; a turn alone shows how it lies then."""
    steps = "".join(
        f"[[step]]\n{line}\n"
        for line in (
            'fold = ["left"]', 'turn = "over"', 'fold = ["right"]',
            'fold = ["back"]\nturn = "over"', 'fold = ["front"]',
        )
    )  # fmt: skip
    pictures = staged(BOX + steps, tmp_path).steps
    assert [signs(picture) for picture in pictures] == [0, 1, 0, 1, 0]
    assert [side(picture) > 0 for picture in pictures] == [True, False, False, True, True]


def test_the_size_of_a_blank_is_told_only_before_it_is_worked_on(tmp_path: Path) -> None:
    """A step that does nothing shows what is to be cut first, and the finished piece later."""
    steps = "".join(
        f"[[step]]\n{line}\n" for line in ('say = "Cut a blank."', 'cut = ["box"]', 'say = "Rest."')
    )
    first, cut, last = staged(BOX + steps, tmp_path).steps
    assert isinstance(first, Flat) and isinstance(cut, Flat) and isinstance(last, Flat)
    assert first.show.size is not None
    assert cut.show.size is None and last.show.size is None


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


def test_turned_flat_work_shows_the_colour_and_the_folds_of_its_outside(tmp_path: Path) -> None:
    """As the key of the signs has it: what folds toward those who see the inside goes away now."""
    steps = (
        '[[step]]\nscore = ["box"]\n[[step]]\nturn = "over"\n'
        '[[step]]\nfold = ["left", "right", "back", "front"]\n'
    )
    drawn = []
    for picture in staged(BOX + steps, tmp_path).steps[:2]:
        assert isinstance(picture, Flat)
        letters = load_faces()
        drawn.append(step_diagram(picture.pattern, 1.0, picture.show, True, letters, "").marks)
    inside, outside = ([m.fill for m in marks if isinstance(m, Area)] for marks in drawn)
    assert "paper" in inside and "paper" not in outside
    before, after = ({m.style for m in marks if isinstance(m, Stroke)} for marks in drawn)
    assert any("valley" in style for style in before) and not any("valley" in s for s in after)
    assert any("mountain" in style for style in after)


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


SLEEVE = """
[[contents]]
id = "beans"
name = "beans"
size = ["30", "50", "10"]
[[piece]]
id = "box"
stock = "card"
columns = ["8", "40", "20", "40", "20"]
rows = ["10", "20", "60", "20"]
map = [". lip . . .", ". lid . . .", "tab base right top left", ". end . . ."]
root = "base"
[[piece.join]]
tab = "tab"
to = "left"
[[closure]]
kind = "tuck"
on = "lip"
meets = "top"
[[step]]
score = ["box"]
[[step]]
fold = ["tab", "right", "top", "left"]
[[step]]
join = ["tab"]
[[step]]
fold = ["end"]
[[step]]
fold = ["lid", "lip"]
close = ["lip"]
"""


def test_contents_that_no_step_puts_in_go_in_before_the_last_closing(tmp_path: Path) -> None:
    """A picture of its own shows their way in; the closing shows no more arrows than folds."""
    stage = staged(SLEEVE, tmp_path)
    assert [len(shots) for shots in stage.shots] == [1, 2, 1, 1, 2]
    going_in = stage.shots[4][0].picture
    assert isinstance(going_in, Folded)
    scene = going_in.seen.scene
    assert [type(arrow) for arrow in scene.arrows] == [SlideArrow]
    assert [name.text for name in scene.names] == ["beans"]
    closing = stage.steps[4]
    assert isinstance(closing, Folded)
    assert all(isinstance(arrow, FoldArrow) for arrow in closing.seen.scene.arrows)


def test_glue_inside_a_tube_is_looked_for_under_its_last_wall(tmp_path: Path) -> None:
    """A fair part of the seam tab's glued side is seen, and the next picture is a usual one."""
    stage = staged(SLEEVE, tmp_path)
    joining, after = stage.steps[2], stage.steps[3]
    assert isinstance(joining, Folded)
    assert isinstance(after, Folded)
    [glue] = joining.seen.scene.hatches
    assert not glue.meets and "meets" not in signs_of([joining])
    seen = joining.seen.sight.of("tab")
    assert seen is not None
    assert seen.side == glue.side
    assert seen.region.area > SEEN_GLUE * seen.face.area
    assert after.seen.sight.view in VIEWPOINTS


def test_hidden_glue_is_shown_where_the_tab_will_lie(tmp_path: Path) -> None:
    """Of four tabs at the corners of a tray at most two can be seen: the walls take the others."""
    tray = """
[[piece]]
id = "tray"
stock = "card"
columns = ["20", "10", "60", "10", "20"]
rows = ["30", "40", "30"]
map = [". nw back ne .", "left left base right right", ". sw front se ."]
cuts = ["nw|left", "ne|right", "sw|left", "se|right"]
root = "base"
[[piece.join]]
tab = "nw"
to = "left"
[[piece.join]]
tab = "sw"
to = "left"
[[piece.join]]
tab = "ne"
to = "right"
[[piece.join]]
tab = "se"
to = "right"
"""
    stage = staged(tray, tmp_path)
    picture = stage.steps[-1]
    assert isinstance(picture, Folded)
    hatches = picture.seen.scene.hatches
    assert {hatch.face for hatch in hatches if hatch.loop is None} == {"nw", "ne", "sw", "se"}
    walls = [hatch for hatch in hatches if hatch.loop is not None]
    assert walls and all(hatch.meets == (hatch in walls) for hatch in hatches)
    assert {"glue", "meets"} <= signs_of([picture])
    for hatch in walls:
        assert hatch.side == "front"
        assert picture.seen.sight.of(hatch.face) is not None


def test_a_bare_blank_says_how_large_it_is(tmp_path: Path) -> None:
    """The first picture of a piece has its name and both edges."""
    first = staged(BOX, tmp_path).steps[0]
    assert isinstance(first, Flat)
    assert first.show.size == ("80 mm (3⅛ in)", "70 mm (2¾ in)")
    words = [
        mark.text
        for mark in step_diagram(first.pattern, 0.8, first.show, False, load_faces(), "").marks
        if isinstance(mark, Label)
    ]
    assert words == [*first.show.size, first.pattern.name]


def test_a_mat_is_held_over_its_hatched_place(tmp_path: Path) -> None:
    """The hatching ends at the place's border, which is the mat's outline moved back."""
    dressed = (
        BOX
        + """
[[stock]]
id = "paper"
name = "Paper"
sheet = "a4"
[[mat]]
id = "label"
name = "Label"
stock = "paper"
on = "base"
reveal = "2"
"""
    )
    stage = staged(dressed, tmp_path)
    picture = next(p for p in stage.steps if isinstance(p, Flat) and p.show.mats)
    drawing = step_diagram(picture.pattern, 1.0, picture.show, True, load_faces(), "")
    strokes = [mark for mark in drawing.marks if isinstance(mark, Stroke)]
    hatching = shapely.union_all(
        [LineString(points_of(mark.path)) for mark in strokes if mark.style == "hatch"]
    )
    mat = next(m for m in drawing.marks if isinstance(m, Area) and m.fill == "shade3")
    low, high = (f(x for x, _ in points_of(mat.path)) - LIFTED for f in (min, max))
    assert high - low == pytest.approx(36.0)
    assert low - 1e-6 <= hatching.bounds[0] < hatching.bounds[2] <= high + 1e-6


def test_pictures_say_where_their_scale_changes(tmp_path: Path) -> None:
    """At each change, the last one without "from here on"; never more than the picture's room."""
    stage = staged(BOX, tmp_path)
    rooms = [60.0] * len(stage.steps)
    drawings = [d for d in step_pictures(stage.steps, 80.0, rooms, load_faces()) if d is not None]
    noted = [
        [m.text for m in d.marks if isinstance(m, Label) and "drawn " in m.text] for d in drawings
    ]
    assert not noted[0]
    assert 1 <= sum(map(len, noted)) <= 2
    assert noted[-1] == ["drawn larger"]
    for drawing in drawings:
        assert drawing.size[1] <= 60.0 + 1e-6


def test_a_tab_that_no_step_folds_folds_where_it_is_joined(tmp_path: Path) -> None:
    """As the proved order takes it: no tab stands off a wall that it has been glued to."""
    tray = """
[[piece]]
id = "box"
stock = "card"
columns = ["10", "10", "40", "20"]
rows = ["20", "30", "20"]
map = [". tab back .", "left left base right", ". . front ."]
cuts = ["tab|left"]
root = "base"
[[piece.join]]
tab = "tab"
to = "left"
[[step]]
fold = ["back", "left", "right", "front"]
[[step]]
join = ["tab"]
[[step]]
title = "Look at it"
"""
    model = model_of(tray, tmp_path)
    steps = planned_steps(model)
    assert [step.fold for step in steps[1:]] == [(("box", "tab"),), ()]
    last = set_stage(model, steps).steps[2]
    assert isinstance(last, Folded)
    left, tab = (
        next(seen.face for seen in last.seen.sight.seen if seen.face.id == name)
        for name in ("left", "tab")
    )
    assert abs(dot(left.normal, tab.normal)) == pytest.approx(1.0)


def holding(form: str, things: str, folder: Path) -> Stage:
    """The stage of a new project of a form for these things."""
    return stage_of(started(folder, "--form", form, "--holds", things))


def shown_contents(picture: object) -> list[str]:
    """The faces of contents that are seen in a picture."""
    assert isinstance(picture, Folded)
    return [
        seen.face.id
        for seen in picture.seen.sight.seen
        if seen.face.id.startswith("contents:") and not seen.region.is_empty
    ]


def going_in(stage: Stage) -> dict[int, Folded]:
    """By step from 0, the pictures of contents on their way in."""
    return {
        number: shot.picture
        for number, shots in enumerate(stage.shots)
        for shot in shots
        if isinstance(shot.picture, Folded)
        and any(isinstance(arrow, SlideArrow) for arrow in shot.picture.seen.scene.arrows)
    }


def test_nothing_looks_out_of_an_envelope_that_is_shut(tmp_path: Path) -> None:
    """The flap folds over the mouth: a card that stood out there would be folded with it."""
    stage = holding("envelope", "a6 card", tmp_path)
    assert shown_contents(next(iter(going_in(stage).values())))
    assert all(not shown_contents(picture) for picture in stage.shown)


def test_contents_go_into_a_bowed_pouch_through_its_open_end(tmp_path: Path) -> None:
    """Not through the front: the arrow runs along the pouch, and one end is still open."""
    stage = holding("pillow_pouch", "id-1 card x 5", tmp_path)
    ((number, picture),) = going_in(stage).items()
    (arrow,) = (one for one in picture.seen.scene.arrows if isinstance(one, SlideArrow))
    across, along, up = (b - a for a, b in zip(arrow.start, arrow.end, strict=True))
    assert abs(along) > 10 * max(abs(across), abs(up))
    assert number == len(stage.steps) - 1


def test_things_that_lie_side_by_side_are_drawn_one_by_one(tmp_path: Path) -> None:
    """Twelve candles seen from above are twelve; cards in a stack are one block."""
    stage = holding("tray", "12 tealights", tmp_path)
    assert stage.opened is not None
    tops = [face for face in shown_contents(stage.opened) if face.startswith("contents:contents:0")]
    assert len(tops) == 12
    (tmp_path / "new.toml").unlink()
    stage = holding("tray", "id-1 cards x 12", tmp_path)
    assert stage.opened is not None
    assert len([f for f in shown_contents(stage.opened) if f.endswith(":0")]) == 1


def test_what_folds_flat_is_shown_half_open_too(tmp_path: Path) -> None:
    """A closed accordion is a plain rectangle: nobody would know it."""
    stage = stage_of(started(tmp_path, "--form", "accordion_book", "--inside", "70x90x0mm"))
    assert stage.opened is not None and "half open" in stage.opened.alt
    assert len(stage.shown) == 2 and stage.end is stage.finished[0]


def test_a_bag_is_seen_from_where_it_is_open(tmp_path: Path) -> None:
    """From the front it looks like a block."""
    bags = started(tmp_path, "--form", "gusseted_bag", "--inside", "100x140x50mm")
    (bag,) = stage_of(bags).shown
    inside = [one for one in bag.seen.sight.seen if one.side == "front" and one.region.area > 1]
    assert {one.face.id for one in inside} & {"back", "front", "left_a", "right_a"}


def test_a_step_that_folds_what_stays_moves_nothing(tmp_path: Path) -> None:
    """The panel on the table has no hinge: the maker is told, and the booklet is made still."""
    text = """
[[piece]]
id = "card"
stock = "card"
columns = [40, 60, 60]
rows = [80]
map = ["wing page cover"]
root = "page"
[piece.folds]
wing = 0
[[step]]
fold = ["page", "wing"]
[[step]]
fold = ["cover", "page"]
"""
    model = model_of(text, tmp_path)
    first, second = planned_steps(model)
    assert (first.fold, first.text) == ((), "")
    assert second.fold == (("card", "cover"),)
    still, moving = stage_of(model).steps
    assert isinstance(still, Flat) and not still.show.fold
    assert isinstance(moving, Folded) and moving.moving == ("cover",)

"""Steps that fold much are shown part by part, each with its words, and the end is always shown."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from booklet.draw.arrow import FoldArrow
from booklet.draw.typeface import load_faces
from booklet.pages.flow import Composer
from booklet.pages.fold_order import fold_rounds
from booklet.pages.grid import PAPERS
from booklet.pages.page import Line
from booklet.pages.phases import is_fan
from booklet.pages.shot import Folded, Stage
from booklet.pages.staging import set_stage
from booklet.pages.step_picture import step_pictures
from booklet.pages.steps import set_steps
from booklet.pages.wording import planned_steps
from tests.folding import model_of, stage_of

BOX = """
[[piece]]
id = "box"
name = "Box"
stock = "card"
columns = [20, 40, 20]
rows = [10, 20, 30, 20]
map = [". lip .", ". back .", "left base right", ". front ."]
root = "base"
"""
TUBE = """
[[piece]]
id = "tube"
stock = "card"
columns = [10, 40, 30, 40, 30]
rows = [10, 30, 60]
map = [
  ".   lip  .     .     .     ",
  ".   top  dust  .     end   ",
  "tab back left  front right ",
]
cuts = ["top|dust"]
root = "back"
[[piece.join]]
tab = "tab"
to = "right"
[[closure]]
kind = "tuck"
on = "tube.lip"
meets = "tube.front"
[[step]]
fold = ["tab", "left", "front", "right"]
[[step]]
join = ["tab"]
[[step]]
fold = ["dust", "end", "top", "lip"]
close = ["lip"]
"""


def staged(text: str, folder: Path) -> Stage:
    """Its pictures."""
    return stage_of(model_of(text, folder))


def names(picture: object) -> list[str]:
    """What a picture calls by name."""
    assert isinstance(picture, Folded)
    return sorted(name.text for name in picture.seen.scene.names)


def folds(picture: object) -> int:
    """How many panels a picture folds."""
    assert isinstance(picture, Folded)
    return sum(isinstance(arrow, FoldArrow) for arrow in picture.seen.scene.arrows)


def test_what_ends_under_another_panel_has_a_picture_before_it(tmp_path: Path) -> None:
    """Flaps in, then the top over them with its lip; the second picture says what it adds."""
    flaps, top = staged(TUBE, tmp_path).shots[2]
    assert names(flaps.picture) == ["dust 90°", "end 90°"]
    assert flaps.words == "Fold the dust and end in to 90°."
    assert names(top.picture) == ["lip 90°", "top 90°"]
    assert top.words == "Fold the top up to 90°. Fold the lip in and tuck it behind the front."


def test_no_picture_folds_more_than_three_panels_that_carry_each_other(tmp_path: Path) -> None:
    """The walls of a tube hang on one another; what is carried comes later."""
    last = TUBE.replace('"tab", "left", "front", "right"', '"left", "front", "right", "tab"')
    shots = staged(last, tmp_path).shots[0]
    assert [folds(shot.picture) for shot in shots] == [3, 1]
    assert names(shots[1].picture) == ["right 90°"]


def test_four_walls_of_one_base_stay_in_one_picture(tmp_path: Path) -> None:
    """None carries another, and none is in another's way."""
    step = '[[step]]\nfold = ["left", "right", "front", "back"]\n[[step]]\nfold = ["lip"]\n'
    assert [len(shots) for shots in staged(BOX + step, tmp_path).shots] == [1, 1]


@pytest.mark.parametrize("more", ["", '[[step]]\nfold = ["lip"]\n'])
def test_the_end_is_shown_whether_a_cell_is_left_over_or_not(more: str, tmp_path: Path) -> None:
    """One step or two: the last words say what is seen."""
    fold = (
        '["left", "right", "front", "back"]'
        if more
        else '["left", "right", "front", "back", "lip"]'
    )
    model = model_of(BOX + f"[[step]]\nfold = {fold}\n" + more, tmp_path)
    steps = planned_steps(model)
    sheet = Composer(PAPERS["a4"], load_faces(), "Steps")
    set_steps(set_stage(model, steps), steps, sheet)
    pages = sheet.pages()
    lines = [
        ink.text
        for page in pages
        for element in page.elements
        for ink in element.inks
        if isinstance(ink, Line)
    ]
    assert lines[lines.index("Done") + 1] == "This is the finished box."


def test_glue_of_which_little_can_be_seen_is_shown_rather_than_none(tmp_path: Path) -> None:
    """The seam of a tall carton: from nowhere is a fair part of its narrow tab in sight."""
    text = """
[[piece]]
id = "carton"
stock = "card"
columns = [12, 61, 31, 61, 31]
rows = [15, 9, 22, 91, 22, 9, 15]
map = [
  ".    lip_t   .       .      .     ",
  ".    top     .       .      .     ",
  ".    top     dust_a  .      dust_b",
  "tab  back    side_l  front  side_r",
  ".    bottom  dust_c  .      dust_d",
  ".    bottom  .       .      .     ",
  ".    lip_b   .       .      .     ",
]
cuts = ["top|dust_a", "bottom|dust_c"]
root = "back"
[piece.panel.tab]
taper = 3
[[piece.join]]
tab = "tab"
to = "side_r"
[[step]]
fold = ["tab", "side_l", "front", "side_r"]
[[step]]
join = ["tab"]
[[step]]
fold = ["dust_a", "dust_b", "dust_c", "dust_d", "top", "lip_t", "bottom", "lip_b"]
[[supply]]
id = "glue"
name = "Glue"
kind = "adhesive"
amount = "auto"
"""
    gluing = staged(text, tmp_path).shots[1][0].picture
    assert isinstance(gluing, Folded)
    sight = gluing.seen.sight
    tab = sight.of("tab")
    assert tab is not None and tab.side == "back" and tab.region.area > 0.05 * tab.face.area


def test_what_is_glued_comes_before_what_closes(tmp_path: Path) -> None:
    """A wall is pressed onto its tab in one picture, its lip tucked in in the next."""
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
    gluing, closing = staged(text, tmp_path).shots[-1]
    assert names(gluing.picture) == ["right 90°", "tab"]
    assert isinstance(gluing.picture, Folded)
    assert [hatch.face for hatch in gluing.picture.seen.scene.hatches]
    assert "lip 90°" in names(closing.picture)
    assert closing.words == "Fold the lip in and tuck it behind the front."


def test_no_picture_repeats_what_another_one_of_its_step_says(tmp_path: Path) -> None:
    """Each picture has the words of its own part, where booklet words the step."""
    model = model_of(TUBE, tmp_path)
    steps = planned_steps(model)
    last = set_stage(model, steps).shots[-1]
    assert len(last) > 1
    sentences = [part for shot in last for part in shot.words.split(". ")]
    assert len(sentences) == len(set(sentences))
    assert last[-1].words.endswith("tuck it behind the front.")
    assert "tuck" not in last[0].words


def test_the_makers_words_stand_whole_beside_the_first_picture(tmp_path: Path) -> None:
    """Pictures after it say what they move, and do not tell of the closure once more."""
    said = TUBE + 'say = "Fold both ends in, then the lid with its lip behind the front."\n'
    last = staged(said, tmp_path).shots[-1]
    assert len(last) > 1
    assert last[0].words == ""
    assert all(shot.words.startswith("Fold the ") for shot in last[1:])
    assert not any("tuck" in shot.words for shot in last)


SACK = """
[[piece]]
id = "sack"
stock = "card"
columns = [10, 40, 30, 40, 30]
rows = [60, 15, 15]
map = [
  "tab back left front right",
  ".   low  flap_l cover flap_r ",
  ".   low  .    cover .    ",
]
cuts = ["low|flap_l", "flap_l|cover", "cover|flap_r"]
root = "back"
[[piece.join]]
tab = "tab"
to = "right"
[[piece.join]]
tab = "flap_l"
to = "low"
[[piece.join]]
tab = "flap_r"
to = "low"
[[piece.join]]
tab = "cover"
to = "low"
[[step]]
fold = ["tab", "left", "front", "right"]
join = ["tab"]
[[step]]
fold = ["flap_l", "flap_r", "low", "cover"]
join = ["flap_l", "flap_r", "cover"]
"""


def test_what_ends_under_what_is_covered_itself_comes_first_of_all(tmp_path: Path) -> None:
    """Flaps in, the bottom over them, the cover over the bottom: a picture each, one fold order."""
    model = model_of(SACK, tmp_path)
    steps = planned_steps(model)
    stage = set_stage(model, steps)
    flaps, low, cover = stage.shots[1]
    assert names(flaps.picture) == ["flap 90°"] * 2
    assert "low 90°" in names(low.picture) and "cover 90°" in names(cover.picture)
    assert low.words == "Put adhesive on the flaps. Fold the low onto them and press."
    order = fold_rounds(model.patterns[0], stage.parts(steps))
    assert order[-3:] == [["flap_l", "flap_r"], ["low"], ["cover"]]


def test_a_strip_that_hangs_together_moves_in_one_picture_and_is_named_once(tmp_path: Path) -> None:
    """Its panels hang on others, but the scores between them would tear if one of them waited."""
    text = """
[[piece]]
id = "fan"
stock = "card"
columns = [30, 30, 30, 30, 30]
rows = [60, 20]
map = ["p1 p2 p3 p4 p5", "q1 q2 q3 q4 q5"]
root = "p1"
[piece.folds]
p2 = 180
p3 = -180
p4 = 180
p5 = -180
q1 = 180
q2 = 180
q3 = 180
q4 = 180
q5 = 180
"q1|q2" = -180
"q2|q3" = 180
"q3|q4" = -180
"q4|q5" = 180
[piece.panel]
q1.label = "hem"
q2.label = "hem"
q3.label = "hem"
q4.label = "hem"
q5.label = "hem"
[[step]]
fold = ["q1", "q2", "q3", "q4", "q5"]
[[step]]
fold = ["p2", "p3", "p4", "p5"]
"""
    hem, _ = staged(text, tmp_path).shots
    assert [folds(shot.picture) for shot in hem] == [5]
    assert names(hem[0].picture) == ["hem 180°"]


HEMMED = """
[[piece]]
id = "tray"
stock = "card"
columns = [20, 60, 20]
rows = [12, 20, 40, 20, 12]
map = [". hem_a .", ". back .", "left base right", ". front .", ". hem_b ."]
root = "base"
[piece.folds]
hem_a = 180
hem_b = 180
[[piece.join]]
tab = "hem_a"
to = "back"
[[piece.join]]
tab = "hem_b"
to = "front"
[[closure]]
kind = "ribbon"
on = "tray.front"
"""


def test_a_hem_is_glued_as_soon_as_it_is_folded(tmp_path: Path) -> None:
    """It hangs on the panel that it is glued to: that one need not be folded first."""
    model = model_of(HEMMED, tmp_path)
    steps = planned_steps(model)
    for hem in ("hem_a", "hem_b"):
        (folds,) = (
            n for n, step in enumerate(steps) if ("tray", hem) in step.fold and not step.crease
        )
        (joins,) = (n for n, step in enumerate(steps) if ("tray", hem) in step.join)
        assert folds == joins
    assert steps[-1].text.startswith("Fold the front up. Wrap the ribbon round")


FAN = """
[[piece]]
id = "book"
stock = "card"
columns = [40, 40, 40, 40, 40, 40]
rows = [60]
map = ["p1 p2 p3 p4 p5 p6"]
root = "p1"
[piece.folds]
p2 = 180
p3 = -180
p4 = 180
p5 = -180
p6 = 180
[[step]]
fold = ["p2", "p3", "p4", "p5", "p6"]
"""


def test_a_fan_is_shown_half_closed_in_one_picture(tmp_path: Path) -> None:
    """All its pages are on their way, none lies under another one yet, each with an arrow."""
    model = model_of(FAN, tmp_path)
    stage = stage_of(model)
    ((shot,),) = stage.shots
    assert isinstance(shot.picture, Folded)
    scene = shot.picture.seen.scene
    assert len([one for one in scene.arrows if isinstance(one, FoldArrow)]) == 5
    slopes = [abs(face.normal[2]) for face in scene.faces]
    assert all(slope > 0.5 for slope in slopes)
    assert len({round(face.normal[0], 3) for face in scene.faces}) == 2
    assert is_fan(model.patterns[0], ("p2", "p3", "p4"))
    assert not is_fan(model.patterns[0], ("p2", "p3"))
    assert not is_fan(model.patterns[0], ("p2", "p4", "p6"))


def test_a_roll_is_not_a_fan(tmp_path: Path) -> None:
    """What folds over the same way again ends under what comes later: it is done first."""
    text = FAN.replace("-180", "180").split("[[step]]")[0]
    model = model_of(text, tmp_path, warnings=False)
    assert not is_fan(model.patterns[0], ("p2", "p3", "p4"))


def test_the_finished_piece_is_not_drawn_far_larger_than_its_sheet(tmp_path: Path) -> None:
    """A closed fan alone in its room would fill it: no scale is more than twice the one before."""
    stage = stage_of(model_of(FAN, tmp_path))
    pictures = [stage.shots[0][0].picture, stage.end]
    before, end = step_pictures(pictures, 85.0, [88.0, 88.0], load_faces())
    assert before is not None and end is not None
    page = 60.0 * math.sqrt(2)
    assert max(end.size) < 2.1 * page * before.size[0] / 200.0

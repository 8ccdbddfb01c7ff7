"""Contents in the plan of steps: before the fold that shuts them out, at the end else."""

from __future__ import annotations

from pathlib import Path

from booklet.draw.arrow import FoldArrow, SlideArrow
from booklet.pages.planned import PlannedStep
from booklet.pages.shot import Folded
from booklet.pages.staging import set_stage
from booklet.pages.wording import planned_steps
from tests.folding import model_of, stage_of

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

GLUED_CUBE = """
[[piece]]
id = "cube"
stock = "card"
columns = [22, 8, 30, 8, 22]
rows = [30, 30, 30, 30, 8]
map = [
  ".    a    back  b     .",
  "left left base  right right",
  ".    c    front d     .",
  ".    .    top   .     .",
  ".    .    lip   .     .",
]
cuts = ["a|left", "b|right", "c|left", "d|right"]
root = "base"
[[piece.join]]
tab = "lip"
to = "back"
""" + "".join(
    f"""
[[piece.join]]
tab = "{tab}"
to = "{wall}"
"""
    for tab, wall in (("a", "left"), ("b", "right"), ("c", "left"), ("d", "right"))
)

POUCH = """
[[piece]]
id = "pouch"
stock = "card"
columns = [15, 50, 15]
rows = [20, 60, 60]
map = [". flap .", "left back right", ". front ."]
root = "front"
[piece.folds]
back = 180
left = 180
right = 180
flap = 180
[[piece.join]]
tab = "left"
to = "front"
[[piece.join]]
tab = "right"
to = "front"
"""


def at(steps: tuple[PlannedStep, ...], what: str) -> list[int]:
    """The places of steps that fill, or that join."""
    return [place for place, step in enumerate(steps) if getattr(step, what)]


def test_a_piece_glued_shut_is_filled_before(tmp_path: Path) -> None:
    """The step comes before the fold that leaves no way in, and its picture shows the way."""
    model = model_of(THING + GLUED_CUBE, tmp_path)
    steps = planned_steps(model)
    (fill,) = at(steps, "fill")
    first, last = at(steps, "join")
    assert first < fill < last
    assert steps[fill].text == "Put in the tea bag."
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
    assert steps[1].text.startswith("Put in the tea bag. ")
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


CHEST = """
[[piece]]
id = "chest"
stock = "card"
columns = [30, 40, 30]
rows = [20, 40, 18, 12, 40, 12, 18]
map = [
  ". lip .", ". lid .", ". back .", "ta back tb", "left base right", "tc front td", ". front .",
]
cuts = ["ta|back", "tb|back", "tc|front", "td|front"]
root = "base"
[[piece.join]]
tab = "ta"
to = "back"
[[piece.join]]
tab = "tb"
to = "back"
[[piece.join]]
tab = "tc"
to = "front"
[[piece.join]]
tab = "td"
to = "front"
[[closure]]
kind = "hook_and_loop"
on = "chest.lip"
meets = "chest.front"
size = 9
"""


def test_a_chest_is_glued_before_it_is_filled_and_its_lid_comes_last(tmp_path: Path) -> None:
    """The lid stands open on its back; the cover shows it so, with what lies inside."""
    model = model_of(THING + CHEST, tmp_path)
    steps = planned_steps(model)
    (fill,) = at(steps, "fill")
    assert [name for _, name in steps[-1].fold] == ["lid", "lip"]
    assert max(at(steps, "join")) < fill < len(steps) - 1
    opened = set_stage(model, steps).opened
    assert opened is not None and opened.alt.endswith("open, with its contents.")


def test_a_flat_pouch_is_filled_before_its_flap(tmp_path: Path) -> None:
    """A flap that lies over the mouth of a pocket shuts it."""
    model = model_of('[[contents]]\nid = "slip"\nsize = [30, 40, 1]\n' + POUCH, tmp_path)
    steps = planned_steps(model)
    (fill,) = at(steps, "fill")
    assert steps[fill + 1].fold == (("pouch", "flap"),)
    assert at(steps, "join")[-1] < fill


def test_the_flap_of_an_empty_pouch_says_what_comes_first(tmp_path: Path) -> None:
    """Where the project names no contents."""
    flap = planned_steps(model_of(POUCH, tmp_path))[-1]
    assert flap.text.startswith("If anything is to go inside, put it in first. Fold the flap")


def test_what_a_list_adds_to_a_name_is_not_said_in_a_sentence(tmp_path: Path) -> None:
    """ "Buttons, 18 mm" stand so in the list of what goes inside."""
    text = THING.replace("tea bag", "buttons, 18 mm") + TRAY
    assert planned_steps(model_of(text, tmp_path))[-1].text == "Put in the buttons."


TWO_POCKETS = """
[[contents]]
id = "card"
size = [60, 40, 1]
[[piece]]
id = "wallet"
stock = "card"
columns = [12, 80, 12]
rows = [50, 60, 4, 60, 50]
map = ["ta front_a tb", ". back_a .", ". spine .", ". back_b .", "tc front_b td"]
root = "back_b"
[piece.folds]
front_a = 180
front_b = 180
ta = 180
tb = 180
tc = 180
td = 180
[[piece.join]]
tab = "ta"
to = "back_a"
[[piece.join]]
tab = "tb"
to = "back_a"
[[piece.join]]
tab = "tc"
to = "back_b"
[[piece.join]]
tab = "td"
to = "back_b"
"""


def layers_open(text: str, folder: Path) -> dict[str, int]:
    """The layer of each face in the picture of the open piece."""
    opened = stage_of(model_of(text, folder)).opened
    assert opened is not None
    return {face.id: face.layer for face in opened.seen.scene.faces}


def test_contents_of_a_pocket_lie_between_its_own_layers(tmp_path: Path) -> None:
    """Its tabs glued inside or behind: in a wallet of two the card was drawn on the back."""
    layer = layers_open(TWO_POCKETS, tmp_path)
    assert layer["back_b"] < layer["contents:card"] < layer["front_b"]
    assert layer["back_b"] < layer["tc"] < layer["front_b"]
    behind = "".join(
        f"[[step]]\nfold = {fold}\n"
        for fold in (
            '["front_a", "front_b"]',
            '["ta", "tb", "tc", "td"]',
            '["spine"]',
            '["back_a"]',
        )
    )
    layer = layers_open(TWO_POCKETS + behind, tmp_path)
    assert layer["tc"] < layer["back_b"] < layer["contents:card"] < layer["front_b"]


CURVED_POUCH = """
[[piece]]
id = "pouch"
stock = "card"
outline = '''
M 0 0 Q 31 -16 62 0 Q 93 -16 124 0 L 136 6 V 94 L 124 100 Q 93 116 62 100 Q 31 116 0 100 Z'''
scores = [
  "M 62 0 V 100 M 124 0 V 100",
  "M 0 0 Q 31 16 62 0 M 62 0 Q 93 16 124 0",
  "M 0 100 Q 31 84 62 100 M 62 100 Q 93 84 124 100",
]
root = "front"
folds = { back = 180, tab = 180 }
[piece.panels]
front = [31, 50]
back = [93, 50]
tab = [130, 50]
front_low = [31, 0]
back_low = [93, 0]
front_top = [31, 100]
back_top = [93, 100]
[[piece.join]]
tab = "tab"
to = "front"
"""


def test_a_pouch_is_filled_before_its_ends_are_folded_along_curves(tmp_path: Path) -> None:
    """Once they are, bent paper shuts both ends; before, its layers lie flat and open."""
    model = model_of(THING + CURVED_POUCH, tmp_path, warnings=False)
    steps = planned_steps(model)
    (fill,) = at(steps, "fill")
    (join,) = at(steps, "join")
    flaps = [n for n, s in enumerate(steps) if not s.crease and ("pouch", "front_low") in s.fold]
    assert join < fill < flaps[0]
    picture = set_stage(model, steps).steps[fill]
    assert isinstance(picture, Folded)
    (arrow,) = picture.seen.scene.arrows
    assert isinstance(arrow, SlideArrow)
    assert arrow.start[1] > 100, "it lies before an end that is still open, not on the pouch"


def test_a_bent_piece_that_stays_open_is_filled_at_the_end(tmp_path: Path) -> None:
    """Without flaps at one end what goes in still does when all is folded."""
    open_top = (
        CURVED_POUCH.replace("Q 93 116 62 100 Q 31 116 0 100 Z", "H 0 Z")
        .replace('  "M 0 100 Q 31 84 62 100 M 62 100 Q 93 84 124 100",\n', "")
        .replace("front_top = [31, 100]\nback_top = [93, 100]\n", "")
    )
    steps = planned_steps(model_of(THING + open_top, tmp_path, warnings=False))
    assert at(steps, "fill") == [len(steps) - 1]


FOLDER = (
    TWO_POCKETS.replace("size = [60, 40, 1]", "size = [60, 40, 0.3]")
    .replace("front_a = 180", "spine = 90\nback_a = 90\nfront_a = 180")
    .replace('id = "wallet"', 'id = "folder"')
)


def test_pockets_of_a_folder_are_glued_and_filled_while_it_lies_open(tmp_path: Path) -> None:
    """Shut first, glue would go in behind a cover, and cards through the spine."""
    steps = planned_steps(model_of(FOLDER, tmp_path))
    (fill,) = at(steps, "fill")
    shuts = [n for n, s in enumerate(steps) if not s.crease and ("folder", "spine") in s.fold]
    assert max(at(steps, "join")) < fill < shuts[0]
    assert [name for step in steps[fill + 1 :] for _, name in step.fold] == ["spine", "back_a"]
    told = [step.text for step in steps if step.join]
    assert len(told) == 2
    assert all(text.startswith("Put adhesive on the t") for text in told)


def test_what_opens_away_from_its_spine_is_filled_last(tmp_path: Path) -> None:
    """A spine that is folded to the other side of the pocket bars nothing."""
    away = FOLDER.replace("spine = 90\nback_a = 90", "spine = -90\nback_a = -90")
    steps = planned_steps(model_of(away, tmp_path, warnings=False))
    assert at(steps, "fill") == [len(steps) - 1]

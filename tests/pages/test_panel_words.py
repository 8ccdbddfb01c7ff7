"""Panels in words: places as the reader sees them, and folds in the order of what carries what."""

from __future__ import annotations

from pathlib import Path

import pytest

from booklet.draw.mark import Label
from booklet.draw.template import panel_labels
from booklet.draw.typeface import load_faces
from booklet.pages.panel_words import fold_sentence, labels, lowered, plural, the
from booklet.pages.shot import Folded
from booklet.pages.staging import set_stage
from booklet.pages.wording import planned_steps
from booklet.stages import Model, check_file
from tests.folding import model_of

TRAY = """
[[piece]]
id = "tray"
name = "Tray"
stock = "card"
columns = ["5", "15", "40", "15", "5"]
rows = ["20", "30", "20"]
map = [
  ".      tab_a back  tab_b .      ",
  "in_l   left  base  right in_r   ",
  ".      tab_c front tab_d .      ",
]
cuts = ["tab_a|left", "tab_b|right", "tab_c|left", "tab_d|right"]
root = "base"
[piece.panel]
tab_a.label = "tab"
tab_b.label = "tab"
tab_c.label = "tab"
tab_d.label = "tab"
in_l.label = "return"
in_r.label = "return"
left.label = "side"
right.label = "side"
"""


@pytest.fixture
def model(tmp_path: Path) -> Model:
    """A tray whose panels share labels."""
    return model_of(TRAY, tmp_path)


@pytest.mark.parametrize(
    ("names", "words"),
    [
        (("tab_a", "tab_b", "tab_c", "tab_d"), "tabs"),
        (("tab_a", "tab_c"), "left tabs"),
        (("tab_c", "tab_d"), "bottom tabs"),
        (("tab_b",), "top right tab"),
        (("left", "right"), "sides"),
        (("left", "back"), "left side and back"),
    ],
)
def test_a_label_that_several_have_gets_its_place(
    model: Model, names: tuple[str, ...], words: str
) -> None:
    """All of them are a plural; some of them are told by where they lie."""
    assert labels(model, [("tray", name) for name in names]) == words


def test_turned_over_left_is_right(model: Model) -> None:
    """Work that is turned over sideways swaps left and right, and keeps top and bottom."""
    assert labels(model, [("tray", "tab_a")], turned=True) == "top right tab"
    assert labels(model, [("tray", "left")], turned=True) == "right side"


def test_what_is_carried_comes_after_what_carries_it(model: Model) -> None:
    """Walls first, then what hangs on them, whatever order the step names them in."""
    folds = [("tray", name) for name in ("in_l", "in_r", "left", "right")]
    sentence = "Fold the sides up to 90°, then turn the returns in to 90°."
    assert fold_sentence(folds, model) == sentence
    turned = fold_sentence([("tray", "left"), ("tray", "right")], model, turned=True)
    assert turned == "Fold the sides back to 90°."


FAN = """
[[piece]]
id = "fan"
stock = "card"
columns = ["20", "20", "20", "20", "20"]
rows = ["30"]
map = ["p1 p2 p3 p4 p5"]
root = "p1"
[piece.panel]
p1.label = "cover"
p2.label = "page 2"
p3.label = "page 3"
p4.label = "page 4"
p5.label = "page 5"
"""


@pytest.mark.parametrize(
    ("names", "words"),
    [
        ("p5", "page 5"),
        ("p4 p2", "pages 2 and 4"),
        ("p5 p4 p3 p2", "pages 2 to 5"),
        ("p2 p3 p5", "pages 2, 3 and 5"),
        ("p5 p1 p2", "the cover and pages 2 and 5"),
        ("p1", "the cover"),
    ],
)
def test_numbered_panels_are_told_as_people_count_them(
    names: str, words: str, tmp_path: Path
) -> None:
    """In their order, one word for all, and without an article: "page 5", not "the page 5"."""
    panels = [("fan", name) for name in names.split()]
    assert the(labels(model_of(FAN, tmp_path), panels)) == words


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ("tab a and tab b", "tab a and tab b"),
        ("tab a", "tab a"),
        ("left panel and tab a", "the left panel and tab a"),
        ("flap l", "the flap l"),
        ("panel l", "panel l"),
    ],
)
def test_a_list_of_letters_has_no_article(words: str, told: str) -> None:
    """ "Tab a" is one of several as "tab 1" is; an l or r tells a side."""
    assert the(words) == told


def test_glue_is_told_before_what_closes_over_it(tmp_path: Path) -> None:
    """A hem that is folded and joined in one step takes its adhesive first."""
    text = """
[[piece]]
id = "mount"
stock = "card"
columns = ["40"]
rows = ["8", "30"]
map = ["hem", "face"]
folds = { hem = 180 }
[[piece.join]]
tab = "hem"
to = "face"
[[step]]
fold = ["hem"]
join = ["hem"]
[[step]]
turn = "over"
"""
    join, turn = planned_steps(model_of(text, tmp_path))
    assert join.title == "Join the face"
    assert join.text == "Put adhesive on the hem. Fold it onto the face and press."
    assert (turn.title, turn.text) == ("Turn it over", "Turn the piece over, outside up.")


def test_no_step_is_without_words(demo: Path) -> None:
    """Every step of every demo has a title and a text."""
    model, _ = check_file(demo)
    assert model is not None
    for step in planned_steps(model):
        assert step.title
        assert step.text.endswith((".", "!"))


def test_plurals() -> None:
    """English endings."""
    words = ("flap", "side panel", "box", "bay", "ply", "hatch")
    assert [plural(word) for word in words] == [
        "flaps", "side panels", "boxes", "bays", "plies", "hatches",
    ]  # fmt: skip


def test_numbered_panels_are_listed_by_their_numbers(tmp_path: Path) -> None:
    """Four in a row have no places of their own: some of them are "flaps 1, 2 and 4"."""
    text = """
[[piece]]
id = "band"
stock = "card"
columns = ["20", "20", "20", "20"]
rows = ["20", "40"]
map = ["a b c d", "e e e e"]
cuts = ["a|b", "b|c", "c|d"]
root = "e"
[piece.panel]
""" + "".join(f'{name}.label = "flap"\n' for name in "abcd")
    model = model_of(text, tmp_path)
    assert labels(model, [("band", name) for name in "dab"]) == "flaps 1, 2 and 4"
    assert labels(model, [("band", "c")]) == "flap 3"
    assert labels(model, [("band", "a"), ("band", "b")]) == "left flaps"
    assert labels(model, [("band", name) for name in "abcd"]) == "flaps"


def test_panels_without_a_place_in_common_are_named_one_by_one(model: Model) -> None:
    """Two tabs across the corners are no "tabs": those would be all four."""
    tabs = [("tray", "tab_a"), ("tray", "tab_d")]
    assert labels(model, tabs) == "top left and bottom right tabs"


TABS = """
[[step]]
fold = ["tab_a"]
[[step]]
fold = ["tab_b", "tab_c", "tab_d", "back", "front"]
[[step]]
fold = ["left", "right", "in_l", "in_r"]
"""


def test_template_words_and_pictures_call_a_panel_by_one_name(tmp_path: Path) -> None:
    """A step that moves some of the tabs tells them apart; one that moves all sides need not."""
    model = model_of(TRAY + TABS, tmp_path)
    steps = planned_steps(model)
    (pattern,) = model.patterns
    printed = {
        mark.text
        for mark in panel_labels(pattern, [], model.printer, load_faces())
        if isinstance(mark, Label)
    }
    called = [
        {
            name.text.rpartition(" ")[0]
            for shot in shots
            if isinstance(shot.picture, Folded)
            for name in shot.picture.seen.scene.names
        }
        for shots in set_stage(model, steps).shots
    ]
    assert called[0] == {"top left tab"}
    assert {"top right tab", "bottom left tab", "bottom right tab"} <= called[1]
    assert called[2] == {"side", "return"}
    assert "top left tab" in steps[0].text
    assert "the sides" in steps[2].text
    assert {"left side", "right return"} <= printed


GLUED = """
[[piece]]
id = "folder"
stock = "card"
columns = [60, 60, 10]
rows = [60]
map = ["back front tab"]
root = "back"
[piece.folds]
front = 180
tab = 180
[[piece.join]]
tab = "tab"
to = "back"
[[mat]]
id = "mat"
on = "back"
stock = "card"
reveal = 4
[[supply]]
id = "dots"
name = "Hook-and-loop dots"
kind = "adhesive"
amount = 2
[[supply]]
id = "glue"
name = "Craft glue, clear"
kind = "adhesive"
amount = "auto"
"""


def test_the_adhesive_that_is_reckoned_is_the_one_that_is_told(tmp_path: Path) -> None:
    """A join that names none takes the usual one; dots that close stick nothing else."""
    texts = [step.text for step in planned_steps(model_of(GLUED, tmp_path))]
    assert any("Put craft glue on the tab." in text for text in texts)


def test_a_mat_is_cut_before_it_is_glued_on(tmp_path: Path) -> None:
    """What shows round it is called by no panel's name."""
    (text,) = [step.text for step in planned_steps(model_of(GLUED, tmp_path)) if step.attach]
    assert text.startswith("Cut the mat. Turn the piece over, outside up. Glue the mat onto the")
    assert text.endswith("of the card left all round.")


def test_panels_with_letters_are_listed_by_them(tmp_path: Path) -> None:
    """As those with numbers are: "tabs a to d" fit a title."""
    text = FAN
    for number in range(2, 6):
        text = text.replace(f'"page {number}"', f'"tab {"xxabcd"[number]}"')
    model = model_of(text, tmp_path)
    assert the(labels(model, [("fan", name) for name in ("p2", "p3", "p5")])) == "tabs a, b and d"
    assert the(labels(model, [("fan", f"p{n}") for n in range(2, 6)])) == "tabs a to d"
    assert plural("front foot") == "front feet"


@pytest.mark.parametrize(
    ("name", "words"),
    [("Lid", "lid"), ("Flat pebbles", "flat pebbles"), ("LED", "LED"), ("A", "A")],
)
def test_names_begin_small_within_a_sentence(name: str, words: str) -> None:
    """As those of pieces and supplies do; abbreviations keep their capitals."""
    assert lowered(name) == words


def test_a_label_with_a_capital_is_small_in_steps(tmp_path: Path) -> None:
    """The template shows it as written."""
    capital = model_of(TRAY.replace('"side"', '"Side"'), tmp_path)
    folds = [("tray", "left"), ("tray", "right")]
    assert fold_sentence(folds, capital) == "Fold the sides up to 90°."
    assert capital.patterns[0].panel("left").label == "Side"


@pytest.mark.parametrize(
    ("names", "told"),
    [
        ("left_tab right_tab", "left and right tabs"),
        ("front_wall lid back_wall", "front and back walls and lid"),
        ("tab left_tab", "tab and left tab"),
        ("left_wings right_wings", "left wings and right wings"),
        ("left right lid", "left and right panels and lid"),
        ("top_left_flap top_right_flap top", "top left and top right flaps and top"),
        ("east west lid", "east and west panels and lid"),
        ("north", "north panel"),
        ("b", "panel b"),
        ("b c lid", "lid and panels b and c"),
    ],
)
def test_panels_that_only_their_side_tells_apart_share_a_noun(
    tmp_path: Path, names: str, told: str
) -> None:
    """ "The left tab and right tab" is nobody's English; a plural is left as it is."""
    listed = names.split()
    own = "\n".join(f'[piece.panel.{n}]\nlabel = "{n.replace("_", " ")}"' for n in listed)
    text = f"""
[[piece]]
id = "row"
stock = "card"
columns = {["20"] * (len(listed) + 1)}
rows = [30]
map = ["base {names}"]
root = "base"
{own}
"""
    model = model_of(text, tmp_path)
    assert labels(model, [("row", name) for name in listed]) == told

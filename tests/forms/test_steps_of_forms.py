"""Steps of forms in a project of several pieces: each begins with its own blank."""

from __future__ import annotations

from pathlib import Path

from booklet.draw.arrow import SlideArrow
from booklet.pages.shot import Flat, Folded
from booklet.pages.staging import set_stage
from booklet.pages.wording import planned_steps
from tests.folding import model_of

TAG = """
[[piece]]
id = "tag"
name = "Name tag"
form = "tag"
inside = [40, 80, 0]
stock = "card"
"""
TRAY = """
[[piece]]
id = "tray"
form = "tray"
inside = [80, 60, 25]
stock = "card"
"""
BAND = """
[[piece]]
id = "band"
form = "wrap_band"
inside = [84, 30, 30]
stock = "card"
"""
LONGER = """
[measures]
long = 60
[[piece]]
id = "tag"
form = "tag"
inside = [40, "long", 0]
stock = "card"
[[size]]
id = "longer"
name = "Longer"
measures = { long = 80 }
"""


def test_a_form_without_steps_beside_one_with_them_gets_its_own(tmp_path: Path) -> None:
    """A tray beside a tag is scored, folded and joined before the tag is cut."""
    model = model_of(TRAY + TAG, tmp_path)
    steps = planned_steps(model)
    tray = [step for step in steps if step.piece == "tray"]
    assert {name for step in tray if not step.crease for _, name in step.fold} == {
        hinge.panel for hinge in model.patterns[0].hinges
    }
    assert next(step.title for step in steps if step.piece == "tag") == "Cut the name tag"


def test_each_form_begins_with_the_picture_of_its_own_blank(tmp_path: Path) -> None:
    """Words, title and picture are of one piece, whatever was made before it."""
    model = model_of(TAG + BAND, tmp_path)
    steps = planned_steps(model)
    first = [at for at, step in enumerate(steps) if step.title.startswith("Cut the ")]
    assert [steps[at].title for at in first] == ["Cut the name tag", "Cut the band"]
    shots = set_stage(model, steps).steps
    for at, pattern in zip(first, model.patterns, strict=True):
        picture = shots[at]
        assert isinstance(picture, Flat) and picture.pattern.id == pattern.id
        assert model.printer.size(pattern.blank) in steps[at].text


def test_the_blank_of_each_size_is_told_whole(tmp_path: Path) -> None:
    """Not all widths and then all heights."""
    model = model_of(LONGER, tmp_path)
    blanks = [one.printer.size(one.patterns[0].blank) for one in model.sizes]
    sizes = [f"{name} {blank}" for name, blank in zip(("Regular", "Longer"), blanks, strict=True)]
    assert planned_steps(model)[0].text == f"Cut a blank from Card: {', '.join(sizes)}."


def test_a_form_alone_keeps_its_words(tmp_path: Path) -> None:
    """The only piece is the one that is meant."""
    assert planned_steps(model_of(TAG, tmp_path))[0].title == "Cut the blank"


NESTED = """
[[piece]]
id = "box"
form = "tuck_carton"
inside = [60, 90, 25]
stock = "card"
[[piece]]
id = "band"
form = "wrap_band"
inside = [62, 30, 27]
stock = "card"
[[nest]]
inner = "box"
outer = "band"
ease = "0.5"
"""


def test_a_band_is_pictured_on_its_way_round_what_lies_in_it(tmp_path: Path) -> None:
    """Its form has the step, the project says what it goes round."""
    model = model_of(NESTED, tmp_path)
    steps = planned_steps(model)
    assert (steps[-1].title, steps[-1].nest) == ("Put it on", "box")
    picture = set_stage(model, steps).steps[-1]
    assert isinstance(picture, Folded)
    assert [type(arrow) for arrow in picture.seen.scene.arrows] == [SlideArrow]

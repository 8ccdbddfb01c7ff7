"""Closures that a maker adds to a form: its steps know nothing of them, the booklet tells them."""

from __future__ import annotations

from pathlib import Path

import pytest

from booklet.draw.typeface import load_faces
from booklet.pages.flow import Composer
from booklet.pages.grid import PAPERS
from booklet.pages.page import Line
from booklet.pages.staging import set_stage
from booklet.pages.steps import set_steps
from booklet.pages.wording import planned_steps
from booklet.stages import Model
from tests.folding import model_of

ENVELOPE = """
[[piece]]
id = "post"
name = "Envelope"
form = "envelope"
inside = [100, 70, 1]
stock = "card"
[[closure]]
kind = "{kind}"
on = "post.flap"
"""
SHUT = {
    "hook_and_loop": "Stick one half of the dot under the flap and the other half on the pocket, "
    "where the two meet.",
    "magnet": "Glue one magnet under the flap and its partner on the pocket. Try first which sides "
    "draw together.",
    "tuck": "Tuck the flap behind the pocket.",
    "ribbon": "Wrap the ribbon round and tie a bow.",
    "belly_band": "Slide the band over.",
}


def envelope(kind: str, folder: Path) -> Model:
    """An envelope with a closure, and the panel that it meets if it holds two together."""
    meets = "" if kind in ("ribbon", "belly_band") else 'meets = "post.pocket"\n'
    return model_of(ENVELOPE.format(kind=kind) + meets, folder)


@pytest.mark.parametrize("kind", SHUT)
def test_a_closure_that_no_step_of_a_form_knows_gets_a_step_at_the_end(
    kind: str, tmp_path: Path
) -> None:
    """The flap is folded by then: the step shuts it, and says nothing of folding."""
    model = envelope(kind, tmp_path)
    steps = planned_steps(model)
    assert (steps[-1].title, steps[-1].text) == ("Close it", SHUT[kind])
    assert steps[-1].fold == () and [step.title for step in steps].count("Close it") == 1
    assert len(set_stage(model, steps).shots) == len(steps)


def test_buttons_go_onto_a_form_while_it_is_flat(tmp_path: Path) -> None:
    """Before its first fold; the piece is turned over for them and then back again."""
    steps = planned_steps(envelope("button", tmp_path))
    titles = [step.title for step in steps]
    at = titles.index("Fix the buttons")
    assert titles[at - 1 : at + 2] == [
        "Fold, burnish, open again",
        "Fix the buttons",
        "Fold the tabs over",
    ]
    assert steps[at + 1].text.startswith("Turn the piece over again, inside up. Fold both tabs")
    assert steps[-1].text.startswith("Wind the string in a figure eight round the button on the")


def test_a_closure_that_a_form_brings_has_no_second_step(tmp_path: Path) -> None:
    """A carton tucks its lips in its own steps."""
    text = '[[piece]]\nid = "box"\nform = "tuck_carton"\ninside = [60, 90, 30]\nstock = "card"\n'
    model = model_of(text, tmp_path)
    assert "Close it" not in [step.title for step in planned_steps(model)]


def test_what_closes_without_a_fold_is_not_called_by_its_panel(tmp_path: Path) -> None:
    """A ribbon sits on a panel and shuts them all: "Close it", not "Close the base"."""
    text = """
[[piece]]
id = "box"
stock = "card"
columns = [20, 40, 20]
rows = [20, 30, 20]
map = [". back .", "left base right", ". front ."]
root = "base"
[[closure]]
kind = "ribbon"
on = "base"
[[step]]
fold = ["back", "front", "left"]
[[step]]
close = ["right"]
[[step]]
close = ["base"]
"""
    _, wall, ribbon = planned_steps(model_of(text, tmp_path))
    assert (wall.title, ribbon.title) == ("Close the right panel", "Close it")


def test_the_end_is_not_shown_twice(tmp_path: Path) -> None:
    """Where nothing moves in the last picture it is that of the finished piece, and says so."""
    for kind, twice in (("magnet", False), ("button", True), ("ribbon", True), ("", True)):
        model = envelope(kind, tmp_path) if kind else model_of(ENVELOPE.split("[[c")[0], tmp_path)
        # Magnets have no way of their own: their step shows the end.
        steps = planned_steps(model)
        sheet = Composer(PAPERS["a4"], load_faces(), "Steps")
        set_steps(set_stage(model, steps), steps, sheet)
        inks = [ink for page in sheet.pages() for one in page.elements for ink in one.inks]
        lines = [ink.text for ink in inks if isinstance(ink, Line)]
        assert ("Done" in lines) == twice
        assert "This is the finished envelope." in " ".join(lines)

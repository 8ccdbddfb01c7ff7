"""What keeps a piece shut is drawn where it is, and seen only where nothing lies over it."""

from __future__ import annotations

from pathlib import Path

import pytest
from shapely.geometry import Polygon, box

from booklet.draw.diagram import step_diagram
from booklet.draw.label import CAP, LABEL
from booklet.draw.mark import Area, Label
from booklet.draw.panel_name import points_of
from booklet.draw.typeface import load_faces
from booklet.pages.shot import Flat, Folded, Stage
from booklet.pages.wording import planned_steps
from tests.folding import FOLDER, model_in, model_of, stage_of, started

FASTENED = (
    FOLDER
    + """[[closure]]
kind = "{kind}"
on = "flap"
{more}
"""
)
MEETS = 'meets = "front"\nsize = 8'


def staged(text: str, folder: Path) -> Stage:
    """The pictures of a project in mm."""
    return stage_of(model_of(text, folder))


def seen(picture: object, kind: str) -> list[float]:
    """Visible areas of what is fixed or wrapped on, in mm² as seen."""
    assert isinstance(picture, Folded)
    faces = picture.seen.sight.seen
    return [one.region.area for one in faces if one.face.id.startswith(kind)]


@pytest.mark.parametrize("kind", ["hook_and_loop", "magnet"])
def test_a_dot_is_seen_only_while_the_flap_is_open(kind: str, tmp_path: Path) -> None:
    """Both halves show in the step that puts them on, by name; shut, the flap lies over them."""
    stage = staged(FASTENED.format(kind=kind, more=MEETS), tmp_path)
    closing = stage.steps[-1]
    assert min(seen(closing, "fixed")) > 5.0
    assert isinstance(closing, Folded)
    names = [name.text for name in closing.seen.scene.names]
    assert names.count("dot" if kind == "hook_and_loop" else "magnet") == 2
    assert max(seen(stage.finished[0], "fixed")) < 0.1
    assert not seen(stage.steps[-2], "fixed")
    word = "dot" if kind == "hook_and_loop" else "magnet"
    assert f"A {word} is drawn on the inside of the flap." in closing.alt
    assert f"A {word} is drawn on the outside of the front." in closing.alt


def winding_shot(stage: Stage) -> tuple[Folded, str]:
    """The last picture of the last step, with its words."""
    shot = stage.shots[-1][-1]
    assert isinstance(shot.picture, Folded)
    return shot.picture, shot.words


@pytest.mark.parametrize(
    ("kind", "words", "arrows"),
    [
        ("ribbon", "Wrap the ribbon round and tie a bow.", 2),
        ("tie", "Wrap the tie round and knot it.", 2),
        ("belly_band", "Slide the band over.", 1),
        ("button", "Lead the string once round and wind it round the button.", 1),
    ],
)
def test_what_goes_round_has_a_picture_of_its_own(
    kind: str, words: str, arrows: int, tmp_path: Path
) -> None:
    """After the flap is down: nothing is wrapped while that still moves."""
    stage = staged(FASTENED.format(kind=kind, more=""), tmp_path)
    fold, wind = stage.shots[-1]
    assert fold.words == "Fold the flap over." and wind.words == words
    assert isinstance(fold.picture, Folded) and fold.picture.seen.scene.ghosts
    assert not seen(fold.picture, "wrap")
    picture, _ = winding_shot(stage)
    assert sum(seen(picture, "wrap")) > 10.0
    assert len(picture.seen.scene.arrows) == arrows and not picture.seen.scene.ghosts
    (name,) = picture.seen.scene.names
    assert name.text in words and name.face.startswith("wrap:")
    assert name.text in picture.alt and "arrow" in picture.alt
    assert sum(seen(stage.finished[0], "wrap")) > 10.0
    assert stage.opened is None or not seen(stage.opened, "wrap")
    # The fold order knows nothing of it.
    assert fold.part is not None and wind.part is None


def test_a_ribbon_is_told_on_the_shut_piece(tmp_path: Path) -> None:
    """With its bow, for those who cannot see it."""
    stage = staged(FASTENED.format(kind="ribbon", more=""), tmp_path)
    assert sum(seen(stage.finished[0], "wrap")) > 100.0
    assert stage.finished[0].alt.endswith("It is shut with a ribbon and a bow.")


def test_words_of_the_maker_stay_whole_beside_the_fold(tmp_path: Path) -> None:
    """What is wound round is told once more beside its own picture."""
    steps = """
[[step]]
title = "Make it"
fold = ["front"]
[[step]]
title = "Shut it"
say = "Fold the flap over and tie it with love."
fold = ["flap"]
close = ["flap"]
"""
    stage = staged(FASTENED.format(kind="ribbon", more="") + steps, tmp_path)
    fold, wind = stage.shots[-1]
    assert fold.words == ""
    assert wind.words == "Wrap the ribbon round and tie a bow."


def test_a_step_that_only_ties_has_one_picture(tmp_path: Path) -> None:
    """The flap was folded before: the step shows the ribbon on its way."""
    steps = """
[[step]]
fold = ["front"]
[[step]]
fold = ["flap"]
[[step]]
close = ["flap"]
"""
    stage = staged(FASTENED.format(kind="ribbon", more="") + steps, tmp_path)
    assert [len(shots) for shots in stage.shots] == [1, 1, 1]
    picture, _ = winding_shot(stage)
    assert len(picture.seen.scene.arrows) == 2
    assert sum(seen(stage.finished[0], "wrap")) > 100.0


def test_a_dot_and_a_ribbon_on_one_flap_have_their_words_each(tmp_path: Path) -> None:
    """The dot with the fold, as it is stuck on before; the ribbon after it."""
    text = FASTENED.format(kind="hook_and_loop", more=MEETS)
    steps = """
[[closure]]
kind = "ribbon"
on = "flap"
[[step]]
fold = ["front"]
[[step]]
fold = ["flap"]
close = ["flap"]
"""
    fold, wind = staged(text + steps, tmp_path).shots[-1]
    assert fold.words.startswith("Fold the flap over. Stick one half of the dot under it")
    assert "ribbon" not in fold.words
    assert wind.words == "Wrap the ribbon round and tie a bow."


def test_buttons_are_drawn_where_they_are_fixed_and_stay_on(tmp_path: Path) -> None:
    """On the flat outside first, then on the shut piece."""
    stage = staged(FASTENED.format(kind="button", more=MEETS), tmp_path)
    (fixing,) = [one for one in stage.steps if isinstance(one, Flat) and one.show.discs]
    assert fixing.show.back and len(fixing.show.discs) == 2
    assert min(seen(stage.finished[0], "fixed")) > 5.0


def test_a_ribbon_goes_round_lid_and_tray_and_comes_off_to_open_them(tmp_path: Path) -> None:
    """On the picture of both put together, and not where the lid is lifted off."""
    path = tmp_path / "new.toml"
    started(tmp_path, "--form", "tray_with_lid", "--inside", "90x60x25mm")
    closure = '\n[[closure]]\nkind = "ribbon"\non = "lid.roof"\n'
    path.write_text(path.read_text("utf-8") + closure, "utf-8")
    stage = stage_of(model_in(path))
    together = stage.finished[0].seen.sight.seen
    heights = [
        z for one in together if one.face.id.startswith("lid/wrap") for _, _, z in one.face.points
    ]
    # The lid is some 14 mm deep: what goes round the tray as well is higher.
    assert max(heights) - min(heights) > 20.0
    # On its way it goes round both as well.
    picture, _ = winding_shot(stage)
    going = [z for f in picture.seen.scene.faces if "/wrap" in f.id for _, _, z in f.points]
    assert max(going) - min(going) > 30.0 and len(picture.seen.scene.arrows) == 2
    assert {face.id.partition("/")[0] for face in picture.seen.scene.faces} == {"tray", "lid"}
    assert stage.opened is not None
    assert not [one for one in stage.opened.seen.sight.seen if "/wrap" in one.face.id]


def test_a_sleeve_is_shut_before_its_drawer_and_its_band_come(tmp_path: Path) -> None:
    """The band keeps no panel of the sleeve shut: it goes round both."""
    path = tmp_path / "new.toml"
    started(tmp_path, "--form", "sleeve_and_drawer", "--inside", "60x90x25mm")
    closure = '\n[[closure]]\nkind = "belly_band"\non = "sleeve.top"\n'
    path.write_text(path.read_text("utf-8") + closure, "utf-8")
    steps = planned_steps(model_in(path))
    told = [step.title for step in steps]
    assert told[-2:] == ["Put it together", "Close it"]
    assert ("sleeve", "top") in [panel for step in steps[:-2] for panel in step.fold]
    assert steps[-1].text == "Slide the band over." and not steps[-1].fold


def test_words_on_a_flat_panel_keep_off_its_button(tmp_path: Path) -> None:
    """The name of the panel stands beside the disc."""
    stage = staged(FASTENED.format(kind="button", more=MEETS), tmp_path)
    (fixing,) = [one for one in stage.steps if isinstance(one, Flat) and one.show.discs]
    faces = load_faces()
    drawing = step_diagram(fixing.pattern, 1.0, fixing.show, True, faces, "")
    discs = [m for m in drawing.marks if isinstance(m, Area) and m.fill == "shade4"]
    words = [m for m in drawing.marks if isinstance(m, Label)]
    assert len(discs) == 2 and words
    for disc in discs:
        for label in words:
            half = faces.width(label.text, LABEL) / 2
            room = box(label.at[0] - half, label.at[1], label.at[0] + half, label.at[1] + CAP)
            assert not Polygon(points_of(disc.path)).convex_hull.intersects(room)

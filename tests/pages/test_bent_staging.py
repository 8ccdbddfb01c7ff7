"""Flaps that fold along curves: each has its arrow, is seen, and is not taken for small."""

from __future__ import annotations

from pathlib import Path

import pytest

from booklet.draw.arrow import FoldArrow
from booklet.draw.mark import Label
from booklet.draw.solid import noted
from booklet.draw.typeface import load_faces
from booklet.fold.bend import curved_panels
from booklet.pages.shot import Folded
from booklet.pages.staging import set_stage
from booklet.pages.step_picture import step_pictures
from booklet.pages.wording import planned_steps
from booklet.stages import Model
from tests.folding import stage_of, started


@pytest.fixture
def pouch(tmp_path: Path) -> Model:
    """A new pouch with two flaps along curves at each end."""
    return started(tmp_path, "--form", "pillow_pouch", "--holds", "id-1 card x 5")


def flaps(model: Model) -> list[tuple[str, Folded]]:
    """Each flap with the picture that folds it."""
    (pattern,) = model.patterns
    along_curves = {
        hinge.panel for hinge in pattern.hinges if pattern.scores[hinge.score].curve is not None
    }
    stage = stage_of(model)
    pictures = [shot.picture for shots in stage.shots for shot in shots]
    found = []
    for picture in pictures:
        if isinstance(picture, Folded):
            found += [(name, picture) for name in picture.moving if name in along_curves]
    assert along_curves <= curved_panels(pattern)
    assert {name for name, _ in found} == along_curves
    return found


def test_every_flap_has_an_arrow_that_starts_on_it(pouch: Model) -> None:
    """A flap bowed as much as its edge has its middle on the chord: the way is about the curve."""
    faces = load_faces()
    for name, picture in flaps(pouch):
        arrows = [one for one in picture.seen.scene.arrows if isinstance(one, FoldArrow)]
        assert len(noted(picture.seen, 0.5, faces).arrows) == len(arrows) == 1, name


def test_every_flap_is_seen_in_its_own_picture(pouch: Model) -> None:
    """Paper that bows hides what lies behind it: the reader then stands behind the work."""
    for name, picture in flaps(pouch):
        parts = [one for one in picture.seen.sight.seen if one.face.id.partition("~")[0] == name]
        seen = sum(one.region.area for one in parts) / sum(one.face.area for one in parts)
        assert seen > 0.15, name


def test_a_change_to_the_back_of_the_work_and_back_is_told(pouch: Model) -> None:
    """Under the picture, and for those who cannot see it."""
    stage = set_stage(pouch, planned_steps(pouch))
    pictures = [shot.picture for shots in stage.shots for shot in shots]
    behind = [isinstance(p, Folded) and p.seen.sight.view.toward[1] > 0 for p in pictures]
    assert any(behind) and not behind[0]
    drawings = step_pictures(pictures, 84.0, [80.0] * len(pictures), load_faces())
    for number, drawing in enumerate(drawings[1:], 1):
        assert drawing is not None
        words = [mark.text for mark in drawing.marks if isinstance(mark, Label)]
        told = any("seen from behind" in one for one in words)
        assert told == (behind[number] and not behind[number - 1])
        assert ("een from behind" in drawing.alt) == told


def test_a_bent_flap_is_as_large_as_its_strips_together(pouch: Model) -> None:
    """A strip of it is narrow, the flap is not: nothing has to be shown larger."""
    pictures = [picture for _, picture in flaps(pouch)]
    drawings = step_pictures(pictures, 120.0, [160.0] * len(pictures), load_faces())
    assert not any("A circle shows" in one.alt for one in drawings if one is not None)


def test_a_flap_was_where_its_bent_panel_goes_on(pouch: Model) -> None:
    """The outline of the position before lies off the chord of the score by the panel's bow."""
    for name, picture in flaps(pouch):
        ghosts = picture.seen.scene.ghosts
        parent = name.partition("_")[0]
        strips = [f for f in picture.seen.scene.faces if f.id.partition("~")[0] == parent]
        bowed = [z for strip in strips for _, _, z in strip.points]
        heights = [z for ghost in ghosts for _, _, z in ghost.loop]
        assert min(heights) == pytest.approx(min(bowed), abs=0.2), name
        assert max(heights) == pytest.approx(max(bowed), abs=0.2), name
        assert max(bowed) - min(bowed) > 2.0, name


def test_a_side_that_is_joined_stays_joined_while_flaps_fold(pouch: Model) -> None:
    """Front and back bend at once and alike: a flat back would reach past a front that bows."""
    for name, picture in flaps(pouch):
        spans = []
        for panel in ("front", "back"):
            strips = [f for f in picture.seen.scene.faces if f.id.partition("~")[0] == panel]
            assert len(strips) > 1, name
            xs = [x for strip in strips for x, _, _ in strip.points]
            spans.append((min(xs), max(xs)))
        assert spans[0] == pytest.approx(spans[1], abs=0.4), name

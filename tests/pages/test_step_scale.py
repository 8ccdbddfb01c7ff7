"""The scales of step pictures: one for folded work, or a second one for what is shut and small."""

from __future__ import annotations

from pathlib import Path

from booklet.draw.folded import extent
from booklet.draw.mark import Label
from booklet.draw.typeface import load_faces
from booklet.pages.flow import Composer
from booklet.pages.grid import PAPERS
from booklet.pages.page import Picture
from booklet.pages.shot import Folded, Stage
from booklet.pages.step_picture import MOST_STEP, STEP, TINY, Fit, in_runs, step_pictures
from booklet.pages.steps import AIR, set_steps
from booklet.pages.wording import planned_steps
from tests.folding import model_of, stage_of

CARTON = """
[[piece]]
id = "box"
form = "gable_carton"
inside = [75, 75, 50]
stock = "card"
"""
TRAY = """
[[piece]]
id = "box"
form = "tray"
inside = [76, 60, 30]
stock = "card"
"""
ROOM = (85.0, 88.0)


def folded(stage: Stage) -> list[Folded]:
    """The pictures of folded work."""
    pictures = [shot.picture for shots in stage.shots for shot in shots]
    return [p for p in pictures if isinstance(p, Folded) and not p.flat]


def runs(pictures: list[Folded]) -> list[Fit]:
    """The pictures on one scale or two, in rooms of the size that they have on a page."""
    return in_runs(pictures, ROOM[0], [ROOM[1]] * len(pictures), load_faces(), 1.0)


def test_what_is_shut_is_drawn_larger_than_what_is_wide_open(tmp_path: Path) -> None:
    """A carton is far wider while it is open; the later pictures all fit on their scale too."""
    pictures = folded(stage_of(model_of(CARTON, tmp_path)))
    first, then = runs(pictures)
    assert (*first.pictures, *then.pictures) == tuple(pictures)
    assert first.scale * STEP <= then.scale * 1.02
    assert then.scale <= first.scale * MOST_STEP
    for notes in (*first.notes, *then.notes):
        assert notes.width <= ROOM[0] + 1e-6 and notes.height <= ROOM[1] + 1e-6


def test_one_scale_serves_where_nothing_is_tiny_on_it(tmp_path: Path) -> None:
    """The walls of a tray stand about as wide as they lie."""
    pictures = folded(stage_of(model_of(TRAY, tmp_path)))
    (only,) = runs(pictures)
    assert all(max(extent(picture.seen)) * only.scale >= TINY for picture in pictures)


def test_the_second_scale_is_told_once(tmp_path: Path) -> None:
    """Under the first picture on it."""
    stage = stage_of(model_of(CARTON, tmp_path))
    pictures = folded(stage)
    drawings = step_pictures(pictures, ROOM[0], [ROOM[1] + 4.5] * len(pictures), load_faces())
    told = [
        number
        for number, drawing in enumerate(drawings)
        if drawing is not None
        for mark in drawing.marks
        if isinstance(mark, Label) and mark.text.startswith("from here on drawn larger")
    ]
    assert told == [len(runs(pictures)[0].pictures)]


def test_the_last_rows_are_no_higher_than_their_pictures_need(tmp_path: Path) -> None:
    """So that what follows the steps has the rest of the page."""
    model = model_of(CARTON, tmp_path)
    stage = stage_of(model)
    sheet = Composer(PAPERS["letter"], load_faces(), "Steps")
    set_steps(stage, planned_steps(model), sheet)
    page = sheet.pages()[-1]
    pictures = [i for e in page.elements for i in e.inks if isinstance(i, Picture)]
    top = max(picture.y + picture.drawing.size[1] for picture in pictures)
    assert sheet.paper.top - top <= AIR / 2 + 1e-6

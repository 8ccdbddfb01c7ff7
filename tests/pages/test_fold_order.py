"""The fold order: panels by the number of their fold, those that only are creased apart."""

from __future__ import annotations

from pathlib import Path

from booklet.draw.typeface import load_faces
from booklet.pages.closing import closing_steps
from booklet.pages.flow import Composer
from booklet.pages.fold_order import creased_only, fold_order, fold_rounds
from booklet.pages.grid import PAPERS
from booklet.pages.page import Line
from booklet.pages.safety import folding_words
from booklet.pages.wording import planned_steps
from tests.folding import started


def test_what_is_only_creased_has_no_number(tmp_path: Path) -> None:
    """The middle scores of a bag's sides are pressed, so that it can be folded flat."""
    model = started(tmp_path, "--form", "gusseted_bag", "--inside", "100x140x50mm")
    (bag,) = model.patterns
    rounds = fold_rounds(bag, planned_steps(model))
    assert creased_only(model, bag) == ["left_b", "right_b"]
    numbered = {name for names in rounds for name in names}
    assert numbered == {hinge.panel for hinge in bag.hinges} - {"left_b", "right_b"}


def test_an_empty_bag_has_no_step_that_fills_it(tmp_path: Path) -> None:
    """A form fills what the project says is inside; without contents there is nothing to put in."""
    model = started(tmp_path, "--form", "gusseted_bag", "--inside", "100x140x50mm")
    assert "Fill it" not in [step.title for step in planned_steps(model)]
    (tmp_path / "new.toml").unlink()
    model = started(tmp_path, "--form", "gusseted_bag", "--holds", "aa x 4")
    assert "Fill it" in [step.title for step in planned_steps(model)]


def test_a_lid_goes_over_its_tray_and_a_drawer_into_its_sleeve(tmp_path: Path) -> None:
    """The words say what a hand does with the piece that moves."""
    said = {"tray_with_lid": "Put the lid over the tray.", "sleeve_and_drawer": "Slide the drawer"}
    for form, words in said.items():
        model = started(tmp_path, "--form", form, "--inside", "80x60x20mm")
        steps = closing_steps(model, [], model.patterns)
        assert any(step.text.startswith(words) for step in steps), [step.text for step in steps]
        (tmp_path / "new.toml").unlink()


def test_the_booklet_claims_no_more_than_was_proved(tmp_path: Path) -> None:
    """Of bent panels only the end is proved; a tag does not fold at all."""
    said = {
        "pillow_pouch": "folds do not run through each other in the finished shape",
        "tray": "tabs land on their panels, and folds do not run through each other.",
        "tag": "",
    }
    for form, words in said.items():
        model = started(tmp_path, "--form", form, "--inside", "80x60x20mm")
        assert words in folding_words(model)
        assert bool(words) == bool(folding_words(model))
        (tmp_path / "new.toml").unlink()


def test_panels_that_fold_alike_share_a_row_rather_than_turn_the_page(tmp_path: Path) -> None:
    """Where the whole list has no room below what stands on the page, and the short one has."""
    model = started(tmp_path, "--form", "gable_carton", "--inside", "75x75x50mm")
    steps = planned_steps(model)

    def listed(left: float) -> tuple[int, int]:
        """Pages, and rows of the list, with so many mm left on the page."""
        sheet = Composer(PAPERS["letter"], load_faces(), "Steps")
        sheet.title("Steps")
        sheet.y = sheet.paper.bottom + left
        fold_order(model, steps, sheet)
        pages = sheet.pages()
        lines = [ink for page in pages for one in page.elements for ink in one.inks]
        return len(pages), sum(isinstance(i, Line) and " about " in f" {i.text}" for i in lines)

    whole, short, turned = listed(200.0), listed(130.0), listed(60.0)
    assert whole[0] == short[0] == 1 and turned[0] == 2
    assert short[1] < whole[1] == turned[1]


def test_a_short_section_stands_whole_where_it_has_just_room() -> None:
    """Rule and title stay together, also where less than a usual section's room is left."""
    sheet = Composer(PAPERS["letter"], load_faces(), "Steps")
    sheet.title("Steps")
    sheet.y = sheet.paper.bottom + 60.0
    sheet.begin("Short", 45.0)
    sheet.title("Short")
    pages = sheet.pages()
    assert [page.bookmark for page in pages] == ["Steps"]
    lines = [ink.text for one in pages[0].elements for ink in one.inks if isinstance(ink, Line)]
    assert lines == ["Steps", "Short"]

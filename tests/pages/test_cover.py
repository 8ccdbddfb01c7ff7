"""The first page says what an edition is for."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from booklet.draw.typeface import load_faces
from booklet.pages.grid import PAPERS
from booklet.pages.handout import handout
from booklet.pages.page import Line, Page
from booklet.pages.pattern import pattern
from booklet.stages import Model, check_file
from tests.folding import started

PROJECTS = Path(__file__).resolve().parents[2] / "projects"
HARVEST = PROJECTS / "harvest-tray" / "harvest-tray.toml"


@cache
def harvest() -> Model:
    """A demo with a class."""
    model, _ = check_file(HARVEST)
    assert model is not None
    return model


def words(page: Page) -> str:
    """All lines of a page."""
    inks = (ink for element in page.elements for ink in element.inks)
    return " ".join(ink.text for ink in inks if isinstance(ink, Line))


def test_covers_say_what_an_edition_is_for() -> None:
    """A pattern, large print, and a handout with its class."""
    faces, paper = load_faces(), PAPERS["letter"]
    sold = pattern(harvest(), [], paper, faces).pages
    assert "Pattern with templates at full size. Page 2 tells how to print them." in words(sold[0])
    assert "Print it at full size" in words(sold[1])
    large = words(handout(harvest(), paper, faces, large=True).pages[0])
    usual = words(handout(harvest(), paper, faces).pages[0])
    assert "In large print" in large and "In large print" not in usual
    for text in (large, usual):
        assert "Name" in text and "Harvest table morning" in text


def test_of_several_pieces_the_cover_gives_the_largest_blank(tmp_path: Path) -> None:
    """One size beside "2 pieces" would else be taken for that of both."""
    faces = load_faces()
    said = {"tray": "Blank 13", "tray_with_lid": "Largest blank 13"}
    for form, start in said.items():
        model = started(tmp_path, "--form", form, "--inside", "90x60x20mm")
        cover = handout(model, PAPERS["a4"], faces).pages[0]
        assert start in words(cover)
        assert ("Largest" in words(cover)) == (len(model.patterns) > 1)
        (tmp_path / "new.toml").unlink()


def test_no_word_of_the_facts_is_broken_while_others_have_room(tmp_path: Path) -> None:
    """ "intermedi" and "ate" on two lines were the first thing that large print showed."""
    text = HARVEST.read_text(encoding="utf-8").replace('level = "', 'level = "intermediate" #')
    (tmp_path / "new.toml").write_text(text, encoding="utf-8")
    model, _ = check_file(tmp_path / "new.toml")
    assert model is not None and model.project.project.level == "intermediate"
    for name in PAPERS:
        cover = handout(model, PAPERS[name], load_faces(), large=True).pages[0]
        assert "intermediate" in words(cover), name

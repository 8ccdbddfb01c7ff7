"""Faces: what they contain, how wide they set, and what happens where a glyph is missing."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import ImageFont

from booklet.draw.typeface import FILES, MM_PER_PT, FaceName, Faces, Run, TypeStyle, load_faces

FONTS = Path(__file__).parents[2] / "fonts"
FACES = load_faces()
NEEDED = (
    "0123456789 ¼½¾⅛⅜⅝⅞×°–’‘“”•⁰¹²³⁴⁵⁶⁷⁸⁹₀₁₂₃₄₅₆₇₈₉⁄→−€£àáâäãåæçèéêëìíîïñòóôöõøœùúûüýÿßłžščřőğąę"
)


@pytest.fixture(scope="module")
def faces() -> Faces:
    """The faces, loaded once."""
    return FACES


@pytest.mark.parametrize("face", FILES)
def test_every_face_has_what_the_pages_print(faces: Faces, face: FaceName) -> None:
    """Fractions, raised and lowered digits, signs, and accented letters are drawn as themselves."""
    assert not faces.missing(NEEDED, face)
    assert all(run.face == face for run in faces.runs(NEEDED, face))


@pytest.mark.parametrize("face", ["text", "bold"])
def test_figures_of_text_line_up_in_columns(faces: Faces, face: FaceName) -> None:
    """All digits are equally wide, so that columns of numbers stand true."""
    assert len({faces.faces[face].advances[digit] for digit in "0123456789"}) == 1


@pytest.mark.parametrize("face", FILES)
def test_widths_agree_with_another_font_library(faces: Faces, face: FaceName) -> None:
    """The width of words without kerning is that which Pillow's basic layout gives."""
    text = "Fold both sides up along the 5⅛ in scores"
    font = ImageFont.truetype(str(FONTS / FILES[face]), 1000, layout_engine=ImageFont.Layout.BASIC)
    style = TypeStyle("any", face, 10, 14)
    # Each glyph apart: Pillow's basic layout would apply pair kerning between neighbours.
    expected = sum(font.getlength(char) for char in text) / 1000 * 10 * MM_PER_PT
    assert faces.width(text, style) == pytest.approx(expected, rel=0.003)


def test_a_missing_glyph_becomes_a_white_square_and_is_told(faces: Faces) -> None:
    """A character that no face has prints as a square and is named by `missing`."""
    assert faces.missing("tea 茶") == {"茶"}
    assert faces.runs("tea 茶", "text") == (Run("text", "tea □"),)


def test_a_glyph_that_only_the_text_face_has_is_borrowed(faces: Faces) -> None:
    """A Greek title is drawn in the bold text face where the title face has no Greek."""
    runs = faces.runs("Κουτί box", "title")
    assert "".join(run.text for run in runs) == "Κουτί box"
    assert runs[0].face == "bold" and runs[-1].face == "title"


def test_letters_with_loose_accents_are_put_together(faces: Faces) -> None:
    """e and a combining acute print as the one letter that both spell."""
    assert faces.runs("cafe\u0301", "text") == (Run("text", "café"),)


def test_unseen_characters_take_no_room(faces: Faces) -> None:
    """Direction marks, joiners and soft hyphens are dropped; odd spaces become spaces."""
    style = TypeStyle("any", "text", 10, 14)
    assert faces.width("a\u200f\u2066b\ufe0f", style) == pytest.approx(faces.width("ab", style))
    assert faces.runs("a\tb\u205fc", "text") == (Run("text", "a b c"),)


def test_fractions_of_three_characters_stand_like_single_ones(faces: Faces) -> None:
    """The numerator is shifted to the height of figures, the denominator to the baseline."""
    runs = faces.runs("5³⁄₁₆ in", "text")
    assert [run.text for run in runs] == ["5", "³", "⁄", "₁₆", " in"]
    assert runs[1].rise < 0 < runs[3].rise
    assert [runs[0].rise, runs[2].rise, runs[4].rise] == [0, 0, 0]


@given(st.text(st.characters(exclude_categories=())), st.sampled_from(list(FILES)))
def test_no_text_makes_measuring_fail(text: str, face: FaceName) -> None:
    """Any text at all, right-to-left, combining or broken, has a width equal to its runs'."""
    style = TypeStyle("any", face, 10, 14)
    runs = FACES.runs(text, face)
    drawn = sum(FACES.width(run.text, TypeStyle("r", run.face, 10, 14)) for run in runs)
    assert FACES.width(text, style) == pytest.approx(drawn, abs=1e-9)


def test_licences_lie_beside_the_fonts() -> None:
    """Every family comes with its Open Font License, and ORIGIN.txt names every file."""
    origin = (FONTS / "ORIGIN.txt").read_text("utf-8")
    for file in FILES.values():
        assert file in origin
        licence = (FONTS / f"{file.split('-')[0]}-OFL.txt").read_text("utf-8")
        assert "SIL OPEN FONT LICENSE Version 1.1" in licence

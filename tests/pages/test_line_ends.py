"""Where a line ends: sizes and measures stay whole where they fit."""

from __future__ import annotations

import pytest

from booklet.draw.typeface import load_faces
from booklet.pages import type as scale
from booklet.pages.flow import evened, wrap


@pytest.mark.parametrize(
    ("text", "whole"),
    [
        ("172 × 138 mm (6¾ × 5⁷⁄₁₆ in)", ("172 × 138 mm", "(6¾ × 5⁷⁄₁₆ in)")),
        ("Score at 2½ in (6.4 cm) from the top edge", ("2½ in", "(6.4 cm)")),
        ("with 3 mm (⅛ in) of the card left", ("3 mm", "(⅛ in)")),
    ],
)
def test_a_line_never_ends_within_a_measure(text: str, whole: tuple[str, ...]) -> None:
    """Whatever the width, so long as the measure fits: a lone "in)" began lines before."""
    faces = load_faces()
    style = scale.TEXT
    least = max(faces.width(one, style) for one in (*whole, *text.split()))
    width = least
    while width < faces.width(text, style):
        lines = wrap(text, style, width, faces)
        assert " ".join(lines) == text
        assert all(faces.width(line, style) <= width for line in lines)
        for one in whole:
            assert any(one in line for line in lines), (width, lines)
        width += 0.5


def test_a_size_too_long_for_a_line_is_broken_at_its_sides() -> None:
    """Not within a number, as a word of that length would be."""
    faces = load_faces()
    text = "(6.0 × 9.2 × 1.6 cm)"
    lines = wrap(text, scale.TEXT, faces.width("(6.0 × 9.2 ×", scale.TEXT) + 0.1, faces)
    assert lines == ["(6.0 × 9.2 ×", "1.6 cm)"]
    longest = max(faces.width(word, scale.TEXT) for word in text.split())
    assert " ".join(wrap(text, scale.TEXT, longest, faces)) == text


def test_a_word_that_looks_like_a_unit_stays_free() -> None:
    """ "In" after a word is no unit: a line may begin with it."""
    faces = load_faces()
    width = faces.width("Fold the tabs", scale.TEXT) + 0.1
    assert wrap("Fold the tabs in to 90°.", scale.TEXT, width, faces) == [
        "Fold the tabs",
        "in to 90°.",
    ]


def test_a_title_shares_its_words_out_over_its_lines() -> None:
    """A lone "lid" below a full line of large type looked like a mistake; no line is added."""
    faces = load_faces()
    text = "Triangular box with a lid"
    width = faces.width("Triangular box with a", scale.COVER) + 1.0
    assert wrap(text, scale.COVER, width, faces)[-1] == "lid"
    lines = evened(text, scale.COVER, width, faces)
    assert lines == ["Triangular box with", "a lid"] or lines == ["Triangular box", "with a lid"]


def test_evened_lines_break_no_word_and_lose_none() -> None:
    """Where nothing can be handed on, the lines stay as they were."""
    faces = load_faces()
    for text in (
        "Unforeseeable lid",
        "One two three four five six seven eight nine ten",
        "Lid",
        "",
    ):
        for width in (25.0, 40.0, 60.0, 90.0):
            lines = evened(text, scale.COVER, width, faces)
            plain = wrap(text, scale.COVER, width, faces)
            assert len(lines) == len(plain)
            assert " ".join(lines) == " ".join(plain)
            assert all(faces.width(line, scale.COVER) <= width for line in lines)

"""The letters of score lines."""

from __future__ import annotations

from itertools import islice

from booklet.flat.chart import line_letters


def test_every_line_has_letters_of_its_own() -> None:
    """A piece of 200 columns and rows has 398 lines."""
    letters = list(islice(line_letters(), 1000))
    assert len(set(letters)) == 1000
    assert (letters[0], letters[25], letters[26], letters[701], letters[702]) == (
        "A", "Z", "AA", "ZZ", "AAA",
    )  # fmt: skip

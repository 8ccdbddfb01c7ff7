"""The letters of path data: only those of the grammar are commands."""

from __future__ import annotations

import pytest

from booklet.flat.path_scan import PathError, words


@pytest.mark.parametrize("letter", ["\u017f", "\u212a", "B", "é"])
def test_a_letter_that_only_looks_like_a_command_is_none(letter: str) -> None:
    """The long s of old print has S as its capital, and is no curve."""
    with pytest.raises(PathError) as caught:
        list(words(f"M 0 0 {letter} 1 1 2 2"))
    assert caught.value.code == "path-not-read"

"""The key tells the signs that are used, each once, within its width."""

from __future__ import annotations

import pytest

from booklet.draw.label import CAP, LABEL
from booklet.draw.mark import Area, Label, Stroke
from booklet.draw.panel_name import points_of
from booklet.draw.sign_key import WORDS, Sign, sign_key
from booklet.draw.typeface import Faces, load_faces


@pytest.fixture(scope="module")
def faces() -> Faces:
    """The type of print."""
    return load_faces()


def test_only_what_is_used_stands_in_the_key(faces: Faces) -> None:
    """Each once, whatever order they are found in."""
    used: list[Sign] = ["glue", "valley"]
    key = sign_key(used, 170.0, faces)
    words = [mark.text for mark in key.marks if isinstance(mark, Label)]
    assert words == [WORDS["valley"], WORDS["glue"]]
    assert all(word in key.alt for word in words)


def test_nothing_used_makes_no_key(faces: Faces) -> None:
    """No marks and no room."""
    key = sign_key((), 170.0, faces)
    assert key.marks == () and key.size == (0.0, 0.0)


@pytest.mark.parametrize("width", [60.0, 110.0, 180.0])
def test_the_key_keeps_to_its_width_and_nothing_in_it_overlaps(faces: Faces, width: float) -> None:
    """All signs in as many rows as they need; words stand clear of the samples beside them."""
    key = sign_key(WORDS, width, faces)
    words: list[tuple[float, float, float, float]] = []
    for mark in key.marks:
        if isinstance(mark, Label):
            x, y = mark.at
            words.append((x, y, x + faces.width(mark.text, LABEL), y + CAP))
    assert len(words) == len(WORDS)
    x0, y0, x1, y1 = key.box
    points = [
        point
        for mark in key.marks
        if isinstance(mark, Stroke | Area)
        for point in points_of(mark.path)
    ]
    for x, y in points:
        assert x0 <= x <= x1 and y0 <= y <= y1
        assert not any(a < x < c and b < y < d for a, b, c, d in words)
    assert max(c for _, _, c, _ in words) <= width


def test_samples_are_drawn_with_the_marks_of_the_pictures(faces: Faces) -> None:
    """Dashes for a valley, dots and dashes for a mountain, dots for the position before."""

    def styles(sign: Sign) -> set[str]:
        return {m.style for m in sign_key([sign], 170.0, faces).marks if isinstance(m, Stroke)}

    assert styles("valley") == {"valley", "arrow"}
    assert styles("mountain") == {"mountain", "arrow"}
    assert styles("before") == {"before"}
    assert "hatch" in styles("glue")
    assert "meets" in styles("meets") and "hatch" not in styles("meets")

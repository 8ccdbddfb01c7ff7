"""Paints: luminance and contrast by the published formula, and greys that stay apart."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from booklet.draw.paint import GREYS, contrast, greyed, luminance, paint

WHITE = (1.0, 1.0, 1.0)


def test_luminance_agrees_with_a_published_value() -> None:
    """L(#ff8100) and two contrasts as in the README of npm contrast-ratio-checker."""
    assert luminance(paint("#ff8100", "")) == pytest.approx(0.36960513804637335, rel=1e-12)
    orange, plum = paint("#ff8100", ""), paint("#64003a", "")
    assert contrast(orange, plum) == pytest.approx(5.235369975583679, rel=1e-12)
    light, olive = paint("#e5e5e5", ""), paint("#aabb00", "")
    assert contrast(light, olive) == pytest.approx(1.698093107780376, rel=1e-12)


@given(st.tuples(*[st.floats(0, 1)] * 3))
def test_a_grey_has_the_luminance_of_its_colour(colour: tuple[float, float, float]) -> None:
    """Printed grey, a colour stays as light as it was."""
    grey = greyed(colour)
    assert grey[0] == grey[1] == grey[2]
    # The published curve and its inverse meet within a few parts in 100 000 at their joint.
    assert luminance(grey) == pytest.approx(luminance(colour), abs=5e-5)


def test_grey_words_can_be_read_on_white() -> None:
    """Grey text keeps 4.5 to 1 (WCAG 2.2, success criterion 1.4.3)."""
    assert contrast(paint("grey", ""), WHITE) >= 4.5


def test_shades_stay_apart() -> None:
    """Neighbouring shades differ by at least 8 % grey, and none is lighter than 4 % ink."""
    shades = [GREYS[f"shade{n}"] for n in (1, 2, 3, 4)]
    assert all(a - b >= 0.08 for a, b in itertools.pairwise(shades))
    assert all(level <= 0.96 for name, level in GREYS.items() if name != "white")


@pytest.mark.parametrize("name", ["", "blue", "#12345", "#12345g"])
def test_unknown_paints_are_refused(name: str) -> None:
    """Only names and #rrggbb are paints."""
    with pytest.raises(ValueError, match="no paint"):
        paint(name, "#2f6f73")

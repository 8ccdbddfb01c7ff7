"""Forms against closed formulas, and paper engineering against published conditions."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.spatial import ConvexHull  # type: ignore[import-untyped]

from booklet.flat.pattern import Pattern
from booklet.stages import Model
from tests.forms.builds import Case, checked, variants


def built(case: Case) -> Model:
    """The model of a form without errors."""
    model, problems = checked(case)
    assert [problem.code for problem in problems if problem.severity == "error"] == []
    return model


def measure(model: Model, name: str) -> float:
    """A measure of the form's piece in mm."""
    return float(model.scope.measures[f"box.{name}"])


def area(pattern: Pattern, *names: str) -> float:
    """The area of these panels, mm²."""
    return sum(pattern.panel(name).shape.area for name in names)


def volume(model: Model, *names: str) -> float:
    """The volume of the hull of these folded panels, mm³."""
    panels = model.folded[0].panels
    return float(ConvexHull(np.vstack([panels[name] for name in names])).volume)


def test_a_tray_has_the_volume_and_area_of_a_box() -> None:
    """Closed formula: V = w h d; the paper is base and four walls, w h + 2 d (w + h)."""
    model = built(Case("tray", (100, 70, 25)))
    w, h, d = (measure(model, name) for name in ("base_w", "base_h", "wall"))
    walls = ("base", "front", "back", "left", "right")
    assert volume(model, *walls) == pytest.approx(w * h * d)
    assert area(model.patterns[0], *walls) == pytest.approx(w * h + 2 * d * (w + h))


def test_a_pyramid_has_the_volume_and_area_of_a_pyramid() -> None:
    """Closed formula: V = a² h / 3 with h² = s² - a²/4; four triangles of a s / 2 on a base a²."""
    model = built(Case("pyramid", (40, 40, 20)))
    a, s = measure(model, "side"), measure(model, "slant")
    rise = math.sqrt(s * s - a * a / 4)
    panels = ("base", "north", "east", "south", "west")
    assert volume(model, *panels) == pytest.approx(a * a * rise / 3)
    assert area(model.patterns[0], *panels) == pytest.approx(a * a + 2 * a * s)


def test_a_place_card_has_the_volume_and_area_of_a_prism() -> None:
    """Closed formula: over an isosceles triangle of sides h, h, d: V = w d / 2 √(h² - d²/4)."""
    model = built(Case("place_card", (90, 50, 30)))
    w, h, d = (measure(model, name) for name in ("w", "h", "d"))
    sides = ("back", "foot", "front")
    assert volume(model, *sides) == pytest.approx(w * d / 2 * math.sqrt(h * h - d * d / 4))
    assert area(model.patterns[0], *sides) == pytest.approx(w * (2 * h + d))


def test_a_hexagonal_tray_has_the_volume_and_area_of_a_prism() -> None:
    """Closed formula: base 3 √3 / 2 a², V = base h, walls 6 a h, with a the side of the base."""
    model = built(Case("hexagonal_tray_with_lid", (60, 50, 30)))
    a, h = measure(model, "flat") / math.sqrt(3), measure(model, "wall")
    base = 1.5 * math.sqrt(3) * a * a
    walls = [f"wall_{letter}" for letter in "abcdef"]
    assert volume(model, "base", *walls) == pytest.approx(base * h)
    assert area(model.patterns[0], "base", *walls) == pytest.approx(base + 6 * a * h)


@pytest.mark.parametrize("high", [20.0, 30.0, 45.0])
def test_the_pop_up_keeps_the_parallelogram_condition(high: float) -> None:
    """Opposite sides of a parallel fold are equal, so that it folds flat.

    Source: the parallelogram linkage (a four-bar linkage whose opposite bars are equal folds
    flat both ways), as in texts on pop-ups and on linkages; from memory. The four hinges are
    measured on the flat pattern, and the loop of bars closes at every opening of the card.
    """
    case = Case("pop_up_step_card", (120, 90, 25), lengths={"step_high": high})
    pattern = built(case).patterns[0]
    at = {frozenset(score.between): score.start[1] for score in pattern.scores}
    fold, behind = at[frozenset(("base", "back"))], at[frozenset(("back", "top"))]
    edge, before = at[frozenset(("front", "top"))], at[frozenset(("base", "front"))]
    assert behind - fold == pytest.approx(edge - before)  # on the back, and the front's height
    assert fold - before == pytest.approx(behind - edge)  # on the base, and the top's depth
    for opening in (0.0, 30.0, 90.0, 150.0, 180.0):
        turn = math.radians(opening)
        # Along the base, up the front, over the top, down the back: back where it began.
        back = np.array([-math.cos(turn), math.sin(turn)])
        loop = -(fold - before) * np.array([1.0, 0.0]) + (edge - before) * back
        loop += (behind - edge) * np.array([1.0, 0.0]) - (behind - fold) * back
        assert np.abs(loop).max() < 1e-9


@pytest.mark.parametrize("words", variants("accordion_book"), ids=str)
def test_an_accordion_keeps_maekawas_theorem(words: dict[str, str]) -> None:
    """|M - V| = 2 at every vertex inside the paper.

    Source: Maekawa's theorem, Hull, Congressus Numerantium 100 (1994), theorem 3.1. A strip of
    parallel folds has no such vertex; one with a pocket has one for each pair of neighbours.
    """
    pattern = built(Case("accordion_book", (70, 90, 0), words)).patterns[0]
    wide, tall = (float(side) for side in pattern.blank)
    vertices: dict[tuple[float, float], list[float]] = {}
    for score in pattern.scores:
        assert abs(score.angle) == 180
        for x, y in (score.start, score.end):
            if 0.01 < x < wide - 0.01 and 0.01 < y < tall - 0.01:
                vertices.setdefault((round(x, 4), round(y, 4)), []).append(score.angle)
    pages = int(words["pages"])
    assert len(vertices) == (pages - 1 if words["foot"] == "pocket" else 0)
    for angles in vertices.values():
        assert len(angles) == 4
        assert abs(sum(1 if angle > 0 else -1 for angle in angles)) == 2

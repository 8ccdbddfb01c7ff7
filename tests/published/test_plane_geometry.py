"""Plane geometry from outside: Euler's formula and areas of rounded, tapered and notched panels.

Sources: Euler's V - E + F = 2 for a connected plane graph with its outer face counted (MathWorld,
"Polyhedral Formula"; the plane form from memory). Areas of circle, trapezium, ellipse and stadium:
elementary geometry, from memory.
"""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from hypothesis import given, settings

from booklet.flat.build import build_pattern
from booklet.flat.pattern import Panel
from booklet.measure.resolve import Scope
from booklet.measure.tolerance import CURVE_MM
from booklet.problem import Problem, Written
from booklet.read.piece import Cutout, PanelTable, Piece
from tests import laws
from tests.strategies import HERE, GridCase, grid_cases, pattern

WIDE, TALL = 60.0, 40.0


@settings(max_examples=60, deadline=None)
@given(grid_cases())
def test_every_plane_graph_keeps_to_euler(case: GridCase) -> None:
    """V - E + F = 2, with panels, enclosed waste and the outside as faces."""
    laws.euler(pattern(case), laws.faces_of(case))


def flap(table: PanelTable, *cutouts: Cutout) -> Panel:
    """A flap of 60 by 40 mm that hangs by its lower side on a base of 60 by 50 mm."""
    found: list[Problem] = []
    piece = Piece(
        id=Written("card", HERE),
        name="Card",
        columns=(Written("60", HERE),),
        rows=(Written("40", HERE), Written("50", HERE)),
        map=(Written("flap", HERE), Written("base", HERE)),
        panels={"flap": table},
        cutouts=cutouts,
        place=HERE,
    )
    made = build_pattern(piece, Scope("mm", Fraction(1)), found)
    assert made is not None and not found, found
    return made.panel("flap")


def allowed(panel: Panel) -> float:
    """What flattened curves may take from an area, mm²: their tolerance along the border."""
    return float(CURVE_MM * panel.shape.length)


@pytest.mark.parametrize("radius", [1, 6, 20, 30])
def test_rounded_corners_take_a_square_less_a_quarter_circle_each(radius: int) -> None:
    """Two free corners lose (1 - pi/4) r² each; the two at the fold stay."""
    panel = flap(PanelTable(round=Written(radius, HERE), place=HERE))
    lost = 2 * (1 - math.pi / 4) * radius**2
    assert panel.shape.area == pytest.approx(WIDE * TALL - lost, abs=allowed(panel))
    assert panel.size == (Fraction(60), Fraction(40))


def test_a_tapered_flap_is_a_trapezium() -> None:
    """Parallel sides of 60 and 60 - 2 x 8, 40 apart."""
    panel = flap(PanelTable(taper=Written(8, HERE), place=HERE))
    assert panel.shape.area == pytest.approx((60 + 44) / 2 * 40)


def test_a_thumb_notch_is_half_a_circle() -> None:
    """A notch 24 wide takes half of a circle of that diameter out of the edge."""
    panel = flap(PanelTable(notch=Written(24, HERE), place=HERE))
    assert panel.shape.area == pytest.approx(WIDE * TALL - math.pi * 12**2 / 2, abs=allowed(panel))


@pytest.mark.parametrize(
    ("shape", "size", "area"),
    [
        ("circle", (20, 20), math.pi * 10**2),
        ("oval", (30, 12), math.pi * 15 * 6),
        ("rectangle", (30, 12), 30 * 12.0),
        ("slot", (30, 12), 18 * 12 + math.pi * 6**2),
        ("slot", (12, 30), 18 * 12 + math.pi * 6**2),
    ],
)
def test_a_cutout_takes_its_area_about_its_centre(
    shape: str, size: tuple[int, int], area: float
) -> None:
    """`at` is the centre, from the panel's lower left corner: on the blank 50 mm further up."""
    cutout = Cutout(
        panel=Written("flap", HERE),
        shape=Written(shape, HERE),
        at=(Written(25, HERE), Written(20, HERE)),
        size=(Written(size[0], HERE), Written(size[1], HERE)),
        place=HERE,
    )
    panel = flap(PanelTable(place=HERE), cutout)
    assert panel.shape.area == pytest.approx(WIDE * TALL - area, abs=allowed(panel))
    (hole,) = panel.shape.interiors
    x0, y0, x1, y1 = hole.bounds
    assert ((x0 + x1) / 2, (y0 + y1) / 2) == pytest.approx((25, 70), abs=CURVE_MM)
    assert (x1 - x0, y1 - y0) == pytest.approx(size, abs=2 * CURVE_MM)

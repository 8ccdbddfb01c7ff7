"""Hatching of any area, however thin."""

from __future__ import annotations

import pytest
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from booklet.draw.hatch import hatch_across


@pytest.mark.parametrize(
    "area",
    [
        Polygon(),
        LineString([(0, 0), (9, 0)]),
        Polygon([(0, 0), (9, 0), (4, 0)]),
        Polygon([(0, 0), (9, 1e-17), (18, 0)]),
    ],
)
def test_an_area_seen_edge_on_has_no_lines(area: BaseGeometry) -> None:
    """A panel that a picture shows from its edge has no width to hatch."""
    assert not hatch_across(area).commands


def test_a_plain_area_has_lines() -> None:
    """About one for each spacing across a square."""
    assert len(hatch_across(Polygon([(0, 0), (20, 0), (20, 20), (0, 20)])).commands) > 5

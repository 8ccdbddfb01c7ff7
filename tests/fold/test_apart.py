"""Which polygons a line keeps apart, against the overlaps that shapely finds."""

from __future__ import annotations

import numpy as np
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon, box

from booklet.fold.apart import apart
from booklet.measure.tolerance import SAME_MM

places = st.tuples(st.integers(-10, 10), st.integers(-10, 10))


@st.composite
def triangles(draw: st.DrawFn) -> Polygon:
    """Triangles with corners on a grid, so that many share corners and edges."""
    shape = Polygon([draw(places), draw(places), draw(places)])
    return shape if shape.area > 1 else box(0, 0, 1, 1)


@settings(max_examples=150, deadline=None)
@given(st.lists(triangles(), min_size=2, max_size=12))
def test_what_a_line_keeps_apart_does_not_overlap_and_convex_shapes_that_do_not_are_told(
    shapes: list[Polygon],
) -> None:
    """Both ways: triangles have few enough directions that all of them are tried."""
    areas = np.array(shapes[:8], dtype=object)
    first, second = np.triu_indices(len(areas), k=1)
    told = apart(areas, first, second, SAME_MM)
    overlaps = shapely.area(shapely.intersection(areas[first], areas[second]))
    assert (overlaps[told] < 1e-3).all()
    assert told[overlaps == 0].all()


def test_an_outline_that_has_no_area_is_apart_from_all() -> None:
    """A face seen edge-on has nothing to overlap with."""
    areas = np.array([box(0, 0, 2, 2), Polygon()], dtype=object)
    one, other = np.array([0]), np.array([1])
    assert apart(areas, one, other, SAME_MM).all()
    assert apart(areas[1:], np.array([0]), np.array([0]), SAME_MM).all()


def test_neighbours_along_an_edge_are_apart_and_laps_are_not() -> None:
    """By a hair more than what counts as nothing."""
    areas = np.array([box(0, 0, 2, 2), box(2, 0, 4, 2), box(1.99, 0, 4, 2)], dtype=object)
    first, second = np.array([0, 0]), np.array([1, 2])
    assert apart(areas, first, second, SAME_MM).tolist() == [True, False]

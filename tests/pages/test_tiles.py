"""Tiles cover what is too large for a page, and each has a name of its own."""

from __future__ import annotations

from itertools import pairwise

import pytest

from booklet.draw.mark import Drawing
from booklet.pages.grid import PAPERS
from booklet.pages.tiles import OVERLAP, tile_name, tiling


def test_no_two_tiles_have_one_name() -> None:
    """Also where there are more rows than letters: ten metres take about fifty."""
    names = [tile_name(column, row) for row in range(60) for column in range(60)]
    assert len(set(names)) == len(names)
    assert names[:2] == ["A1", "A2"] and tile_name(0, 1) == "B1" and tile_name(0, 26) == "AA1"


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("size", [(100.0, 100.0), (192.0, 260.0), (700.0, 30.0), (1000.0, 1500.0)])
def test_tiles_cover_the_drawing_and_overlap(paper: str, size: tuple[float, float]) -> None:
    """From the left edge to the right and from the top to the bottom, neighbours share a strip."""
    plan = tiling(Drawing((), (0.0, 0.0, *size), ""), PAPERS[paper])
    assert plan.xs[0] == 0 and plan.xs[-1] + plan.width == pytest.approx(size[0])
    assert plan.ys[0] + plan.height == pytest.approx(size[1])
    assert plan.ys[-1] == pytest.approx(0, abs=1e-9)
    for left, right in pairwise(plan.xs):
        assert left + plan.width - right == pytest.approx(OVERLAP)
    for upper, lower in pairwise(plan.ys):
        assert lower + plan.height - upper == pytest.approx(OVERLAP)

"""Laws that hold for every grid map: faces, areas, outline, scores, units and names."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from booklet.flat.chart import score_chart
from booklet.flat.pattern import Pattern
from tests import laws
from tests.strategies import GridCase, grid_cases, pattern

FEW = settings(max_examples=60, deadline=None)


@FEW
@given(grid_cases())
def test_panels_cover_their_cells_and_leave_the_waste(case: GridCase) -> None:
    """Areas add up to the blank, each panel is its cells, and the outline is their border."""
    made = pattern(case)
    laws.areas_make_the_blank(made, case)
    laws.panels_are_their_cells(made, case)
    laws.outline_is_the_border(made, case)


@FEW
@given(grid_cases())
def test_lines_lie_where_panels_meet(case: GridCase) -> None:
    """Scores between neighbours, slits between neighbours that are cut apart, none elsewhere."""
    made = pattern(case)
    laws.scores_lie_between_uncut_neighbours(made, case)
    laws.slits_lie_between_cut_neighbours(made, case)
    laws.hinges_are_a_tree(made)


PINCHED = (
    ("a", "a", "b"),
    ("a", ".", "a"),
    ("a", "a", "a"),
)
WRAPPED = (
    ("a", "a", "."),
    ("a", "b", "a"),
    ("a", "a", "a"),
)


@pytest.mark.parametrize("lines", [PINCHED, WRAPPED], ids=["pinched", "wrapped"])
def test_a_panel_that_touches_itself_at_a_corner_keeps_the_laws(
    lines: tuple[tuple[str, ...], ...],
) -> None:
    """Its outline is one walk that meets itself at a point."""
    case = GridCase((8,) * len(lines[0]), (8,) * len(lines), lines)
    made = pattern(case)
    laws.areas_make_the_blank(made, case)
    laws.panels_are_their_cells(made, case)
    laws.outline_is_the_border(made, case)
    laws.scores_lie_between_uncut_neighbours(made, case)
    laws.euler(made, laws.faces_of(case))


@FEW
@given(grid_cases())
def test_inch_and_metric_twins_are_one_pattern(case: GridCase) -> None:
    """Sixteenths of an inch and the same lengths in millimetres give the same numbers."""
    assert numbers(pattern(case, "in")) == numbers(pattern(case, "mm"))


@FEW
@given(grid_cases(), st.randoms(use_true_random=False))
def test_new_names_change_no_number(case: GridCase, random: Any) -> None:
    """Panels named otherwise, in any alphabetical order, keep their places, scores and hinges."""
    names = sorted(set(case.cells.values()))
    fresh = [f"n{index}_x" for index in range(len(names))]
    random.shuffle(fresh)
    renamed = case.renamed(dict(zip(names, fresh, strict=True)))
    assert numbers(pattern(case)) == numbers(pattern(renamed))


@FEW
@given(grid_cases())
def test_the_chart_turns_with_the_blank(case: GridCase) -> None:
    """A map turned half round has the same positions, measured from the other ends."""
    turned = GridCase(
        tuple(reversed(case.columns)),
        tuple(reversed(case.rows)),
        tuple(tuple(reversed(line)) for line in reversed(case.lines)),
        case.cuts,
    )
    width, height = pattern(case).blank
    first, second = score_chart(pattern(case)), score_chart(pattern(turned))
    for here, there, whole in (
        (first.from_left, second.from_left, width),
        (first.from_top, second.from_top, height),
    ):
        assert [row.position for row in here] == [whole - row.position for row in reversed(there)]
        assert [row.whole for row in here] == [row.whole for row in reversed(there)]


def numbers(made: Pattern) -> list[object]:
    """All that a pattern says in numbers, in its own order, without names."""
    order = [panel.name for panel in made.panels]
    total: list[object] = [made.blank, order.index(made.root), made.cuts, made.slits]
    total += [(panel.box, panel.outline, panel.shape.wkt) for panel in made.panels]
    total += [(s.line, s.span, s.upright, tuple(map(order.index, s.between))) for s in made.scores]
    total += [(order.index(h.panel), order.index(h.parent), h.score) for h in made.hinges]
    assert all(isinstance(line, Fraction) for line in made.columns)
    return total

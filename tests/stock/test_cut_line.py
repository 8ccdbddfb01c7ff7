"""Lines of the cuts on the sheet: they part all blanks, and cross none."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from booklet.stages import Asked, check_file
from booklet.stock.cut_line import cut_lines
from booklet.stock.plan_value import Cut, Layout

PROJECTS = sorted((Path(__file__).resolve().parents[2] / "projects").glob("*/*.toml"))


@pytest.mark.parametrize("path", PROJECTS, ids=lambda path: path.stem)
@pytest.mark.parametrize("students", [1, 7, 26])
def test_every_side_of_a_blank_is_cut_and_none_is_cut_through(path: Path, students: int) -> None:
    """Each side lies on the sheet's edge or on a line, and no line runs inside a blank."""
    model, _ = check_file(path, Asked(students=students))
    assert model is not None
    for plan in model.stock_plans:
        for layout in plan.layouts:
            lines = cut_lines(layout, plan.sheet)
            for one in layout.placements:
                for at, low, high, upright in (
                    (one.x, one.y, one.y + one.h, True),
                    (one.x + one.w, one.y, one.y + one.h, True),
                    (one.y, one.x, one.x + one.w, False),
                    (one.y + one.h, one.x, one.x + one.w, False),
                ):
                    edge = at in (0, plan.sheet[0] if upright else plan.sheet[1])
                    k, other = (0, 1) if upright else (1, 0)
                    assert edge or any(
                        line.start[k] == line.end[k] == at
                        and line.start[other] <= low
                        and line.end[other] >= high
                        for line in lines
                    )
                for line in lines:
                    inside_x = line.start[0] < one.x + one.w and line.end[0] > one.x
                    inside_y = line.start[1] < one.y + one.h and line.end[1] > one.y
                    if line.start[0] == line.end[0]:
                        inside_x = one.x < line.start[0] < one.x + one.w
                    else:
                        inside_y = one.y < line.start[1] < one.y + one.h
                    assert not (inside_x and inside_y)


def test_turned_end_for_end_the_far_edge_is_against_the_fence() -> None:
    """A sheet of 100 trimmed by 5 on both sides: at 95 from the left, then at 90 from the right."""
    size = (Fraction(100), Fraction(50))
    cuts = (
        Cut(1, "A", size, True, 0, Fraction(95), 1, 1, "A", ""),
        Cut(2, "A", (Fraction(95), Fraction(50)), True, 2, Fraction(90), 1, 1, "A", ""),
    )
    lines = cut_lines(Layout(1, (), cuts, ()), size)
    assert [line.start[0] for line in lines] == [95, 5]

"""What is prepared before a class agrees with the other pages of the booklet."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from booklet.flat.chart import score_chart
from booklet.stages import Model, check_file
from booklet.stock.batch import Batch
from booklet.stock.prep import tasks

PROJECTS = Path(__file__).resolve().parents[2] / "projects"


@cache
def demo(name: str) -> Model:
    """A project that comes with the program."""
    model, _ = check_file(PROJECTS / name / f"{name}.toml")
    assert model is not None
    return model


@pytest.mark.parametrize(
    ("name", "detail"),
    [
        ("soap-pouch", "2 lines on each, by the score chart; 4 scores on each, pressed"),
        ("tea-pyramid", "4 lines on each, by the score chart; 4 scores on each, pressed"),
        ("tea-carton", "8 lines on each, by the score chart"),
    ],
)
def test_the_prep_sheet_counts_the_lines_of_the_score_chart(name: str, detail: str) -> None:
    """Slanted and curved scores stand in no chart: they were one line together."""
    model = demo(name)
    batch = Batch(12, 12)
    made = tasks(model.project, model.stock_plans, model.patterns, [], batch)
    (scoring,) = (task for task in made if task.kind == "score")
    assert scoring.detail.startswith(detail)
    chart = score_chart(model.patterns[0])
    assert scoring.detail.startswith(f"{len(chart.from_left) + len(chart.from_top)} lines")


def test_the_top_of_an_arc_lies_on_the_mark_that_it_reaches() -> None:
    """A radius of 64 1/7 mm over 80 mm rises by 14 mm: the blank was 138 mm in the chart and
    "about 138 mm" in the cutting plan."""
    model = demo("soap-pouch")
    assert model.patterns[0].blank == (172, 138)
    sizes = [
        place for plan in model.stock_plans for each in plan.layouts for place in each.placements
    ]
    assert sizes and all({one.w, one.h} == {172, 138} for one in sizes)

"""A box as the trade makes it. Source of the measures: common practice, no source."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from booklet.command.line import main

CASE = Path(__file__).parent / "trade_case.toml"


@pytest.fixture
def report(capsys: pytest.CaptureFixture[str]) -> dict[str, object]:
    """The report of the trade case."""
    assert main(["check", "--json", str(CASE)]) == 0
    result: dict[str, object] = json.loads(capsys.readouterr().out)
    return result


def test_blank_scores_panels_and_mats_come_out_as_in_the_trade(report: dict[str, object]) -> None:
    """5 1/8 x 7 1/8 in gives a back of 3 1/8 x 2 5/8, a lid of 3 1/8 x 1 3/4, mats to match."""
    inch = 25.4
    piece = report["pieces"][0]  # type: ignore[index]
    assert piece["blank"] == pytest.approx([5.125 * inch, 7.125 * inch])
    chart = piece["score_chart"]
    assert chart["from_left"] == pytest.approx([k * inch for k in (0.5, 1, 4.125, 4.625)])
    assert chart["from_top"] == pytest.approx([k * inch for k in (1.75, 2.25, 4.875, 5.375)])
    panels = piece["panels"]
    assert panels["back"]["size"] == pytest.approx([3.125 * inch, 2.625 * inch])
    assert panels["lid"]["size"] == pytest.approx([3.125 * inch, 1.75 * inch])
    sizes = {mat["id"]: mat["size"] for mat in report["mats"]}  # type: ignore[attr-defined]
    assert sizes["lid_mat"] == pytest.approx([3 * inch, 1.625 * inch])
    assert sizes["back_mat"] == pytest.approx([3 * inch, 2.5 * inch])


def test_the_folded_box_has_the_room_that_the_trade_states(report: dict[str, object]) -> None:
    """Folded: 3 1/8 x 2 5/8 x 1/2 in between the walls' middles, less one thickness of card."""
    cavity = report["folded"]["body"]["cavity"]  # type: ignore[index]
    nominal = [3.125 * 25.4, 2.625 * 25.4, 0.5 * 25.4]
    assert cavity == pytest.approx(nominal, abs=0.31)
    assert all(inside < outside for inside, outside in zip(cavity, nominal, strict=True))

"""The project sheet tells what one asks before choosing a project."""

from __future__ import annotations

from pathlib import Path

import pytest

from booklet.pages.project_sheet import facts
from booklet.stages import check_file

PROJECTS = Path(__file__).resolve().parents[2] / "projects"


@pytest.mark.parametrize(
    ("demo", "words"),
    [
        ("harvest-tray", "1 × tray or 32 × handle tag"),
        ("card-wallet", "2 × wallet; 8 × flap mat or 4 × face mat"),
    ],
)
def test_a_sheet_gives_one_piece_or_another_and_each_stock_for_itself(
    demo: str, words: str
) -> None:
    """12 by 12 in are a tray of 12 by 10 in, or 8 by 4 tags of 1 1/2 by 3 in: never both."""
    model, _ = check_file(PROJECTS / demo / f"{demo}.toml")
    assert model is not None
    assert dict(facts(model))["A sheet gives"] == words


def test_tools_with_commas_in_their_names_stay_apart() -> None:
    """The knife, the rule and the mat are one line of the supplies, and so they are here."""
    model, _ = check_file(PROJECTS / "seed-box" / "seed-box.toml")
    assert model is not None
    tools = dict(facts(model))["Tools"].split("; ")
    assert tools == [
        "Scoring board with bone folder",
        "paper trimmer",
        "craft knife, steel rule and cutting mat",
    ]

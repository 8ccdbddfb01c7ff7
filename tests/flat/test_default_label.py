"""Default labels: what panels are called that have no label of their own."""

from __future__ import annotations

from pathlib import Path

import pytest

from booklet.flat.own_label import own_labels
from tests.folding import flat_project


def called(folder: Path, names: str, labels: str = "") -> dict[str, str]:
    """The words for each panel of a row of panels."""
    text = f"""
[[piece]]
id = "tray"
stock = "card"
columns = {["10"] * len(names.split())}
rows = ["10"]
map = ["{names}"]
root = "{names.split()[0]}"
[piece.panel]
{labels}
"""
    return own_labels(flat_project(text, folder).pattern)


@pytest.mark.parametrize(
    ("names", "words"),
    [
        ("side_l floor side_r", ["left side", "floor", "right side"]),
        ("left_tab base right_tab", ["left tab", "base", "right tab"]),
        ("glue_tab_r base glue_tab_l", ["left glue tab", "base", "right glue tab"]),
        ("lid base tab_l", ["lid", "base", "left tab"]),
        ("tab_front base tab_back", ["front tab", "base", "back tab"]),
        ("lid_l lid lid_r", ["left lid", "lid", "right lid"]),
        ("box_front base left", ["box front", "base", "left"]),
    ],
)
def test_a_side_in_a_name_is_said_before_it(tmp_path: Path, names: str, words: list[str]) -> None:
    """Of two hands each is told by where it lies, whatever its name says of it."""
    found = called(tmp_path, names)
    assert [found[name] for name in names.split()] == words


def test_a_label_of_its_own_is_left_as_it_is(tmp_path: Path) -> None:
    """The other hand is then a lone one."""
    words = called(tmp_path, "side_l floor side_r", 'side_l.label = "flank"')
    assert words == {"side_l": "flank", "floor": "floor", "side_r": "right side"}

"""The fields of the report that come from the folded shape."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from booklet.command.line import main

PROJECT = """
[project]
title = "Box"
units = "mm"
[[stock]]
id = "card"
name = "Card"
sheet = "a4"
thickness = 0.3
[[contents]]
id = "cards"
size = [58, 48, 15]
inside = "tray"
ease = 1
[[piece]]
id = "tray"
stock = "card"
columns = [20, 60, 20]
rows = [20, 50, 20]
map = ["tab back .", "left base right", ". front ."]
cuts = ["tab|back"]
root = "base"
[[piece.join]]
tab = "tab"
to = "back"
[[piece]]
id = "lid"
stock = "card"
columns = [8, 62, 8]
rows = [8, 52, 8]
map = [". a .", "b top c", ". d ."]
root = "top"
[[nest]]
inner = "tray"
outer = "lid"
ease = 0.5
pulled = "1/2"
"""


def test_every_field_of_the_folded_shape_is_reported(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Panels in space, room, joins, seams, order, what lies in what; lengths by hand."""
    path = tmp_path / "box.toml"
    path.write_text(PROJECT, "utf-8")
    assert main(["check", "--json", str(path)]) == 0
    report = json.loads(capsys.readouterr().out)
    tray = report["folded"]["tray"]
    assert tray["panels"]["base"] == [[20, 20, 0], [80, 20, 0], [80, 70, 0], [20, 70, 0]]
    assert {tuple(point) for point in tray["panels"]["front"]} == {
        (20, 20, 0),
        (80, 20, 0),
        (80, 20, 20),
        (20, 20, 20),
    }
    assert tray["cavity"] == pytest.approx([59.7, 49.7, 19.85])
    [join] = tray["joins"]
    assert (join["tab"], join["to"], join["share"]) == ("tab", "back", 1)
    assert join["gap"] == pytest.approx(0) and join["overlap"] == pytest.approx(400)
    corners = {frozenset(seam["between"]): seam for seam in tray["seams"]}
    assert {frozenset(("left", "front")), frozenset(("right", "front"))} <= set(corners)
    for seam in corners.values():
        assert seam["gap"] == pytest.approx(0) and seam["length"] == pytest.approx(20)
    assert sorted(name for step in tray["order"] for name in step) == sorted(
        ["tab", "back", "left", "right", "front"]
    )
    assert tray["collisions"] == [] and tray["order_proved"]
    assert tray["placement"]["within"] == "lid" and report["folded"]["lid"]["placement"] is None
    [contents] = report["contents"]
    assert contents["id"] == "cards" and contents["fits"]
    assert contents["spare"] == pytest.approx([0.7, 0.7, 3.85])
    [nest] = report["nests"]
    assert (nest["inner"], nest["outer"], nest["fits"]) == ("tray", "lid", True)
    assert nest["spare"] == pytest.approx([0.9, 0.9, 8 - 20 - 0.3 - 0.5])
    assert nest["opening"] == "z"

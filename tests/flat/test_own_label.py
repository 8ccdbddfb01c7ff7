"""Own labels: panels that share a label are told apart as the reader sees the flat piece."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import pytest
from shapely.geometry import Point

from booklet.flat.own_label import own_labels
from booklet.flat.pattern import Pattern
from tests.folding import flat_project


def ring(folder: Path, count: int, first: float = 90.0) -> Pattern:
    """Panels "w0", "w1" ... that are all called "wall", clockwise round a middle."""
    names = [f"w{k}" for k in range(count)]
    text = f"""
[[piece]]
id = "tray"
stock = "card"
columns = {["10"] * count}
rows = ["10"]
map = ["{" ".join(names)}"]
[piece.panel]
""" + "".join(f'{name}.label = "wall"\n' for name in names)
    pattern = flat_project(text, folder).pattern
    panels = []
    for k, panel in enumerate(pattern.panels):
        angle = math.radians(first - 360 * k / count)
        panels.append(
            replace(panel, shape=Point(50 * math.cos(angle), 50 * math.sin(angle)).buffer(5))
        )
    return replace(pattern, panels=tuple(panels))


@pytest.mark.parametrize(
    ("count", "words"),
    [
        (2, ["top", "bottom"]),
        (4, ["top", "right", "bottom", "left"]),
        (6, ["top", "top right", "bottom right", "bottom", "bottom left", "top left"]),
    ],
)
def test_walls_of_a_ring_are_told_by_their_place(
    tmp_path: Path, count: int, words: list[str]
) -> None:
    """Each wall has a place of its own."""
    assert list(own_labels(ring(tmp_path, count)).values()) == [f"{word} wall" for word in words]


def test_too_many_walls_for_places_are_numbered_clockwise_from_the_top(tmp_path: Path) -> None:
    """Twelve walls: numbers, the same on both sides of the paper."""
    pattern = ring(tmp_path, 12)
    assert own_labels(pattern) == {f"w{k}": f"wall {k + 1}" for k in range(12)}
    assert own_labels(pattern, turned=True) == own_labels(pattern)


def test_panels_in_a_row_are_numbered_as_one_reads(tmp_path: Path) -> None:
    """Three have a middle; of four two would be left ones, so they are numbered."""
    text = """
[[piece]]
id = "band"
stock = "card"
columns = ["10", "10", "10", "10"]
rows = ["20"]
map = ["a b c d"]
[piece.panel]
a.label = "side"
b.label = "side"
c.label = "side"
"""
    three = flat_project(text, tmp_path).pattern
    assert own_labels(three) == {
        "a": "left side", "b": "middle side", "c": "right side", "d": "d",
    }  # fmt: skip
    assert own_labels(three, turned=True)["a"] == "right side"
    four = flat_project(text + 'd.label = "side"\n', tmp_path).pattern
    assert list(own_labels(four).values()) == ["side 1", "side 2", "side 3", "side 4"]

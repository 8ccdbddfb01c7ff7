"""Free outlines against closed formulas: a pyramid, a hexagonal tray, a tray, discs.

Formulas: areas and volumes of regular polygons, pyramids and prisms (school geometry, from memory);
the folding angle of a pyramid's sides from its slant height and half its base.
"""

from __future__ import annotations

import itertools
import json
import math
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from scipy.spatial import ConvexHull  # type: ignore[import-untyped]

from booklet.report import report
from booklet.stages import check_file
from tests.folding import HEAD


def checked(text: str, folder: Path) -> dict[str, object]:
    """The report of a project without errors."""
    path = folder / "test.toml"
    path.write_text(HEAD + text, "utf-8")
    model, problems = check_file(path)
    assert not [problem for problem in problems if problem.severity == "error"], problems
    data: dict[str, object] = json.loads(json.dumps(report(model, problems)))
    return data


def pyramid(side: float, slant: float) -> str:
    """A square base with four triangles, apexes drawn at slant height."""
    fold = math.degrees(math.pi - math.acos(side / 2 / slant))
    return f"""
[measures]
side = {side}
slant = {slant}
[[piece]]
id = "pyramid"
outline = \"\"\"
M 0 0 L {{side/2}} {{-slant}} L {{side}} 0 L {{side + slant}} {{side/2}} L {{side}} {{side}}
L {{side/2}} {{side + slant}} L 0 {{side}} L {{-slant}} {{side/2}} Z\"\"\"
scores = ["M 0 0 h {{side}} v {{side}} h {{-side}} Z"]
root = "base"
[piece.panels]
base = ["side/2", "side/2"]
south = ["side/2", -1]
east = ["side + 1", "side/2"]
north = ["side/2", "side + 1"]
west = [-1, "side/2"]
[piece.folds]
south = {fold}
east = {fold}
north = {fold}
west = {fold}
"""


@settings(
    suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=15, deadline=None
)
@given(side=st.integers(20, 120), ratio=st.floats(0.6, 3))
def test_a_pyramid_has_its_area_and_comes_to_one_point(
    tmp_path: Path, side: int, ratio: float
) -> None:
    """Area a^2 + 2 a s; all apexes meet at height sqrt(s^2 - a^2 / 4); volume a^2 h / 3."""
    slant = round(side * ratio, 2)
    data = checked(pyramid(side, slant), tmp_path)
    panels = data["pieces"][0]["panels"]  # type: ignore[index]
    area = sum(panel["area"] for panel in panels.values())
    assert area == pytest.approx(side**2 + 2 * side * slant, rel=1e-6)
    folded = data["folded"]["pyramid"]["panels"]  # type: ignore[index]
    height = math.sqrt(slant**2 - side**2 / 4)
    tops = [
        point
        for name in ("south", "east", "north", "west")
        for point in folded[name]
        if point[2] > height / 2
    ]
    assert len(tops) == 4
    middle = slant + side / 2
    for top in tops:
        assert top == pytest.approx([middle, middle, height], abs=0.01)
    corners = np.array([point for name in folded for point in folded[name]])
    assert ConvexHull(corners).volume == pytest.approx(side**2 * height / 3, rel=1e-3)


def polar(radius: float, degrees: float) -> str:
    """A point as path data."""
    angle = math.radians(degrees)
    return f"{radius * math.cos(angle):.9f} {radius * math.sin(angle):.9f}"


def hexagonal_tray(side: float, wall: float) -> str:
    """A regular hexagon with six walls; corners at 0, 60 ... degrees."""
    outline, points = [], []
    for k in range(6):
        a, b = (np.array([math.cos(t), math.sin(t)]) for t in np.radians([60 * k, 60 * k + 60]))
        out = (a + b) / np.linalg.norm(a + b) * wall
        for p in (a * side, a * side + out, b * side + out):
            outline.append(f"{p[0]:.9f} {p[1]:.9f}")
        x, y = (a + b) * side / 2 + out / 2
        points.append(f"w{k} = [{x:.6f}, {y:.6f}]")
    score = " L ".join(polar(side, 60 * k) for k in range(6))
    return "\n".join(
        [
            "[[piece]]",
            'id = "tray"',
            f'outline = "M {" L ".join(outline)} Z"',
            f'scores = ["M {score} Z"]',
            "[piece.panels]",
            "base = [0, 0]",
            *points,
        ]
    )


@pytest.mark.parametrize(("side", "wall"), [(30, 10), (50, 40)])
def test_a_hexagonal_tray_has_the_volume_of_its_prism(
    tmp_path: Path, side: float, wall: float
) -> None:
    """Base 3 sqrt(3) / 2 a^2, six walls a h, volume base times height; walls meet."""
    data = checked(hexagonal_tray(side, wall), tmp_path)
    base = 3 * math.sqrt(3) / 2 * side**2
    panels = data["pieces"][0]["panels"]  # type: ignore[index]
    assert panels["base"]["area"] == pytest.approx(base, rel=1e-6)
    for k in range(6):
        assert panels[f"w{k}"]["area"] == pytest.approx(side * wall, rel=1e-6)
    folded = data["folded"]["tray"]["panels"]  # type: ignore[index]
    corners = np.array([point for name in folded for point in folded[name]])
    assert ConvexHull(corners).volume == pytest.approx(base * wall, rel=1e-5)
    rims = [tuple(np.round(p, 4)) for k in range(6) for p in folded[f"w{k}"] if p[2] > wall - 1e-3]
    assert len(rims) == 12
    assert len(set(rims)) == 6


def test_areas_with_arcs_come_from_their_circles(tmp_path: Path) -> None:
    """A half disc on a rectangle with a round window: w h + pi r^2 / 2 - pi q^2."""
    text = """
[[piece]]
id = "arch"
outline = "M 0 0 H 40 V 30 A 20 20 0 0 1 0 30 Z M 15 15 a 5 5 0 1 0 10 0 a 5 5 0 1 0 -10 0 z"
scores = ["M 0 30 H 40"]
[piece.panels]
body = [5, 5]
arch = [20, 40]
[[piece.cutout]]
panel = "arch"
shape = "circle"
at = [20, 8]
size = [4, 4]
"""
    panels = checked(text, tmp_path)["pieces"][0]["panels"]  # type: ignore[index]
    # Chords stray by 0.02 mm at most, so an area errs by less than that times its curves' length.
    assert panels["body"]["area"] == pytest.approx(1200 - math.pi * 25, abs=0.02 * 10 * math.pi)
    arch = math.pi * 200 - math.pi * 4
    assert panels["arch"]["area"] == pytest.approx(arch, abs=0.02 * 24 * math.pi)
    assert panels["arch"]["size"] == [40, 20]


TRAY = """
[[piece]]
id = "tray"
columns = [15, 5, 60, 5, 15]
rows = [20, 60, 20]
map = [
  ".     tab_a  back   tab_b  .     ",
  "left  left   base   right  right ",
  ".     tab_c  front  tab_d  .     ",
]
cuts = ["tab_a|left", "tab_b|right", "tab_c|left", "tab_d|right"]
root = "base"
[piece.panel.tab_a]
taper = 1
"""
FREE_TRAY = """
[[piece]]
id = "tray"
outline = \"\"\"
M 107 10 h -5 v 20 h -15 v 60 h 15 v 20 h 70 v -20 h 15 v -60 h -15 v -20 Z\"\"\"
cuts = ["M 102 30 h 5", "M 167 30 h 5", "M 102 90 h 5", "right|tab_b"]
scores = ["M 107 10 v 100", "M 167 10 v 100", "M 107 30 h 60", "M 107 90 h 60 h 5"]
root = "base"
[piece.panels]
tab_a = [104, 100]
back = [130, 100]
tab_b = [170, 100]
left = [100, 60]
base = [130, 60]
right = [180, 60]
tab_c = [104, 20]
front = [130, 20]
tab_d = [170, 20]
[piece.panel.tab_a]
taper = 1
"""


def test_a_tray_drawn_freely_is_the_tray_of_the_map(tmp_path: Path) -> None:
    """Blank, panels, scores, chart, cuts and folded places are the same, wherever it is drawn."""
    text = ""
    for piece in (TRAY, FREE_TRAY):
        text = piece + '[[piece.join]]\ntab = "tab_a"\nto = "left"\n'
        data = checked(text, tmp_path)
        if piece is TRAY:
            grid = data
    mine, theirs = data["pieces"][0], grid["pieces"][0]  # type: ignore[index]
    for key in ("blank", "root", "scores", "score_chart"):
        assert mine[key] == theirs[key], key
    assert set(mine["panels"]) == set(theirs["panels"])
    for name, panel in theirs["panels"].items():
        assert mine["panels"][name]["area"] == pytest.approx(panel["area"], abs=1e-6)
        assert mine["panels"][name]["size"] == panel["size"]
        assert sorted(mine["panels"][name]["outline"]) == sorted(panel["outline"])
    lengths = [
        sum(math.dist(a, b) for line in piece["cuts"] for a, b in itertools.pairwise(line))
        for piece in (mine, theirs)
    ]
    assert lengths[0] == pytest.approx(lengths[1], abs=1e-6)
    folded = [each["folded"]["tray"] for each in (data, grid)]  # type: ignore[index]
    assert folded[0]["cavity"] == folded[1]["cavity"]
    assert folded[0]["joins"] == folded[1]["joins"]


def test_a_score_that_misses_by_less_than_a_hand_is_carried_to_the_line(tmp_path: Path) -> None:
    """0.3 mm short at one end and 0.3 mm over at the other: still one score, ends on the edges."""
    text = """
[[piece]]
id = "card"
outline = "M 0 0 H 80 V 50 H 0 Z"
scores = ["M 40 0.3 V 50.3"]
[piece.panels]
left = [20, 20]
right = [60, 20]
"""
    piece = checked(text, tmp_path)["pieces"][0]  # type: ignore[index]
    assert [(s["from"], s["to"]) for s in piece["scores"]] == [([40, 0], [40, 50])]
    assert piece["score_chart"]["from_left"] == [40]

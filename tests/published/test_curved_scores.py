"""Curved scores against what is published about them, measured with scipy.

D. Fuchs and S. Tabachnikov, "More on paperfolding", American Mathematical Monthly 106 (1999): paper
folded along a curve keeps its lengths; both sheets make one angle with the osculating plane of the
crease; the crease's curvature in the flat is its curvature in space times the cosine of that
angle. (From memory; J. P. Duncan and J. L. Duncan, "Folded developables", Proc. R. Soc. Lond. A 383
(1982), has the same relations.)
"""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.integrate import quad  # type: ignore[import-untyped]

from booklet.fold.bend import BentPose
from booklet.fold.crease import samples
from booklet.fold.strip import strips
from booklet.stages import Model, check_file
from tests.folding import HEAD

Floats = NDArray[np.float64]

POUCH = """
[measures]
wide = 80
tall = 110
bow = 14
radius = "wide * wide / (8 * bow) + bow / 2"
[[piece]]
id = "pouch"
stock = "card"
outline = \"\"\"
M 0 0 A {radius} {radius} 0 0 1 {wide} 0 A {radius} {radius} 0 0 1 {2*wide} 0
L {2*wide + 12} 20 V {tall - 20} L {2*wide} {tall}
A {radius} {radius} 0 0 1 {wide} {tall} A {radius} {radius} 0 0 1 0 {tall} Z\"\"\"
scores = [
  "M {wide} 0 V {tall} M {2*wide} 0 V {tall}",
  "M 0 0 A {radius} {radius} 0 0 0 {wide} 0 A {radius} {radius} 0 0 0 {2*wide} 0",
  "M 0 {tall} A {radius} {radius} 0 0 1 {wide} {tall} A {radius} {radius} 0 0 1 {2*wide} {tall}",
]
root = "front"
[piece.panels]
front = ["wide/2", "tall/2"]
back = ["wide*3/2", "tall/2"]
tab = ["2*wide + 5", "tall/2"]
front_low = ["wide/2", 0]
back_low = ["wide*3/2", 0]
front_top = ["wide/2", "tall"]
back_top = ["wide*3/2", "tall"]
[piece.folds]
back = 180
tab = 180
[[piece.join]]
tab = "tab"
to = "front"
"""


def built(folder: Path, extra: str = "") -> Model:
    """The pouch, folded, without errors."""
    path = folder / "pouch.toml"
    path.write_text(HEAD + POUCH + extra, "utf-8")
    model, problems = check_file(path)
    assert model is not None
    assert not [problem for problem in problems if problem.severity == "error"], problems
    return model


@pytest.fixture
def bent(tmp_path: Path) -> BentPose:
    """The pouch bent at its target angles."""
    found = built(tmp_path).folded[0].bent
    assert found is not None
    return found


def along(bent: BentPose, name: str, start: Floats, end: Floats, t: float) -> Floats:
    """The velocity in space of a point that runs from start to end in the flat."""
    step = 1e-5
    points = np.array([start + (end - start) * (t + k * step) for k in (-0.5, 0.5)])
    placed = bent.place(name, points)
    velocity: Floats = (placed[1] - placed[0]) / step
    return velocity


@pytest.mark.parametrize("name", ["front", "back", "front_top", "back_low"])
def test_every_line_keeps_its_length(bent: BentPose, name: str) -> None:
    """Random lines of the sheet are as long in space as flat, by numerical integration."""
    random = np.random.default_rng(7)
    x0, y0, x1, y1 = bent.posed.panels[name].shape.bounds
    for _ in range(6):
        start, end = random.uniform((x0, y0), (x1, y1), (2, 2))
        curves = np.linspace(0, 1, 9)[1:-1]

        def speed(t: float, a: Floats = start, b: Floats = end) -> float:
            return float(np.linalg.norm(along(bent, name, a, b, t)))

        length = quad(speed, 0, 1, points=curves, limit=200, epsrel=1e-6)[0]
        assert length == pytest.approx(math.dist(start, end), rel=1e-4)


def test_both_panels_meet_along_the_whole_score(bent: BentPose) -> None:
    """The score's points as part of the panel and as part of the flap: within 0.01 mm."""
    for score in bent.scores:
        assert score.score.curve is not None
        points = np.array(samples(score.score.curve))
        first, second = (bent.place(name, points) for name in score.score.between)
        assert np.linalg.norm(first - second, axis=1).max() < 0.01


def test_both_sheets_make_one_angle_with_the_plane_of_the_crease(bent: BentPose) -> None:
    """And flat curvature is space curvature times the cosine of that angle."""
    radius = 80 * 80 / (8 * 14) + 14 / 2
    centre = np.array([40.0, 14 + 110 + math.sqrt(radius**2 - 40**2)])
    for turn in np.radians([-110, -95, -80, -70]):
        ways = turn + np.array([-1, 0, 1]) * 0.06
        flat = centre + radius * np.column_stack([np.cos(ways), np.sin(ways)])
        space = bent.place("front", flat)
        tangent = (space[2] - space[0]) / np.linalg.norm(space[2] - space[0])
        bend = (space[2] - 2 * space[1] + space[0]) / (radius * 0.06) ** 2
        bend -= tangent * (bend @ tangent)
        curvature = float(np.linalg.norm(bend))
        osculating = np.cross(tangent, bend / curvature)
        angles = []
        for name in ("front", "front_top"):
            point = flat[1]
            across = along(bent, name, point, point + np.array([1.0, 0.0]), 0.0)
            up = along(bent, name, point, point + np.array([0.0, 1.0]), 0.0)
            normal = np.cross(across, up)
            cosine = float(normal @ osculating / np.linalg.norm(normal))
            angles.append(math.degrees(math.acos(min(1.0, abs(cosine)))))
        assert angles[0] == pytest.approx(angles[1], abs=1.0)
        flat_curvature = curvature * math.cos(math.radians(angles[0]))
        assert flat_curvature == pytest.approx(1 / radius, rel=0.03)


def test_the_pouch_closes(bent: BentPose) -> None:
    """Front and back share both sides, and the flaps at each end lie in one surface."""
    sides = [np.array([[x, y] for y in (20.0, 60.0, 110.0)]) for x in (0.0, 80.0, 160.0)]
    assert bent.place("front", sides[1]) == pytest.approx(bent.place("back", sides[1]), abs=1e-6)
    assert bent.place("front", sides[0]) == pytest.approx(bent.place("back", sides[2]), abs=1e-6)
    for end in ("low", "top"):
        loops = [
            np.concatenate([np.array(part[0]) for part in strips(bent, f"{side}_{end}")])
            for side in ("front", "back")
        ]
        boxes = [(loop.min(axis=0), loop.max(axis=0)) for loop in loops]
        assert boxes[0][0] == pytest.approx(boxes[1][0], abs=0.2)
        assert boxes[0][1] == pytest.approx(boxes[1][1], abs=0.2)


def test_the_room_of_a_pouch_is_what_its_section_leaves(tmp_path: Path) -> None:
    """A box of width w has 2 (bow - z(w / 2)) of depth: here z is the arc's own height (90°)."""
    room = built(tmp_path).folded[0].cavity
    assert room is not None
    radius = 80 * 80 / (8 * 14) + 14 / 2
    assert len(room.rooms) > 5
    for wide, tall, deep in room.rooms[1:-1]:
        # The section is not the arc itself but the arc drawn over its own arc length: find u.
        us = np.linspace(0, 40, 4001)
        zs = radius - np.sqrt(radius**2 - us**2)
        xs = np.concatenate([[0], np.cumsum(np.sqrt(np.diff(us) ** 2 - np.diff(zs) ** 2))])
        z, beside = (float(np.interp(wide / 2 + step, xs, zs)) for step in (0.0, 2.4))
        assert deep <= 2 * (14 - z) - 0.3 + 0.35  # strips bow less than the arc
        assert deep > 2 * (14 - beside) - 0.3 - 0.35  # rays stand 2.4 mm apart
        assert tall <= 82 + 2 * z + 0.3


def test_contents_go_into_one_of_the_rooms(tmp_path: Path) -> None:
    """What is too wide for the roomiest box fits a flatter one, and what is too deep does not."""
    thin = '[[contents]]\nid = "card"\nsize = [60, 75, 4]\ninside = "pouch"\n'
    assert built(tmp_path, thin).folded[0].contents[0].fits
    path = tmp_path / "pouch.toml"
    path.write_text(HEAD + POUCH + thin.replace("75, 4", "75, 14"), "utf-8")
    _, problems = check_file(path)
    assert "contents-do-not-fit" in {problem.code for problem in problems}

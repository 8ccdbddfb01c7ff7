"""Rings of scores round a vertex against Kawasaki's and Maekawa's theorems.

Source of both: T. Hull, "On the mathematics of flat origamis", Congressus Numerantium 100 (1994),
theorems 3.1 (Maekawa) and 3.2 (Kawasaki; number from memory).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from scipy.optimize import fsolve  # type: ignore[import-untyped]
from shapely.geometry import Polygon

from booklet.flat.path import Point, polyline
from booklet.flat.pattern import Edge, Hinge, Panel, Pattern, Score
from booklet.fold.pose import Skeleton, pose, skeleton
from booklet.fold.prove import prove
from booklet.fold.ring import Ring, close_rings
from booklet.problem import Place, Problem, Written
from booklet.read.piece import Piece

PLACE = Place("vertex.toml", 1, 1)
CENTRE = (100.0, 100.0)


def vertex(sectors: Sequence[float], angles: Sequence[float]) -> Pattern:
    """A disc of sectors (degrees) round one vertex, score i before sector i folded by angles[i].

    The tree runs round the vertex from sector 0; score 0 closes the ring.
    """
    count = len(sectors)
    at = np.radians(np.concatenate([[0.0], np.cumsum(sectors)]))
    rim = [(CENTRE[0] + 50 * np.cos(t), CENTRE[1] + 50 * np.sin(t)) for t in at]
    rim[-1] = rim[0]
    names = [f"s{i}" for i in range(count)]
    panels = []
    for i in range(count):
        points: list[Point] = [CENTRE, rim[i], rim[i + 1]]
        sides = ["score", "outer", "score"]
        beside = [names[i - 1], None, names[(i + 1) % count]]
        loop = [*points, points[0]]
        edges = tuple(
            Edge(kind, other, polyline(ends))
            for kind, other, ends in zip(sides, beside, pairwise(loop), strict=True)
        )
        box = (Fraction(0), Fraction(0), Fraction(1), Fraction(1))
        panels.append(Panel(names[i], names[i], box, Polygon(points), edges, (), PLACE))
    scores = tuple(
        Score(
            (names[i - 1], names[i]),
            CENTRE,
            rim[i],
            False,
            Fraction(0),
            (Fraction(0), Fraction(1)),
            angles[i],
        )
        for i in range(count)
    )
    hinges = tuple(Hinge(names[i], names[i - 1], i, angles[i]) for i in range(1, count))
    return Pattern(
        "v",
        "v",
        None,
        1,
        (Fraction(200),),
        (Fraction(200),),
        tuple(panels),
        scores,
        (),
        (),
        "s0",
        hinges,
        (),
        PLACE,
    )


def ring_of(pattern: Pattern, named: bool = False) -> tuple[Ring, list[Problem]]:
    """The one ring of a vertex, with its closing score named in the file or not."""
    first, second = pattern.scores[0].between
    folds = {f"{first}|{second}": Written("0", PLACE)} if named else {}
    piece = Piece(id=Written("v", PLACE), name="v", folds=dict(folds), place=PLACE)
    bones = skeleton(pattern)
    found: list[Problem] = []
    [ring] = close_rings(pattern, piece, bones, pose(bones, bones.targets), found)
    return ring, found


@pytest.mark.parametrize("seed", range(20))
@pytest.mark.parametrize("half", [2, 3, 4])
def test_flat_rings_close_exactly_where_kawasaki_says(seed: int, half: int) -> None:
    """All scores at 180 degrees: the ring closes iff alternate sectors add up to 180 degrees."""
    rng = np.random.default_rng(seed)
    odd, even = (rng.dirichlet(np.full(half, 6.0)) * 180 for _ in range(2))
    sectors: list[float] = np.stack([odd, even], axis=1).ravel().tolist()
    flat = [180.0] * len(sectors)
    ring, found = ring_of(vertex(sectors, flat))
    assert ring.closes and ring.residual < 1e-9 and not found
    sectors[0], sectors[1] = sectors[0] + 3, sectors[1] - 3
    ring, found = ring_of(vertex(sectors, flat))
    assert not ring.closes
    assert [problem.code for problem in found] == ["ring-does-not-close"]
    assert '"s' in found[0].message


def closing(bones: Skeleton, sectors: Sequence[float], angles: Sequence[float]) -> list[float]:
    """How far the last sector's normal and edge miss the first: zero when the ring closes."""
    pattern = vertex(sectors, angles)
    matrix = pose(bones, skeleton(pattern).targets)[-1]
    turned = matrix[:3, :3] @ np.array([1.0, 0.0, 0.0])
    return [float(turned[1]), float(turned[2])]


@pytest.mark.parametrize("seed", range(8))
def test_half_folded_vertices_differ_by_two(seed: int) -> None:
    """Degree 4, folded part of the way: solved angles have valleys - mountains = +-2.

    The other three angles are solved numerically from the first, so nothing but the pose is used.
    """
    rng = np.random.default_rng(seed)
    a, b = rng.uniform(50, 80), rng.uniform(95, 125)
    sectors = [a, b, 180 - a, 180 - b]
    bones = skeleton(vertex(sectors, [0.0, 40, 40, 40]))
    solved = 0
    for guess in [(60, -60), (-60, 60), (60, 60), (-60, -60)]:

        def miss(free: Any) -> list[float]:
            return closing(bones, sectors, [0.0, 40.0, float(free[0]), float(free[1])])

        root, _, good, _ = fsolve(miss, guess, full_output=True)
        if good != 1 or np.abs(root).max() > 170 or np.abs(root).min() < 2:
            continue
        angles = [0.0, 40.0, float(root[0]), float(root[1])]
        ring, _ = ring_of(vertex(sectors, angles))
        if not ring.closes:
            continue
        angles[0] = ring.angle
        ring, found = ring_of(vertex(sectors, angles), named=True)
        assert ring.closes and not found
        valleys = sum(angle > 0 for angle in angles)
        assert abs(valleys - (4 - valleys)) == 2
        angles[0] = -angles[0]
        ring, found = ring_of(vertex(sectors, angles), named=True)
        assert not ring.closes and found
        solved += 1
    assert solved


MAP_FOLD = """
[[piece]]
id = "map"
stock = "card"
columns = [40, 40]
rows = [30, 30]
map = ["a b", "c d"]
root = "a"
[piece.folds]
b = 180
c = {c}
d = {d}
"{closing}" = {last}
"""


@pytest.mark.parametrize(
    ("c", "d", "last", "codes"),
    [
        (180, 180, -180, []),
        (180, -180, 180, []),
        (-180, -180, 180, ["flat-corner-impossible"]),
        (180, 180, 180, ["flat-corner-impossible"]),
    ],
)
def test_a_map_folded_in_four_needs_three_of_a_kind(
    flat: Callable[[str], Any], c: int, d: int, last: int, codes: list[str]
) -> None:
    """Four right angles fold flat only with three valleys and a mountain, or the reverse."""
    made = flat(MAP_FOLD.format(c=c, d=d, last=last, closing="c|d"))
    tree = {frozenset((h.panel, h.parent)) for h in made.pattern.hinges}
    closing_pair = "b|d" if frozenset(("c", "d")) in tree else "c|d"
    made = flat(MAP_FOLD.format(c=c, d=d, last=last, closing=closing_pair))
    found: list[Problem] = []
    prove(made.patterns, made.project, made.scope, found)
    assert [p.code for p in found if p.severity == "error"] == codes

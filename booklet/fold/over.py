"""Walls that go over or between other walls of the same piece: is there room for the paper?

In: a posed piece, its layers, and the pairs of panels that lie on each other. Out: problems for
two walls held at a distance that must go round two others, or between them, as the walls of a
hinged lid go over the walls of its box.

Panels are middle surfaces: to go round two walls, two others must be farther apart by twice the
stock's thickness. Only walls that are held count (glued at a corner, or part of one): a loose
flap gives way.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from booklet.fold.layer import turned_up
from booklet.fold.plate import ring_clusters
from booklet.fold.pose import Posed
from booklet.measure.tolerance import TOUCH_MM
from booklet.problem import Problem

MOST_PAIRS = 60
"""Pairs of walls that are compared with each other; a lid has two or three."""

PARALLEL = 0.99


@dataclass(frozen=True)
class Narrow:
    """`outer` walls are `has` mm farther apart than `inner` ones and should be `needs` mm."""

    outer: tuple[str, str]
    inner: tuple[str, str]
    has: float
    needs: float


def check_over(
    posed: Posed,
    layers: Mapping[str, int],
    lying: Sequence[tuple[str, str]],
    found: list[Problem],
) -> tuple[Narrow, ...]:
    """Every two walls that go over two others too tightly; `lying` are pairs in one plane."""
    held = held_panels(posed)
    home = posed.pattern.id
    tabs = {join.tab[1] for join in posed.pattern.joins if join.tab[0] == home}
    loose = [
        (a, b)
        for a, b in lying
        if {a, b} <= held and not {a, b} & tabs and not _hinged(posed, a, b)
    ]
    narrow: list[Narrow] = []
    for first, second in combinations(loose[:MOST_PAIRS], 2):
        for other in (second, second[::-1]):
            tight = _compare(posed, layers, first, other)
            if tight is not None:
                narrow.append(tight)
                found.append(_too_narrow(posed, tight))
    return tuple(narrow)


def held_panels(posed: Posed) -> set[str]:
    """Panels that cannot give way: the root, those glued or with a glued tab, those in rings."""
    home = posed.pattern.id
    parents = {hinge.panel: hinge.parent for hinge in posed.pattern.hinges}
    held = {posed.pattern.root}
    for join in posed.pattern.joins:
        for piece, name in (join.tab, join.to):
            if piece == home:
                held.add(name)
        if join.tab[0] == home and join.tab[1] in parents:
            held.add(parents[join.tab[1]])
    for cluster in ring_clusters(posed.pattern):
        held |= cluster
    return held


def _hinged(posed: Posed, a: str, b: str) -> bool:
    return any({a, b} == set(score.between) for score in posed.pattern.scores)


def _compare(
    posed: Posed, layers: Mapping[str, int], first: tuple[str, str], second: tuple[str, str]
) -> Narrow | None:
    """Walls a, c of one body against b, d of another, a on b and c on d; None if there is room."""
    (a, b), (c, d) = first, second
    if len({a, b, c, d}) < 4 or _through(posed, a, c, {b, d}) or _through(posed, b, d, {a, c}):
        return None
    normal = posed.matrix(a)[:3, 2]
    if abs(float(normal @ posed.matrix(c)[:3, 2])) < PARALLEL:
        return None
    away = float(normal @ (posed.matrix(a)[:3, 3] - posed.matrix(c)[:3, 3]))
    one = abs(away)
    two = abs(float(normal @ (posed.matrix(b)[:3, 3] - posed.matrix(d)[:3, 3])))
    needs = 2 * posed.thickness
    if min(one, two) <= 2 * needs:
        return None
    up = turned_up(normal * np.sign(away))
    outside = _above(layers, a, b, up), _above(layers, c, d, not up)
    if None not in outside and outside[0] != outside[1]:
        return None  # each goes outside on one side, as in a pinwheel
    known = next((value for value in outside if value is not None), None)
    if known is None:
        known = one >= two
    has = one - two if known else two - one
    if has >= needs - TOUCH_MM:
        return None
    return Narrow((a, c), (b, d), has, needs) if known else Narrow((b, d), (a, c), has, needs)


def _through(posed: Posed, start: str, end: str, others: set[str]) -> bool:
    """Whether the way between two panels over scores leads through one of the others."""
    ways = [
        [posed.bones.names[i] for i in posed.bones.way_up(posed.bones.index[name])]
        for name in (start, end)
    ]
    fork = next(name for name in ways[0] if name in ways[1])
    way = [*ways[0][: ways[0].index(fork) + 1], *ways[1][: ways[1].index(fork)]]
    return bool(others & set(way))


def _above(layers: Mapping[str, int], a: str, b: str, up: bool) -> bool | None:
    """Whether `a` lies outside of `b`; None where the layers do not tell."""
    return None if layers[a] == layers[b] else (layers[a] > layers[b]) == up


def _too_narrow(posed: Posed, tight: Narrow) -> Problem:
    outer, inner = [" and ".join(f'"{n}"' for n in pair) for pair in (tight.outer, tight.inner)]
    by = tight.needs - tight.has
    return Problem(
        "wall-no-room",
        f"{outer} go outside {inner}, and must be {tight.needs:.1f} mm farther apart than they "
        f"(twice the stock's thickness): they are {by:.1f} mm too close",
        posed.panels[tight.outer[0]].place,
        f"make the panel between {outer} {by:.1f} mm larger, or that between {inner} smaller",
    )

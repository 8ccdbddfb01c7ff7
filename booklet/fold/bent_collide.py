"""Bent panels that run through others in the finished shape.

In: a `BentPose` and its plates. Out: problems for pairs of panels that cross, at least one of them
bent, and a note that their way there is not proved.

A bent panel counts as its flat strips. Two surfaces cross where one strip reaches through the other
by more than the tolerance of plates, on both sides of its plane and for a stretch. What bends on
the way from flat follows no sure path (paper gives where a hand presses it), so no sweep is made.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Collection
from dataclasses import dataclass

import numpy as np

from booklet.flat.pattern import Pattern
from booklet.fold.bend import BentPose
from booklet.fold.collide import share_stretch, stretches
from booklet.fold.plate import exempt_pairs, inner_shapes, inset_of
from booklet.fold.pose import Floats
from booklet.fold.strip import strips
from booklet.measure.tolerance import ANGLE_DEG
from booklet.problem import Problem


@dataclass(frozen=True, eq=False)
class _Strip:
    """A flat polygon in space: outer loop first, a unit normal and the box round it."""

    loops: tuple[Floats, ...]
    normal: Floats
    low: Floats
    high: Floats


def check_bent(
    bent: BentPose, tucks: Collection[tuple[str, str | None]], found: list[Problem]
) -> None:
    """Report panels that a bent one runs through; `tucks` are lips that slip behind a panel."""
    pattern = bent.posed.pattern
    for first, second in bent_crossings(bent, tucks):
        found.append(_through(first, second, pattern))
    names = ", ".join(sorted(bent.bends))
    found.append(
        Problem(
            "bend-way-not-proved",
            f"the panels {names} bend: only where they end is proved, not their way there",
            pattern.place,
            "fold a paper model to try it",
        )
    )


def bent_crossings(
    bent: BentPose, tucks: Collection[tuple[str, str | None]] = ()
) -> list[tuple[str, str]]:
    """Pairs of panels that cross in the finished shape, at least one of them bent."""
    names = bent.posed.bones.names
    exempt = exempt_pairs(bent.posed, tucks)
    inset = inset_of(bent.posed)
    own = [_strips(bent, name, inset) for name in names]
    return [
        (names[i], names[j])
        for i, j in itertools.combinations(range(len(names)), 2)
        if not exempt[i, j]
        and (names[i] in bent.bends or names[j] in bent.bends)
        and any(_through_each_other(a, b, inset) for a, b in itertools.product(own[i], own[j]))
    ]


def _strips(bent: BentPose, name: str, inset: float) -> list[_Strip]:
    found = []
    for shape in inner_shapes(bent.posed.panels[name].shape, inset):
        if name in bent.bends:
            flat_ones = strips(bent, name, shape)
        else:
            rings = (shape.exterior, *shape.interiors)
            flat_ones = [
                tuple(
                    tuple(map(tuple, bent.place(name, np.asarray(ring.coords)[:-1, :2])))
                    for ring in rings
                )
            ]
        found += [_strip(tuple(np.asarray(loop) for loop in loops)) for loops in flat_ones]
    return found


def _strip(loops: tuple[Floats, ...]) -> _Strip:
    outer = loops[0]
    around = np.cross(outer, np.roll(outer, -1, axis=0)).sum(axis=0)
    return _Strip(loops, around / np.linalg.norm(around), outer.min(axis=0), outer.max(axis=0))


def _through_each_other(a: _Strip, b: _Strip, depth: float) -> bool:
    if (a.low > b.high).any() or (b.low > a.high).any():
        return False
    if not (_astride(a, b, depth) and _astride(b, a, depth)):
        return False
    line = np.cross(a.normal, b.normal)
    size = float(np.linalg.norm(line))
    if size <= math.sin(math.radians(ANGLE_DEG)):
        return False
    first, second = (
        stretches(own.loops, other.loops[0][0], other.normal, line / size)
        for own, other in ((a, b), (b, a))
    )
    return share_stretch(first, second)


def _astride(a: _Strip, b: _Strip, depth: float) -> bool:
    """Whether a strip reaches out on both sides of another's plane, by more than `depth`."""
    heights = (a.loops[0] - b.loops[0][0]) @ b.normal
    return bool(heights.min() < -depth and heights.max() > depth)


def _through(first: str, second: str, pattern: Pattern) -> Problem:
    return Problem(
        "bends-collide",
        f'"{first}" and "{second}" run through each other in the finished shape, as they bend',
        pattern.place,
        "make one of the two smaller, or their curves flatter",
    )

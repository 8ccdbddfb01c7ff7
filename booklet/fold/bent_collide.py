"""What is said of a bent piece: panels that run through others when done, and what is not proved.

In: the plates of a bent piece, its finished pose and the order of folds. Out: problems for pairs of
panels that cross in the finished shape, and a note where paper has to give on the way there.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import replace

import numpy as np

from booklet.flat.pattern import Pattern
from booklet.fold.bend import BentPose
from booklet.fold.bent_plate import BentPlates, bent_crossings, bent_plates
from booklet.fold.order import FoldOrder, told_hits
from booklet.fold.plate import Plates
from booklet.fold.pose import folded
from booklet.problem import Problem

MOST_BENT = 24
"""Bent panels of a piece whose way is swept: about a second."""


def is_swept(bent: BentPose) -> bool:
    """Whether the way of a piece is swept with its panels bent; else only its end is looked at."""
    return len(bent.bends) <= MOST_BENT


def checked_plates(
    solid: Plates, bent: BentPose, tucks: Collection[tuple[str, str | None]], found: list[Problem]
) -> Plates:
    """The plates with which a bent piece is swept; panels that cross in the end are reported."""
    plates = bent_plates(solid, bent, tucks)
    names = plates.bones.names
    pairs = bent_crossings(plates, bent)
    found += [_through(names[i], names[j], bent.posed.pattern) for i, j in pairs]
    return replace(plates, crossed=bool(pairs)) if is_swept(bent) else solid


def settled_order(order: FoldOrder, plates: Plates) -> FoldOrder:
    """An order, however it came about, with what has to give on the way of bent panels."""
    if not isinstance(plates, BentPlates):
        return order
    if plates.crossed:
        return replace(order, proved=False)
    if order.given or order.gives:
        return order
    angles = np.zeros(len(plates.bones.names))
    gives: dict[str, float] = {}
    for number, names in enumerate(order.steps if order.proved else (), 1):
        told_hits(plates, angles, names, number, gives)
        angles = folded(plates.bones, angles, names)
    return replace(order, gives=gives)


def check_bent_way(bent: BentPose, order: FoldOrder, found: list[Problem]) -> None:
    """Say what of a bent piece's way is not proved, if anything."""
    pattern = bent.posed.pattern
    if not is_swept(bent):
        found.append(_not_swept(pattern, len(bent.bends)))
    elif order.gives:
        found.append(_gives(pattern, order.gives))


def _through(first: str, second: str, pattern: Pattern) -> Problem:
    return Problem(
        "bends-collide",
        f'"{first}" and "{second}" run through each other in the finished shape, as they bend',
        pattern.place,
        "make one of the two smaller, or their curves flatter",
    )


def _not_swept(pattern: Pattern, count: int) -> Problem:
    return Problem(
        "bend-way-not-proved",
        f'"{pattern.id}" has {count} panels that bend: only where they end is proved, not their '
        "way there",
        pattern.place,
        "fold a paper model to try it",
    )


def _gives(pattern: Pattern, gives: Mapping[str, float]) -> Problem:
    names = [f'"{panel.name}"' for panel in pattern.panels if panel.name in gives]
    listed = names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
    each = "turns" if len(names) == 1 else "turn"
    most = max(gives.values())
    return Problem(
        "bend-way-not-proved",
        f"{listed} {each} about a curve that is bent already: nothing is in the way, but paper has "
        f"to give there by about {most:.0f} mm before it lies smooth again, and that it does is "
        "not proved",
        pattern.place,
        "fold a paper model to try it",
    )

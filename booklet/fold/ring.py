"""Rings of scores: does every score that is no hinge of the tree come out in the same place?

In: a pattern in its final pose. Out: one `Ring` for each score outside the hinge tree, with what
is left open in mm, and an error for each that does not close.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

import numpy as np

from booklet.flat.pattern import Pattern, Score
from booklet.fold.pose import Floats, Skeleton, hinge_axis, in_space, outline, turns
from booklet.measure.tolerance import HAND_MM
from booklet.problem import Place, Problem
from booklet.read.piece import Piece


@dataclass(frozen=True)
class Ring:
    """A score that closes a ring: `residual` mm, and the `angle` at which it comes out (degrees).

    `residual` is the largest distance between the two places of the score's ends; where the file
    gives the score an angle, of the second panel's corners too.
    """

    between: tuple[str, str]
    residual: float
    angle: float
    closes: bool


def close_rings(
    pattern: Pattern, piece: Piece, bones: Skeleton, matrices: Floats, found: list[Problem]
) -> tuple[Ring, ...]:
    """Check every score outside the tree; HAND_MM is what may be left open."""
    tree = {hinge.score for hinge in pattern.hinges}
    named = named_pairs(piece)
    rings: list[Ring] = []
    for number, score in enumerate(pattern.scores):
        if number in tree:
            continue
        ring = _ring(pattern, score, frozenset(score.between) in named, bones, matrices)
        rings.append(ring)
        if not ring.closes:
            found.append(_problem(pattern, piece, score, ring))
    return tuple(rings)


def named_pairs(piece: Piece) -> set[frozenset[str]]:
    """The scores that the file names as "a|b" in [piece.folds]."""
    pairs = [key.split("|") for key in piece.folds if "|" in key]
    return {frozenset(name.strip() for name in pair) for pair in pairs}


def _ring(pattern: Pattern, score: Score, named: bool, bones: Skeleton, matrices: Floats) -> Ring:
    first, second = score.between
    a, b = matrices[bones.index[first]], matrices[bones.index[second]]
    ends = np.array([score.start, score.end])
    open_by = float(np.linalg.norm(in_space(a, ends) - in_space(b, ends), axis=1).max())
    child = pattern.panel(second)
    start, axis = hinge_axis(child, first, score)
    start3, axis3 = np.array([*start, 0.0]), np.array([*axis, 0.0])
    angle = _angle(np.linalg.inv(a) @ b, axis3)
    closes = open_by <= HAND_MM
    if named:
        wanted = a @ turns(start3, axis3, np.array(score.angle))
        corners = outline(child.shape)
        apart = np.linalg.norm(in_space(wanted, corners) - in_space(b, corners), axis=1)
        open_by = max(open_by, float(apart.max()))
        closes = open_by <= HAND_MM
    return Ring(score.between, open_by, angle, closes)


def _angle(relative: Floats, axis: Floats) -> float:
    """The turn about `axis` in a rotation, degrees, valley positive; from its action on a normal.

    The angle between the sheet's normal before and after, signed by the axis.
    """
    before = np.array([0.0, 0.0, 1.0])
    after = relative[:3, :3] @ before
    sine = float(np.cross(before, after) @ axis)
    return float(np.degrees(np.arctan2(sine, float(before @ after))))


def _problem(pattern: Pattern, piece: Piece, score: Score, ring: Ring) -> Problem:
    first, second = score.between
    return Problem(
        "ring-does-not-close",
        f'the score between "{first}" and "{second}" does not close: once folded its two sides '
        f"are {ring.residual:.1f} mm apart (it comes out at {ring.angle:.0f}°)",
        fold_place(pattern, piece, (second, first)),
        f'change the angles of the panels round that corner, give "{first}|{second}" the angle '
        "that it comes out at, or cut the pair",
    )


def fold_place(pattern: Pattern, piece: Piece, panels: Collection[str]) -> Place:
    """Where the file gives these panels their angle: the pair, else one of them, else the map."""
    names = list(panels)
    for key, written in piece.folds.items():
        pair = {name.strip() for name in key.split("|")}
        if len(pair) == 2 and pair == set(names):
            return written.place
    for name in names:
        if name in piece.folds:
            return piece.folds[name].place
    return pattern.panel(names[0]).place

"""What can be wrong with curved scores, and what bends with them.

In: a piece posed at its target angles. Out: its `BentPose`, or None where nothing bends or where
the scores cannot be folded so (then with problems).
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from booklet.flat.pattern import Pattern, Score
from booklet.fold.bend import STEEP, BentPose, CurvedScore, bend_piece
from booklet.fold.pose import Posed
from booklet.measure.tolerance import HAND_MM
from booklet.problem import Problem

MODEL: Final = "cylinder mirrored in the plane of the crease"
SKEW_DEG: Final = 1.0
"""Degrees by which the chords of a panel's curved scores may differ: over 30 mm that is a hand's
tolerance."""


def bend_checked(posed: Posed, found: list[Problem]) -> BentPose | None:
    """The piece bent at its target angles; None with an error where that is impossible."""
    bent = bend_piece(posed, posed.bones.targets)
    if bent is None:
        return None
    good = True
    for curved in bent.scores:
        problem = _too_steep(curved, posed.pattern) or _skew(curved, posed.pattern)
        if problem is not None:
            good = False
            found.append(problem)
    if not good:
        return None
    for curved in bent.scores:
        if curved.error > HAND_MM:
            found.append(_differs(curved, posed.pattern))
    _across(bent, found)
    return bent


def _names(score: Score) -> str:
    return f'the curved score between "{score.between[0]}" and "{score.between[1]}"'


def _too_steep(curved: CurvedScore, pattern: Pattern) -> Problem | None:
    if curved.steep <= STEEP:
        return None
    most = math.degrees(2 * math.atan(1 / curved.slope)) if curved.slope < 1e3 else 0.0
    return Problem(
        "curve-too-steep",
        f"{_names(curved.score)} cannot fold by {abs(curved.angle):.0f}°: where it is steepest the "
        f"paper allows {math.floor(most):.0f}°",
        curved.score.place or pattern.place,
        f'make the curve flatter, or fold "{curved.hinge.panel}" less in [piece.folds]',
    )


def _skew(curved: CurvedScore, pattern: Pattern) -> Problem | None:
    if curved.skew <= SKEW_DEG:
        return None
    return Problem(
        "curves-not-parallel",
        f"{_names(curved.score)} leads {curved.skew:.0f}° away from the other curved score of its "
        "panels: one sheet cannot bend both ways",
        curved.score.place or pattern.place,
        "let the ends of both lie on parallel lines",
    )


def _differs(curved: CurvedScore, pattern: Pattern) -> Problem:
    return Problem(
        "curves-differ",
        f"{_names(curved.score)} asks for another bend than the deepest one of the panel, by "
        f"{curved.error:.1f} mm",
        curved.score.place or pattern.place,
        "give both scores the same curve and the same angle, mirrored",
    )


def _across(bent: BentPose, found: list[Problem]) -> None:
    """Straight scores of a bent panel that do not run along its rulings."""
    pattern = bent.posed.pattern
    for score in pattern.scores:
        for name in score.between:
            bend = bent.bends.get(name)
            if bend is None or score.curve is not None:
                continue
            ends = bend.u(np.array([score.start, score.end]))
            line = np.linspace(float(ends.min()), float(ends.max()), 33)
            rise = np.interp(line, bend.us, bend.zs)
            bow = float(np.abs(rise - np.linspace(rise[0], rise[-1], 33)).max())
            if bow > HAND_MM and score.angle != 0:
                found.append(
                    Problem(
                        "score-across-bend",
                        f'panel "{name}" bends by {bow:.1f} mm across its straight score beside '
                        f'"{score.between[score.between[0] == name]}": a straight fold holds '
                        "paper flat, so the shape is not proved there",
                        score.place or pattern.place,
                        "curve that score too, cut it, or let it run along the bend",
                    )
                )

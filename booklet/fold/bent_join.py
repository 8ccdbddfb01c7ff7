"""Do the joins of a piece stay closed once its panels bend?

In: the piece bent at its target angles. Out: a warning for each join that bending pulls open.

A panel that bows gets narrower. Where glue makes a ring of it with panels that bow less, or not at
all, the ring cannot close as it does flat. It is looked at along the tab's own score, where the
paper beside the tab meets the panel; the tab itself is free to bend along.
"""

from __future__ import annotations

import numpy as np

from booklet.flat.pattern import JoinPair
from booklet.fold.bend import BentPose
from booklet.fold.pose import Floats, in_space
from booklet.measure.tolerance import HAND_MM
from booklet.problem import Problem

POINTS = 9
"""Places along the score of a tab that are looked at."""


def check_bent_joins(bent: BentPose, found: list[Problem]) -> None:
    """Warn of joins within the piece that are closed flat and open bent."""
    home = bent.posed.pattern.id
    for join in bent.posed.pattern.joins:
        if join.tab[0] == home == join.to[0]:
            opens = _opens(bent, join.tab[1], join.to[1])
            if opens > HAND_MM:
                found.append(_pulled_open(join, opens))


def _opens(bent: BentPose, tab: str, to: str) -> float:
    """By how much more than flat the score of a tab is off the panel that it is glued to, mm."""
    pattern, posed = bent.posed.pattern, bent.posed
    hinge = next((hinge for hinge in pattern.hinges if hinge.panel == tab), None)
    if hinge is None or pattern.scores[hinge.score].curve is not None:
        return 0.0
    score = pattern.scores[hinge.score]
    points = np.linspace(score.start, score.end, POINTS)
    meets = in_space(posed.seen_from(to, tab), points)[:, :2]
    flat = in_space(posed.matrix(tab), points) - in_space(posed.matrix(to), meets)
    apart: Floats = bent.place(hinge.parent, points) - bent.place(to, meets)
    return float((np.linalg.norm(apart, axis=1) - np.linalg.norm(flat, axis=1)).max())


def _pulled_open(join: JoinPair, opens: float) -> Problem:
    tab, to = join.tab[1], join.to[1]
    return Problem(
        "bend-opens-join",
        f'tab "{tab}" is pulled {opens:.1f} mm off panel "{to}" as panels bend: those that glue '
        "holds together do not bow alike",
        join.place,
        "give the panels of the ring the same curves and angles, or glue less of them together",
    )

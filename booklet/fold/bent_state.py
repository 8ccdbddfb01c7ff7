"""A piece with its panels bent as they are in one state of its folds.

In: a piece posed at some angles. Out: a `BentPose`, or None where no curved score is folded yet.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from booklet.fold.bend import BentPose, bend_half_way, bend_piece
from booklet.fold.bulge import bulge_of, closed_rings, curved_hinges, held_rings
from booklet.fold.crease import bent_groups
from booklet.fold.pose import Posed


def bent_now(pose: Posed, angles: Mapping[str, float]) -> BentPose | None:
    """The piece with its panels bent, as soon as a curved score is folded; else None."""
    curved = curved_hinges(pose.pattern)
    if not any(abs(angles.get(name, 0.0)) > 1 for name in curved):
        return None
    degrees = np.array([angles.get(panel.name, 0.0) for panel in pose.pattern.panels])
    closed = closed_rings(pose, held_rings(pose), degrees)
    bulge = bulge_of(pose, degrees, closed)
    if np.array_equal(bulge, degrees):
        return bend_piece(pose, degrees)
    return bend_half_way(pose, bent_groups(pose), degrees, bulge)

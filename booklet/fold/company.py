"""Several folded pieces in one frame, and where each of them lies.

In: posed pieces and a 4x4 matrix for each. Out: a `Company` that joins and cavities are measured
in as in a single piece, its panels named "piece.panel"; and `Placement`, which pictures draw from.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from booklet.flat.pattern import Panel
from booklet.fold.pose import Floats, Posed


@dataclass(frozen=True, eq=False)
class Placement:
    """Where a folded piece lies in the frame of another one, `within`; lengths mm.

    `matrix` (4x4) takes points of the piece's own folded frame to the frame of `within`, whose own
    placement, if it has one, comes next. A nested piece can be drawn out: `way` is the unit
    direction of that in the frame of `within`, `length` the piece's extent along it, `pulled` the
    share of `length` by which pictures draw it out. A glued piece has way and length 0, and
    `residual` tells by how much its joins disagree: the largest gap, at the place chosen. `off` is
    the unit direction, in the frame of `within`, in which the finished piece can be drawn off
    without passing through paper; None where no straight way is known.
    """

    piece: str
    within: str
    matrix: Floats
    way: tuple[float, float, float] = (0.0, 0.0, 0.0)
    length: float = 0.0
    pulled: float = 0.0
    residual: float = 0.0
    off: tuple[float, float, float] | None = None

    def drawn(self, share: float | None = None) -> Floats:
        """The matrix with the piece drawn out by `share` of its length, by `pulled` if None."""
        moved = self.matrix.copy()
        by = self.pulled if share is None else share
        moved[:3, 3] += np.array(self.way) * self.length * by
        return moved


@dataclass(frozen=True, eq=False)
class Company:
    """Panels of several pieces, named "piece.panel", each with its matrix to one frame."""

    panels: Mapping[str, Panel]
    matrices: Mapping[str, Floats]
    thickness: float

    def matrix(self, name: str) -> Floats:
        """The 4x4 matrix of a panel."""
        return self.matrices[name]

    def seen_from(self, name: str, other: str) -> Floats:
        """The matrix from the flat of `other` to the flat frame of `name`."""
        found: Floats = np.linalg.inv(self.matrix(name)) @ self.matrix(other)
        return found


def company(members: Mapping[str, tuple[Posed, Floats]]) -> Company:
    """Posed pieces with the matrix that takes each one's frame to the common one.

    The thickness is that of the thickest.
    """
    panels: dict[str, Panel] = {}
    matrices: dict[str, Floats] = {}
    for piece, (posed, place) in members.items():
        for name, panel in posed.panels.items():
            panels[f"{piece}.{name}"] = panel
            matrices[f"{piece}.{name}"] = place @ posed.matrix(name)
    return Company(panels, matrices, max(posed.thickness for posed, _ in members.values()))

"""Cutouts: windows and slots inside a panel.

In: a cutout as written and its panel's nominal box. Out: a closed path in the blank's coordinates
(mm), arcs as Béziers.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

import numpy as np
import shapely
from shapely.geometry import Polygon

from booklet.flat.arcs import circle, ellipse, stadium
from booklet.flat.path import Path, rectangle
from booklet.flat.pattern import Box
from booklet.measure.resolve import Scope
from booklet.measure.tolerance import TOUCH_MM
from booklet.problem import Problem
from booklet.read.piece import Cutout


def cutout_path(cutout: Cutout, box: Box, scope: Scope, found: list[Problem]) -> Path | None:
    """The outline of a cutout; None (with problems) when its measures do not hold."""
    across, up = (scope.length(part, found) for part in cutout.at)
    size = [scope.length(part, found, positive=True) for part in cutout.size]
    wide, high = size
    if across is None or up is None or wide is None or high is None:
        return None
    x, y = float(box[0] + across), float(box[1] + up)
    w, h = float(wide), float(high)
    shape = cutout.shape.value
    if shape == "circle" and size[0] != size[1]:
        found.append(
            Problem(
                "circle-not-round",
                f"a circle of {_mm(size[0])} by {_mm(size[1])} is not round",
                cutout.size[0].place,
                'give the same size twice, or use shape = "oval"',
            )
        )
        return None
    if shape == "circle":
        return circle((x, y), w / 2)
    if shape == "oval":
        return ellipse((x, y), w / 2, h / 2)
    if shape == "slot":
        return stadium((x, y), w, h)
    return rectangle(x - w / 2, y - h / 2, w, h)


def lies_inside(hole: Polygon, shape: Polygon) -> bool:
    """Whether the cutout lies inside the panel and leaves some stock all round."""
    return bool(shape.contains(hole) and shape.boundary.distance(hole) > TOUCH_MM)


def lies_apart(hole: Polygon, others: Sequence[Polygon]) -> bool:
    """Whether the cutout leaves some stock between itself and each of the others."""
    return not (others and shapely.dwithin(np.array(others, dtype=object), hole, TOUCH_MM).any())


def _mm(length: Fraction | None) -> str:
    return f"{float(length or 0):.2f} mm"

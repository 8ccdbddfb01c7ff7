"""Panels that are too narrow for the paper that they are made of.

In: a pattern and the thickness of its stock. Out: problems.
"""

from __future__ import annotations

from shapely.geometry import Polygon

from booklet.flat.pattern import Pattern
from booklet.problem import Problem

LEAST = 2
"""Thicknesses that a panel is wide at least: each fold at its sides takes up about one. Common
practice, no source."""


def check_thin(pattern: Pattern, thickness: float, found: list[Problem]) -> None:
    """Report each panel that is nowhere as wide as two thicknesses (mm)."""
    if thickness <= 0:
        return
    for panel in pattern.panels:
        if Polygon(panel.shape.exterior).buffer(-LEAST * thickness / 2).is_empty:
            found.append(
                Problem(
                    "panel-too-thin",
                    f'panel "{panel.name}" of "{pattern.id}" is nowhere wider than '
                    f"{LEAST * thickness:.2f} mm, twice the thickness of its paper: it cannot be "
                    "folded",
                    panel.place,
                    "make it wider, or use thinner paper",
                )
            )

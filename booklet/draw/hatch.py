"""Hatching: glue areas as slanted lines.

In: an area in mm. Out: a path of parallel lines inside it.
"""

from __future__ import annotations

import math

from shapely.geometry import LineString, MultiLineString
from shapely.geometry.base import BaseGeometry

from booklet.flat.path import Path, joined, segment

SPACING = 2.4


def hatch(area: BaseGeometry, spacing: float = SPACING) -> Path:
    """Lines at 45°, `spacing` mm apart, cut off at the border of the area."""
    if area.is_empty:
        return Path(())
    x0, y0, x1, y1 = area.bounds
    step = spacing * math.sqrt(2)
    first = math.ceil((x0 - y1) / step)
    last = math.floor((x1 - y0) / step)
    height = y1 - y0
    lines = MultiLineString(
        [
            LineString([(k * step + y0, y0), (k * step + y0 + height, y1)])
            for k in range(first, last + 1)
        ]
    )
    inside = lines.intersection(area)
    parts = getattr(inside, "geoms", [inside])
    return joined(
        segment((a[0], a[1]), (b[0], b[1]))
        for part in parts
        if isinstance(part, LineString) and part.length > 0.3
        for a, b in [(part.coords[0], part.coords[-1])]
    )

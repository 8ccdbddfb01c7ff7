"""Hatching: glue areas as slanted lines.

In: an area in mm. Out: a path of parallel lines inside it.
"""

from __future__ import annotations

import math

import shapely
from shapely.geometry import LineString, MultiLineString, Polygon
from shapely.geometry.base import BaseGeometry

from booklet.flat.path import Path, joined, mapped, segment

SPACING = 2.4
CLOSEST = 1.1
"""The least distance of hatching lines in mm; closer ones run together in print."""


def hatch_across(area: BaseGeometry) -> Path:
    """Lines at 45° or 135°, whichever crosses a long area rather than running along it.

    In a narrow one they stand closer, so that it still shows as hatched.
    """
    box = shapely.oriented_envelope(area)
    if not isinstance(box, Polygon) or box.is_empty:
        return Path(())  # nothing, or what is as good as a line: a panel seen edge on
    (x0, y0), (x1, y1), (x2, y2), *_ = box.exterior.coords
    sides = sorted([(x1 - x0, y1 - y0), (x2 - x1, y2 - y1)], key=lambda side: math.hypot(*side))
    along = sides[1]
    spacing = min(SPACING, max(CLOSEST, math.hypot(*sides[0]) * 0.6))
    if along[0] * along[1] <= 0:
        return hatch(area, spacing)
    mirrored = hatch(shapely.transform(area, lambda points: points * (-1.0, 1.0)), spacing)
    return mapped(mirrored, lambda p: (-p[0], p[1]))


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

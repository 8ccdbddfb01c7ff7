"""Labels inside panels: what fits, and which way round.

In: a panel's area in mm and words. Out: label marks that keep inside the area.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from shapely.geometry import Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from booklet.draw.mark import Drawing, Label, move
from booklet.draw.typeface import Faces, TypeStyle
from booklet.flat.path import Point

LABEL = TypeStyle("label", "text", 8.0, 10.0)
"""The smallest type that a reader needs; drawings use it for all their words."""

LINE = 3.5
"""Leading of label lines in mm (10 pt)."""
CAP = 1.9
"""Height of capitals in mm at 8 pt, for centring."""
KEEP = 1.2
"""Room kept between words and lines, in mm."""


def fitted(lines: Sequence[str], area: Polygon, faces: Faces, layer: str = "labels") -> list[Label]:
    """The lines centred in the area, level or upright, as many from the first as fit.

    Beside the middle where a notch or a window leaves no room there; nothing where not even the
    first line fits anywhere.
    """
    if area.is_empty:
        return []
    for centre in (_centre(area), *_beside(area)):
        for count in range(len(lines), 0, -1):
            chosen = list(lines[:count])
            width = max(faces.width(line, LABEL) for line in chosen) + 2 * KEEP
            height = CAP + LINE * (count - 1) + 2 * KEEP
            for angle, w, h in ((0.0, width, height), (90.0, height, width)):
                x, y = centre
                if area.contains(box(x - w / 2, y - h / 2, x + w / 2, y + h / 2)):
                    return _stacked(chosen, centre, angle, layer)
    return []


def _beside(area: Polygon) -> list[Point]:
    """Above, below, left and right of the middle of the area's box."""
    x0, y0, x1, y1 = area.bounds
    shares = ((0.5, 0.75), (0.5, 0.25), (0.25, 0.5), (0.75, 0.5))
    return [(x0 + (x1 - x0) * across, y0 + (y1 - y0) * up) for across, up in shares]


def beneath(drawing: Drawing, lines: Sequence[str], faces: Faces) -> Drawing:
    """The drawing with the lines below it, from its left edge: for what is too small for them."""
    x0, y0, x1, y1 = drawing.box
    width = max((faces.width(line, LABEL) for line in lines), default=0.0)
    low = y0 - KEEP - LINE * len(lines)
    labels = [
        Label((x0, y0 - KEEP - CAP - LINE * row), line, LABEL.name, "start")
        for row, line in enumerate(lines)
    ]
    box = (x0, low, max(x1, x0 + width), y1)
    return move(replace(drawing, marks=(*drawing.marks, *labels), box=box), 0.0, -low)


def words_area(labels: Sequence[Label], faces: Faces) -> BaseGeometry:
    """The room that labels take, with a little white round them."""
    rooms = []
    for label in labels:
        half = faces.width(label.text, LABEL) / 2 + 0.8
        x, y = label.at
        if label.angle == 0:
            rooms.append(box(x - half, y - 1.0, x + half, y + CAP + 0.8))
        else:
            rooms.append(box(x - CAP - 0.8, y - half, x + 1.0, y + half))
    return unary_union(rooms)


def _stacked(lines: list[str], centre: Point, angle: float, layer: str) -> list[Label]:
    top = (LINE * (len(lines) - 1) - CAP) / 2
    result: list[Label] = []
    for index, line in enumerate(lines):
        offset = top - index * LINE
        at = (centre[0], centre[1] + offset) if angle == 0 else (centre[0] - offset, centre[1])
        result.append(Label(at, line, LABEL.name, "middle", angle, layer))
    return result


def _centre(area: Polygon) -> Point:
    """The middle of the area's box if that lies well inside, else a point that surely does."""
    x0, y0, x1, y1 = area.bounds
    middle = (x0 + x1) / 2, (y0 + y1) / 2
    if area.contains(box(middle[0] - 4, middle[1] - 2, middle[0] + 4, middle[1] + 2)):
        return middle
    point = area.representative_point()
    return point.x, point.y

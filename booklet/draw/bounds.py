"""Bounds: the box that the ink of a drawing really takes, line widths and words included.

In: marks, the faces and the type styles by name. Out: boxes (x0, y0, x1, y1) in mm, and the
corners of labels. Geometry may be scaled as a page will scale it; widths and type are not.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

from booklet.draw.linestyle import LINE_STYLES
from booklet.draw.mark import Area, Clip, Drawing, Label, Mark, Stroke
from booklet.draw.typeface import Faces, TypeStyle
from booklet.flat.path import Point
from booklet.flat.path_bounds import Bounds, box_of, path_bounds


def ink_bounds(
    drawing: Drawing, faces: Faces, styles: Mapping[str, TypeStyle], scale: float = 1.0
) -> Bounds | None:
    """The box of everything that shows when the drawing's geometry is scaled; None if nothing."""
    return _united(_mark_bounds(mark, faces, styles, scale) for mark in drawing.marks)


def label_corners(
    label: Label, faces: Faces, style: TypeStyle, scale: float = 1.0
) -> tuple[Point, Point, Point, Point]:
    """The corners of the rectangle that a label's words take, turned as the label is."""
    width = faces.width(label.text, style)
    left = -width * {"start": 0.0, "middle": 0.5, "end": 1.0}[label.anchor]
    low, high = -faces.descent(style), faces.ascent(style)
    cos, sin = math.cos(math.radians(label.angle)), math.sin(math.radians(label.angle))
    x, y = label.at[0] * scale, label.at[1] * scale

    def turned(along: float, up: float) -> Point:
        return (x + along * cos - up * sin, y + along * sin + up * cos)

    return (
        turned(left, low),
        turned(left + width, low),
        turned(left + width, high),
        turned(left, high),
    )


def _mark_bounds(
    mark: Mark, faces: Faces, styles: Mapping[str, TypeStyle], scale: float
) -> Bounds | None:
    if isinstance(mark, Label):
        return box_of(label_corners(mark, faces, styles[mark.style], scale)) if mark.text else None
    outline = path_bounds(mark.path)
    if outline is None:
        return None
    box = (outline[0] * scale, outline[1] * scale, outline[2] * scale, outline[3] * scale)
    if isinstance(mark, Stroke):
        half = LINE_STYLES[mark.style].width_mm / 2
        return (box[0] - half, box[1] - half, box[2] + half, box[3] + half)
    if isinstance(mark, Area):
        return box
    return _clipped(mark, box, faces, styles, scale)


def _clipped(
    clip: Clip, box: Bounds, faces: Faces, styles: Mapping[str, TypeStyle], scale: float
) -> Bounds | None:
    inner = _united(_mark_bounds(mark, faces, styles, scale) for mark in clip.marks)
    if inner is None:
        return None
    x0, y0 = max(box[0], inner[0]), max(box[1], inner[1])
    x1, y1 = min(box[2], inner[2]), min(box[3], inner[3])
    return (x0, y0, x1, y1) if x0 <= x1 and y0 <= y1 else None


def _united(boxes: Iterable[Bounds | None]) -> Bounds | None:
    return box_of(
        corner
        for box in boxes
        if box is not None
        for corner in ((box[0], box[1]), (box[2], box[3]))
    )

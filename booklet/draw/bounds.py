"""Bounds: the box that the ink of a drawing really takes, line widths and words included.

In: marks, the faces and the type styles by name. Out: boxes (x0, y0, x1, y1) in mm, and the
corners of labels. Geometry may be scaled as a page will scale it; widths and type are not.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping

from booklet.draw.linestyle import LINE_STYLES
from booklet.draw.mark import Area, Clip, Drawing, Label, Mark, Stroke
from booklet.draw.typeface import Faces, TypeStyle
from booklet.flat.path import Path, Point

Bounds = tuple[float, float, float, float]


def path_bounds(path: Path) -> Bounds | None:
    """The exact box of a path, curves included; None for a path without points."""
    return box_of(_extremes(path))


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


def box_of(points: Iterable[Point]) -> Bounds | None:
    """The smallest box round the points; None for no points."""
    held = list(points)
    if not held:
        return None
    xs, ys = [p[0] for p in held], [p[1] for p in held]
    return (min(xs), min(ys), max(xs), max(ys))


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


def _extremes(path: Path) -> Iterator[Point]:
    """The points of a path, and those of its curves where they turn back in x or y."""
    pen: Point = (0.0, 0.0)
    for command in path.commands:
        if command[0] == "Z":
            continue
        if command[0] == "C":
            yield from _turning_points(pen, command[1], command[2], command[3])
        pen = command[-1]
        yield pen


def _turning_points(p0: Point, p1: Point, p2: Point, p3: Point) -> Iterator[Point]:
    """Where the derivative of a cubic curve is zero in x or in y (roots of a quadratic)."""
    for axis in (0, 1):
        a = p3[axis] - 3 * p2[axis] + 3 * p1[axis] - p0[axis]
        b = 2 * (p2[axis] - 2 * p1[axis] + p0[axis])
        c = p1[axis] - p0[axis]
        for t in _roots(a, b, c):
            if 0 < t < 1:
                u = 1 - t
                w = (u**3, 3 * t * u * u, 3 * t * t * u, t**3)
                yield (
                    w[0] * p0[0] + w[1] * p1[0] + w[2] * p2[0] + w[3] * p3[0],
                    w[0] * p0[1] + w[1] * p1[1] + w[2] * p2[1] + w[3] * p3[1],
                )


def _roots(a: float, b: float, c: float) -> tuple[float, ...]:
    """Real roots of a t^2 + b t + c, in the form that does not lose digits where a is small."""
    inside = b * b - 4 * a * c
    if inside < 0:
        return ()
    q = -(b + math.copysign(math.sqrt(inside), b)) / 2
    return tuple(top / bottom for top, bottom in ((q, a), (c, q)) if bottom)

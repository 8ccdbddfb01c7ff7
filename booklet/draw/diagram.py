"""The diagram of a step: the flat piece, with what the step scores, cuts, folds, glues or attaches.

In: a pattern, a scale and what to show. Out: a drawing in page mm whose box is the blank.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import product
from typing import Literal

import numpy as np
from shapely import transform
from shapely.geometry import LineString, Polygon
from shapely.geometry import box as rectangle
from shapely.ops import unary_union

from booklet.draw.arrow import TurnOver, bowed_arrow, draw_arrow
from booklet.draw.flat_marks import (
    Frame,
    cut_marks,
    panel_path,
    polygon_path,
    score_marks,
    score_style,
)
from booklet.draw.hatch import hatch
from booklet.draw.label import CAP, KEEP, LABEL, fitted
from booklet.draw.mark import Area, Drawing, Label, Mark, Stroke, move
from booklet.draw.typeface import Faces
from booklet.flat.flatten import points_of
from booklet.flat.own_label import own_labels
from booklet.flat.path import Path, Point, polyline
from booklet.flat.pattern import MatLayer, Panel, Pattern
from booklet.fold.touch import spot
from booklet.fold.view import FLAT


@dataclass(frozen=True)
class Highlight:
    """What a step does to this piece: names of panels, mats, or everything scored or cut.

    What is to `fold` while it lies flat is folded and opened again: a crease.
    `worn` are mats that are on it already; `back` shows the outside; `turn` adds the sign for
    turning over; `name` and `size` (along and up) are written on a bare blank. `discs` are buttons
    and the like on the side that is seen, `paint` is its colour.
    """

    fold: tuple[str, ...] = ()
    glued: tuple[str, ...] = ()
    mats: tuple[MatLayer, ...] = ()
    worn: tuple[MatLayer, ...] = ()
    close: tuple[str, ...] = ()
    score: bool = False
    cut: bool = False
    plain: bool = False
    back: bool = False
    turn: bool = False
    name: str = ""
    size: tuple[str, str] | None = None
    discs: tuple[Polygon, ...] = ()
    paint: str = "paper"


LIFTED = 2.6
"""How far a mat is drawn up and to the right of its place, mm: held over it, not yet pressed on."""
CREASE = (4.0, 9.0)
"""An arrow across a crease reaches between so many mm off it to each side;"""
SHARE = 0.42
"""within these as much of the narrower panel beside it."""
EDGE = CAP + 2 * KEEP
"""The room in mm along an edge of a blank for its size."""
SIGN = (24.0, 13.0)
"""The room in mm that the sign for turning over takes beside or above a diagram."""


def step_diagram(
    pattern: Pattern,
    scale: float,
    show: Highlight,
    shape_known: bool,
    faces: Faces,
    alt: str,
    sign: Literal["above", "beside"] = "above",
) -> Drawing:
    """The diagram; before the outline is cut (`shape_known` False) the whole blank is drawn.

    `sign` is where the sign for turning over stands, if there is one.
    """
    frame = Frame(scale, back_width=float(pattern.blank[0]) if show.back else None)
    lifted = replace(frame, dx=frame.dx + LIFTED, dy=frame.dy + LIFTED)
    width, height = (float(side) * scale for side in pattern.blank)
    blank = polyline([(0, 0), (width, 0), (width, height), (0, height)], closed=True)
    marks: list[Mark] = [] if shape_known else [Area(blank, show.paint)]
    marks += _ground(pattern, show, frame)
    marks += _scores(pattern, show, frame)
    if not shape_known:
        marks.append(Stroke(blank, "medium"))
    if shape_known or show.cut:
        marks += cut_marks(pattern, frame, "heavy" if show.cut else "outline")
    marks += _shapes([mat.shape for mat in show.mats], lifted, "shade3", "medium")
    marks += _shapes(show.discs, frame, "shade4", "hair")
    arrows = _creases(pattern, show, frame)
    taken = [arrow_room(mark.path) for mark in arrows if isinstance(mark, Stroke)]
    taken += [_seen(disc, frame) for disc in show.discs]
    marks += arrows
    named = [p for p in pattern.panels if p.name in {*show.close, *show.glued}]
    called = own_labels(pattern, show.back)
    marks += _names([(called[p.name], p.shape) for p in named], frame, faces, taken)
    marks += _names([(mat.name, mat.shape) for mat in show.mats], lifted, faces, taken)
    if show.size is not None:
        marks += _sized(show.name, show.size, (width, height), faces)
    boxes = [_seen(mat.shape, lifted).bounds for mat in show.mats]
    right, top = (
        max([side, *(box[axis] for box in boxes)]) for side, axis in ((width, 2), (height, 3))
    )
    drawing = Drawing(tuple(marks), (0.0, 0.0, right, top), alt)
    return _with_sign(drawing, sign == "beside") if show.turn else drawing


def _ground(pattern: Pattern, show: Highlight, frame: Frame) -> Iterator[Mark]:
    """The panels as they are tinted, adhesive on them, and the places of mats."""
    for panel in pattern.panels:
        fill = "highlight" if panel.name in show.close else show.paint
        yield Area(frame.path(panel_path(panel)), fill)
        lines = hatch(_seen(panel.shape, frame)) if panel.name in show.glued else None
        if lines is not None and lines.commands:
            yield Stroke(lines, "hatch", "glue")
    yield from _shapes([mat.shape for mat in show.worn], frame, "shade1", "hair")
    for mat in show.mats:
        yield from _glue_under(mat, frame)


def _scores(pattern: Pattern, show: Highlight, frame: Frame) -> Sequence[Mark]:
    """The scores: heavy where they are made, none on a bare blank."""
    if show.score:
        return [
            Stroke(frame.path(score.path), f"heavy_{score_style(score.angle, show.back)}")
            for score in pattern.scores
        ]
    return [] if show.plain else score_marks(pattern.scores, frame)


def _shapes(shapes: Sequence[Polygon], frame: Frame, fill: str, line: str) -> Iterator[Mark]:
    """Shapes of the pattern, filled and outlined."""
    for shape in shapes:
        path = frame.path(polygon_path(shape))
        yield Area(path, fill)
        yield Stroke(path, line)


def _with_sign(drawing: Drawing, beside: bool) -> Drawing:
    """The drawing with the sign for turning over, its lower left corner at the origin.

    The sign comes first as one reads: the work is turned before what the diagram shows is done.
    """
    x0, y0, x1, y1 = drawing.box
    wide, high = SIGN
    # The sign hangs below the middle of a figure, so it gets a figure of its own.
    over = (x0 - wide, y1, x0 - 2.0, y1) if beside else (x0, y1 + high, x0 + wide, y1 + high)
    sign = draw_arrow(TurnOver(), FLAT, 1.0, over)
    left, _, right, _ = sign.room.bounds if sign else drawing.box
    box = (min(x0, left), y0, max(x1, right), y1 if beside else y1 + high)
    marks = (*drawing.marks, *(sign.marks if sign else ()))
    return move(Drawing(marks, box, drawing.alt), -box[0], -box[1])


def _glue_under(mat: MatLayer, frame: Frame) -> list[Mark]:
    """The place of a mat, hatched: what it leaves free while it is held over it says glue."""
    lines = hatch(_seen(mat.shape, frame))
    outline = Stroke(frame.path(polygon_path(mat.shape)), "hair")
    return [*([Stroke(lines, "hatch", "glue")] if lines.commands else []), outline]


def _seen(shape: Polygon, frame: Frame) -> Polygon:
    """A shape of the pattern as drawn."""
    return transform(shape, lambda points: np.array([frame.point((x, y)) for x, y in points]))


def _names(
    areas: Sequence[tuple[str, Polygon]], frame: Frame, faces: Faces, taken: Sequence[Polygon]
) -> list[Mark]:
    """Labels of what the step touches, where they fit beside the arrows."""
    marks: list[Mark] = []
    for words, shape in areas:
        free = _seen(shape, frame).difference(unary_union(list(taken)))
        for part in sorted(getattr(free, "geoms", [free]), key=lambda part: -part.area):
            labels = fitted([words], part, faces)
            marks += labels
            if labels:
                break
    return marks


def _sized(
    name: str, size: tuple[str, str], edges: tuple[float, float], faces: Faces
) -> list[Mark]:
    """The name in the middle of a bare blank, and its size along two edges where it fits.

    Where a size is too long for its edge the second unit is left out.
    """
    wide, high = edges
    marks: list[Mark] = []
    choices = product(_shortened(size[0]), _shortened(size[1]))
    for along, up in sorted(choices, key=lambda pair: pair.count("")):
        level, upright = faces.width(along, LABEL), faces.width(up, LABEL)
        meet = (wide - level) / 2 < EDGE and (high - upright) / 2 < EDGE
        if level > wide - 2 * KEEP or upright > high - 2 * KEEP or (along and up and meet):
            continue
        marks += [Label((wide / 2, KEEP), along, LABEL.name)] if along else []
        marks += [Label((KEEP + CAP, high / 2), up, LABEL.name, angle=90.0)] if up else []
        break
    if min(wide, high) > 2 * EDGE:
        marks += fitted([name], rectangle(EDGE, EDGE, wide - EDGE, high - EDGE), faces)
    return marks


def _shortened(words: str) -> tuple[str, str, str]:
    """A size in both units, in the first one alone, and none."""
    return words, words.partition(" (")[0], ""


def arrow_room(path: Path) -> Polygon:
    """The strip that an arrow keeps free of words."""
    points = points_of(path)
    return LineString(points).buffer(1.4) if len(points) > 1 else Polygon()


def _creases(pattern: Pattern, show: Highlight, frame: Frame) -> list[Mark]:
    """An arrow across each score that is folded and opened again: there, and back."""
    marks: list[Mark] = []
    hinges = {hinge.score: hinge.panel for hinge in pattern.hinges}
    for number, score in enumerate(pattern.scores):
        moving = (hinges[number],) if number in hinges else score.between
        if not set(moving) & set(show.fold):
            continue
        a, b = frame.point(score.start), frame.point(score.end)
        long = math.dist(a, b)
        middle = (a[0] + b[0]) / 2, (a[1] + b[1]) / 2
        across = (b[1] - a[1]) / long, (a[0] - b[0]) / long
        own = frame.point(_middle(pattern.panel(moving[0])))
        if (own[0] - middle[0]) * across[0] + (own[1] - middle[1]) * across[1] < 0:
            across = -across[0], -across[1]
        sides = (_depth(pattern.panel(name), frame, middle, across) for name in score.between)
        half = min(CREASE[1], max(CREASE[0], SHARE * min(sides)))
        start = middle[0] + across[0] * half, middle[1] + across[1] * half
        end = middle[0] - across[0] * half, middle[1] - across[1] * half
        valley = (score.angle >= 0) != show.back
        drawn = bowed_arrow(start, end, "valley" if valley else "mountain", opens=True)
        marks += drawn.marks if drawn is not None else ()
    return marks


def _depth(panel: Panel, frame: Frame, at: Point, across: Point) -> float:
    """How far a panel reaches off a score through `at`, in print mm."""
    corners = _seen(panel.shape, frame).exterior.coords
    return max(abs((c[0] - at[0]) * across[0] + (c[1] - at[1]) * across[1]) for c in corners)


def _middle(panel: Panel) -> Point:
    """A point in the middle of a panel."""
    x, y = spot(panel)
    return float(x), float(y)


def numbered(
    pattern: Pattern, scale: float, numbers: Mapping[str, int], faces: Faces, alt: str
) -> Drawing:
    """A small flat picture with the number of its fold in each panel."""
    frame = Frame(scale)
    marks: list[Mark] = [Area(frame.path(panel_path(p)), "paper") for p in pattern.panels]
    marks += score_marks(pattern.scores, frame)
    marks += cut_marks(pattern, frame, "outline")
    for panel in pattern.panels:
        number = numbers.get(panel.name)
        if number is None:
            continue
        words = fitted([str(number)], _seen(panel.shape, frame), faces)
        x, y = frame.point(_middle(panel))
        marks += words or [Label((x, y - 1.0), str(number), LABEL.name)]
    width, height = (float(side) * scale for side in pattern.blank)
    return Drawing(tuple(marks), (0.0, 0.0, width, height), alt)


def finished_flat(
    pattern: Pattern,
    mats: Sequence[MatLayer],
    scale: float,
    fill: str,
    alt: str,
    mat_fills: Mapping[str, str],
) -> Drawing:
    """The piece flat in the colours of its stocks; with mats, its outside with them on it."""
    frame = Frame(scale, back_width=float(pattern.blank[0]) if mats else None)
    marks: list[Mark] = [Area(frame.path(panel_path(p)), fill) for p in pattern.panels]
    for mat in mats:
        path = frame.path(polygon_path(mat.shape))
        marks += [Area(path, mat_fills.get(mat.id, "shade1")), Stroke(path, "hair")]
    marks += score_marks(pattern.scores, frame)
    marks += cut_marks(pattern, frame, "outline")
    width, height = (float(side) * scale for side in pattern.blank)
    return Drawing(tuple(marks), (0.0, 0.0, width, height), alt)

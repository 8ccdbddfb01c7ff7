"""Marks: a drawing is a value.

In: paths and names of styles from the drawing modules. Out: a frozen `Drawing` of strokes, areas,
labels and clipped groups in millimetres (x right, y up), which PDF, SVG, bounds and tests read.
Nothing here knows of pages or of PDF. Styles are named: strokes by `linestyle.py`, labels by type
style, areas by paint.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Final, Literal, TypeAlias

from booklet.flat.path import Path, Point, mapped

Anchor = Literal["start", "middle", "end"]
QuarterTurn = Literal[0, 90, 180, 270]

LAYERS: Final[Mapping[str, str]] = MappingProxyType(
    {"cut": "Cut", "score": "Score", "glue": "Glue", "labels": "Labels"}
)
"""The layers of a template that can be switched off, and what a viewer's list calls them."""


@dataclass(frozen=True)
class Stroke:
    """A line along `path`, drawn in the line style of that name."""

    path: Path
    style: str
    layer: str = "drawing"


@dataclass(frozen=True)
class Area:
    """The inside of `path` (even-odd: inner subpaths are holes), filled with a named paint.

    Paints: paper, panel, highlight, shade1 to shade4, ink, white, accent, or "#rrggbb".
    """

    path: Path
    fill: str
    layer: str = "drawing"


@dataclass(frozen=True)
class Label:
    """Words in a drawing: `at` is the baseline point (mm) that the anchor names.

    `style` is the name of a type style, `angle` turns counter-clockwise in degrees about `at`.
    """

    at: Point
    text: str
    style: str = "label"
    anchor: Anchor = "middle"
    angle: float = 0.0
    layer: str = "labels"


@dataclass(frozen=True)
class Clip:
    """Marks of which only the part inside `path` (even-odd) shows."""

    path: Path
    marks: tuple[Mark, ...]


Mark: TypeAlias = Stroke | Area | Label | Clip


@dataclass(frozen=True)
class Drawing:
    """Marks in drawing order, the box (x0, y0, x1, y1) in mm that they keep, and what they show.

    `alt` says in a sentence what a reader sees, for those who cannot see it.
    """

    marks: tuple[Mark, ...]
    box: tuple[float, float, float, float]
    alt: str

    @property
    def size(self) -> tuple[float, float]:
        """Width and height of the box, mm."""
        return self.box[2] - self.box[0], self.box[3] - self.box[1]


def move(drawing: Drawing, dx: float, dy: float) -> Drawing:
    """The drawing shifted by (dx, dy) mm."""
    return _changed(drawing, lambda p: (p[0] + dx, p[1] + dy), 0.0)


def scaled(drawing: Drawing, k: float) -> Drawing:
    """The drawing with its geometry scaled by `k` about the origin.

    Line widths, dashes and type keep their size: they are named, not drawn. Raises ValueError
    unless k is a finite positive number.
    """
    if not (math.isfinite(k) and k > 0):
        raise ValueError(f"a drawing cannot be scaled by {k!r}")
    return _changed(drawing, lambda p: (p[0] * k, p[1] * k), 0.0)


SIDEWAYS: QuarterTurn = 270
"""The turn that suits a drawing whose upright words read from below: they come to lie level."""


def turned(drawing: Drawing, angle: QuarterTurn) -> Drawing:
    """The drawing turned counter-clockwise by quarter turns about the origin, exactly."""
    cos, sin = {0: (1, 0), 90: (0, 1), 180: (-1, 0), 270: (0, -1)}[angle]
    return _changed(
        drawing, lambda p: (p[0] * cos - p[1] * sin, p[0] * sin + p[1] * cos), float(angle)
    )


def _changed(drawing: Drawing, to: Callable[[Point], Point], angle: float) -> Drawing:
    x0, y0, x1, y1 = drawing.box
    ax, ay = to((x0, y0))
    bx, by = to((x1, y1))
    return replace(
        drawing,
        marks=tuple(_mark_changed(mark, to, angle) for mark in drawing.marks),
        box=(min(ax, bx), min(ay, by), max(ax, bx), max(ay, by)),
    )


def _mark_changed(mark: Mark, to: Callable[[Point], Point], angle: float) -> Mark:
    if isinstance(mark, Label):
        return replace(mark, at=to(mark.at), angle=(mark.angle + angle) % 360)
    path = mapped(mark.path, to)
    if isinstance(mark, Clip):
        return Clip(path, tuple(_mark_changed(inner, to, angle) for inner in mark.marks))
    return replace(mark, path=path)

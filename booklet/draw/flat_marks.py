"""Marks of a flat pattern that the template, the diagrams and the cover share.

In: a pattern, a place and a scale. Out: strokes and areas in mm.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from booklet.draw.linestyle import ScoreStyle
from booklet.draw.mark import Mark, Stroke
from booklet.flat.path import Path, Point, joined, mapped, polyline
from booklet.flat.pattern import Panel, Pattern, Score


@dataclass(frozen=True)
class Frame:
    """Maps the pattern's mm onto the drawing's: scale first, then shift; `back` mirrors it."""

    scale: float = 1.0
    dx: float = 0.0
    dy: float = 0.0
    back_width: float | None = None

    def point(self, p: Point) -> Point:
        """A point of the pattern as drawn; seen from the back, left and right change places."""
        x = p[0] if self.back_width is None else self.back_width - p[0]
        return x * self.scale + self.dx, p[1] * self.scale + self.dy

    def path(self, path: Path) -> Path:
        """A path of the pattern as drawn."""
        return mapped(path, self.point)


def polygon_path(area: BaseGeometry) -> Path:
    """A shapely polygon (or several) as one path, holes included."""
    polygons: Iterable[BaseGeometry] = getattr(area, "geoms", [area])
    loops: list[Path] = []
    for polygon in polygons:
        if isinstance(polygon, Polygon) and not polygon.is_empty:
            for ring in (polygon.exterior, *polygon.interiors):
                loops.append(polyline([(x, y) for x, y, *_ in list(ring.coords)[:-1]], closed=True))
    return joined(loops)


def panel_path(panel: Panel) -> Path:
    """A panel's true outline with its cutouts as holes."""
    return joined((panel.outline, *panel.holes))


def score_style(angle: float, seen_from_back: bool = False) -> ScoreStyle:
    """Valley or mountain as the reader sees it; an unfolded score counts as a valley."""
    valley = (angle >= 0) != seen_from_back
    return "valley" if valley else "mountain"


def score_marks(scores: Sequence[Score], frame: Frame, layer: str = "score") -> list[Mark]:
    """All scores in their line style."""
    back = frame.back_width is not None
    return [
        Stroke(frame.path(score.path), score_style(score.angle, back), layer) for score in scores
    ]


def cut_marks(pattern: Pattern, frame: Frame, style: str = "cut") -> list[Mark]:
    """Outline, cutouts and slits, each line once."""
    return [Stroke(frame.path(path), style, "cut") for path in (*pattern.cuts, *pattern.slits)]

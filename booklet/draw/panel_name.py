"""Panel names: words on the visible part of a panel, or beside the picture.

In: names of faces and the visible regions. Out: marks in print mm; no name lies over an arrow, a
glue area, a dark or patterned side, or a leader line.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import shapely
from shapely.geometry import LineString, Polygon, box
from shapely.geometry.base import BaseGeometry

from booklet.draw.callout import Callout, callouts
from booklet.draw.closer import Segments
from booklet.draw.label import CAP, KEEP, LABEL
from booklet.draw.mark import Label, Mark, Stroke
from booklet.draw.typeface import Faces
from booklet.flat.path import Path, Point
from booklet.fold.face import Point3
from booklet.fold.hidden import Sight


@dataclass(frozen=True)
class Name:
    """Words for a face; `at` is the point on it that they mean, else the middle of what is seen."""

    face: str
    text: str
    at: Point3 | None = None


def name_marks(
    names: Sequence[Name],
    sight: Sight,
    scale: float,
    letters: Faces,
    taken: Sequence[BaseGeometry],
    around: tuple[float, float, float, float],
    arrows: Sequence[BaseGeometry] = (),
    ink: Segments | None = None,
) -> list[Mark]:
    """Names on their panels where they fit there, else beside the picture with a leader.

    Words keep off what is `taken`, leaders off `arrows` as well; `ink` are all lines of the picture
    between which words beside it may stand.
    """
    inside: list[tuple[Callout, Polygon]] = []
    beside: list[Callout] = []
    full = [*taken, *arrows]
    for name in names:
        seen = sight.of(name.face)
        if seen is None or seen.region.is_empty:
            continue
        region = on_paper(seen.region, scale)
        at = _middle(region)
        if name.at is not None:
            u, v = sight.view.project(name.at)
            at = (u * scale, v * scale)
        item = Callout(name.text, at, within=region if name.at is None else None)
        room = _room(name.text, at, letters)
        plain = seen.style not in ("outside", "mat", "dot")
        if plain and region.contains(room) and not any(room.intersects(o) for o in full):
            inside.append((item, room))
            full.append(room)
        else:
            beside.append(item)
    marks = callouts(beside, around, arrows, ink)
    # A leader that would run through a name on a panel sends that name out to the side as well.
    while crossed := [one for one in inside if _is_crossed(one[1], marks)]:
        inside.remove(crossed[0])
        beside.append(crossed[0][0])
        marks = callouts(beside, around, arrows, ink)
    for item, _ in inside:
        marks.append(Label((item.at[0], item.at[1] - CAP / 2), item.text, LABEL.name))
    return marks


def _room(text: str, at: Point, letters: Faces) -> Polygon:
    """The room that words take when centred there, in print mm."""
    width, height = letters.width(text, LABEL) / 2 + KEEP, CAP / 2 + KEEP
    return box(at[0] - width, at[1] - height, at[0] + width, at[1] + height)


def _is_crossed(room: Polygon, marks: Sequence[Mark]) -> bool:
    return any(
        room.intersects(LineString(points_of(mark.path)))
        for mark in marks
        if isinstance(mark, Stroke)
    )


def _middle(region: BaseGeometry) -> Point:
    """The point of a region that is farthest from its border, to a fifth of a millimetre."""
    largest = max(getattr(region, "geoms", [region]), key=lambda part: part.area)
    point = shapely.maximum_inscribed_circle(largest, tolerance=0.2).coords[0]
    return float(point[0]), float(point[1])


def on_paper(shape: BaseGeometry, scale: float) -> BaseGeometry:
    """A shape of the picture plane in print mm."""
    return shapely.transform(shape, lambda points: points * scale)


def points_of(path: Path) -> list[Point]:
    """All points of a path, control points included: their box holds the curve."""
    return [point for command in path.commands if command[0] != "Z" for point in command[1:]]

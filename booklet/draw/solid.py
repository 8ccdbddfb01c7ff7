"""Solid pictures: folded paper in space as marks.

In: a `Scene` (faces, hinges, and what a step adds: arrows, ghosts, glue areas, labels), a view and
a scale. Out: a `Drawing` in print mm. Only what is seen is painted, each region once, so
the picture is the same on any device and can be measured.

Lines: heavy for the silhouette, medium for edges of paper, hairline for folds and mats
(the two-to-one steps of `linestyle.py`); dashes only for folds still to be made.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
import shapely
from shapely.geometry import LineString, box
from shapely.geometry.base import BaseGeometry

from booklet.draw.arrow import (
    SIGN_BELOW,
    Arrow,
    Box,
    DrawnArrow,
    TurnOver,
    beside,
    draw_arrow,
)
from booklet.draw.closer import Segments, segments
from booklet.draw.flat_marks import polygon_path
from booklet.draw.glue import Hatch, hatch_style, hatched
from booklet.draw.hatch import hatch_across
from booklet.draw.label import CAP, LABEL
from booklet.draw.linestyle import HEAVY
from booklet.draw.mark import Area, Drawing, Label, Mark, Stroke
from booklet.draw.panel_name import Name, name_marks, on_paper, points_of
from booklet.draw.skin import SKINS, Skin, shade
from booklet.draw.typeface import Faces
from booklet.flat.arcs import circle
from booklet.flat.path import Path, Point, joined, polyline
from booklet.fold.contour import SightLine, sight_lines, uncovered
from booklet.fold.face import SMOOTH, Face, Hinge, Loop, Point3, cross, dot, tuple3, unit
from booklet.fold.hidden import Seen, Sight, see
from booklet.fold.view import View

STYLES: Mapping[str, str] = {
    "silhouette": "heavy",
    "outline": "outline",
    "fold": "hair",
    "valley": "valley",
    "mountain": "mountain",
}
GROWN = 0.05
"""Print mm by which strips of one bent panel lap over, so that no white shows between them."""
DOT_STEP = 3.0
DOT_RADIUS = 0.32
"""Dots of patterned paper: distance and radius in print mm."""
TURN_ROOM = (20.0, 9.0)
"""The room in print mm that the sign for turning over takes in a corner."""
TURN_BASE = 2.5
"""How high its line lies in that room: the head and its white reach below the line."""
THIN = 0.12
"""Half the width in print mm below which a region is not painted: lines cover it anyway."""


@dataclass(frozen=True)
class Ghost:
    """Where paper was before: an outline in space, dotted where nothing covers it.

    The outline of what hangs on a score is a chain that is not `closed`.
    """

    loop: Loop
    closed: bool = True

    @property
    def stretches(self) -> tuple[tuple[Point3, Point3], ...]:
        """Its straight parts."""
        ends = (*self.loop[1:], self.loop[0]) if self.closed else self.loop[1:]
        return tuple(zip(self.loop, ends, strict=False))


@dataclass(frozen=True)
class Scene:
    """What a picture shows. `skins` says how the sides named by the faces look."""

    faces: tuple[Face, ...]
    hinges: tuple[Hinge, ...] = ()
    arrows: tuple[Arrow, ...] = ()
    ghosts: tuple[Ghost, ...] = ()
    hatches: tuple[Hatch, ...] = ()
    names: tuple[Name, ...] = ()
    skins: Mapping[str, Skin] = field(default_factory=lambda: SKINS)


@dataclass(frozen=True)
class SeenScene:
    """A scene from its view with what is hidden worked out, which holds for every scale."""

    scene: Scene
    sight: Sight
    lines: tuple[SightLine, ...]

    @cached_property
    def figure(self) -> Box:
        """The box of all paper, before and after, in mm of paper."""
        loops = [face.points for face in self.scene.faces]
        loops += [ghost.loop for ghost in self.scene.ghosts]
        points = [self.sight.view.project(point) for loop in loops for point in loop]
        xs, ys = zip(*(points or [(0.0, 0.0)]), strict=True)
        return min(xs), min(ys), max(xs), max(ys)


def see_scene(scene: Scene, view: View, sight: Sight | None = None) -> SeenScene:
    """The scene as seen; by far the longer part of the work on a picture.

    `sight` is what is seen of its faces from there, where that is known.
    """
    sight = see(scene.faces, view) if sight is None else sight
    return SeenScene(scene, sight, sight_lines(sight, scene.hinges))


def draw_scene(scene: Scene, view: View, scale: float, alt: str, letters: Faces) -> Drawing:
    """`see_scene`, then `draw_seen`."""
    return draw_seen(see_scene(scene, view), scale, alt, letters)


@dataclass(frozen=True)
class Notes:
    """What a picture says besides showing paper, at one scale: glue areas, arrows and names."""

    glue: tuple[BaseGeometry, ...]
    arrows: tuple[DrawnArrow, ...]
    names: tuple[Mark, ...]
    box: Box

    @property
    def width(self) -> float:
        """Width of the picture, mm."""
        return self.box[2] - self.box[0]

    @property
    def height(self) -> float:
        """Height of the picture, mm."""
        return self.box[3] - self.box[1]


def noted(whole: SeenScene, scale: float, letters: Faces) -> Notes:
    """Arrows and names placed, and the box that the picture will have with them.

    This is the cheap part: it tells whether a scale fits before anything is drawn. Raises
    ValueError unless scale is finite and positive.
    """
    if not (math.isfinite(scale) and scale > 0):
        raise ValueError(f"a picture cannot have the scale {scale!r}")
    scene, sight = whole.scene, whole.sight
    glue = tuple(hatched(item, sight, scale) for item in scene.hatches)
    x0, y0, x1, y1 = whole.figure
    figure = (x0 * scale, y0 * scale, x1 * scale, y1 * scale)
    drawn: list[DrawnArrow] = []
    for arrow in sorted(scene.arrows, key=lambda arrow: isinstance(arrow, TurnOver)):
        around = figure
        if isinstance(arrow, TurnOver):
            around = _sign_box(figure, sight, scene.ghosts, drawn, scale)
        choice = (draw_arrow(one, sight.view, scale, around) for one in beside(arrow))
        made = _clear_of(drawn, choice)
        drawn += [made] if made is not None else []
    around = _joined([figure, *(arrow.bounds for arrow in drawn)])
    names: list[Mark] = []
    if scene.names:
        rooms = [arrow.room for arrow in drawn]
        lines = _ink(whole, scale, drawn)
        names = name_marks(scene.names, sight, scale, letters, glue, around, rooms, lines)
    paper = scene.faces or scene.ghosts or drawn
    return Notes(
        glue, tuple(drawn), tuple(names), _extent(around if paper else None, names, letters)
    )


def draw_seen(
    whole: SeenScene, scale: float, alt: str, letters: Faces, notes: Notes | None = None
) -> Drawing:
    """The scene as marks; `scale` is print mm per mm of paper, `alt` says what is seen.

    The box holds all marks with their line widths and words. A name whose face is not seen is
    left out. `notes` are those of this scale, where they are known. Raises ValueError unless scale
    is finite and positive.
    """
    notes = noted(whole, scale, letters) if notes is None else notes
    scene, sight = whole.scene, whole.sight
    marks: list[Mark] = []
    smooth = {n for h in scene.hinges if h.style == SMOOTH for n in (h.first, h.second)}
    for seen in sight.seen:
        grown = GROWN if seen.face.id in smooth else 0.0
        marks += _face_marks(seen, scene.skins, sight.view, scale, grown)
    marks += [
        Stroke(hatch_across(area), hatch_style(item, scene.faces, scene.skins))
        for item, area in zip(scene.hatches, notes.glue, strict=True)
        if not area.is_empty
    ]
    marks += _ghost_marks(scene.ghosts, sight, scale)
    marks += _line_marks(whole.lines, scene, scale)
    for arrow in notes.arrows:
        marks += arrow.marks
    return Drawing((*marks, *notes.names), notes.box, alt)


def _face_marks(
    seen: Seen, skins: Mapping[str, Skin], view: View, scale: float, grown: float
) -> list[Mark]:
    """The region in its shade, `grown` by so many mm, with dots if its paper has a pattern."""
    region = on_paper(seen.region, scale)
    if region.is_empty or _is_thin(region):
        return []
    skin = skins.get(seen.style, skins["inside"])
    normal = seen.face.normal
    turn = 1.0 if seen.side == "front" else -1.0
    in_view = tuple(turn * dot(normal, axis) for axis in (view.right, view.up, view.toward))
    painted = region.buffer(grown, join_style="mitre") if grown else region
    marks: list[Mark] = [
        Area(polygon_path(painted), shade(skin, (in_view[0], in_view[1], in_view[2])))
    ]
    if skin.dots:
        dots = _dots(seen, region, view, scale)
        marks += [Area(dots, "shade4")] if dots.commands else []
    return marks


def _is_thin(region: BaseGeometry) -> bool:
    """Whether the region is nowhere as wide as twice `THIN`."""
    # The largest circle inside is about as wide as area by length of border: twice that is enough
    # for most, and far quicker to find out.
    return bool(region.area < 2 * THIN * region.length and region.buffer(-THIN).is_empty)


def _dots(seen: Seen, region: BaseGeometry, view: View, scale: float) -> Path:
    """Dots on a grid that lies in the face, so that the pattern turns with the paper."""
    start, second = seen.face.points[0], seen.face.points[1]
    along = unit(tuple3(b - a for a, b in zip(start, second, strict=True)))
    across = cross(seen.face.normal, along)
    step = DOT_STEP / scale
    offsets = [
        tuple3(p - s for p, s in zip(point, start, strict=True)) for point in seen.face.points
    ]
    u, v = [dot(o, along) for o in offsets], [dot(o, across) for o in offsets]
    free = region.buffer(-2 * DOT_RADIUS)
    shapely.prepare(free)
    dots = []
    for i in range(math.ceil(min(u) / step), math.floor(max(u) / step) + 1):
        for j in range(math.ceil(min(v) / step), math.floor(max(v) / step) + 1):
            # Every other row is set off by half a step, as printed papers are.
            s, t = (i + 0.5 * (j % 2)) * step, j * step
            at = view.project(
                tuple3(p + a * s + b * t for p, a, b in zip(start, along, across, strict=True))
            )
            if shapely.contains_xy(free, at[0] * scale, at[1] * scale):
                dots.append(circle((at[0] * scale, at[1] * scale), DOT_RADIUS))
    return joined(dots)


def _ghost_marks(ghosts: Sequence[Ghost], sight: Sight, scale: float) -> list[Mark]:
    """Dotted outlines, less what paper covers."""
    stretches = [stretch for ghost in ghosts for stretch in ghost.stretches]
    lines = []
    for (a, b), spans in zip(stretches, uncovered(stretches, sight), strict=True):
        (x0, y0), (x1, y1) = sight.view.project(a), sight.view.project(b)
        for span in spans:
            lines.append(
                [((x0 + (x1 - x0) * t) * scale, (y0 + (y1 - y0) * t) * scale) for t in span]
            )
    return [Stroke(path, "before") for path in _chains(lines)]


def _line_marks(lines: Sequence[SightLine], scene: Scene, scale: float) -> list[Mark]:
    """Visible lines by style, thin ones first so that heavy ones end on top."""
    skins = {face.id: scene.skins.get(face.front, scene.skins["inside"]) for face in scene.faces}
    by_style: dict[str, list[list[Point]]] = {}
    rings: list[Mark] = []
    for line in lines:
        points = [(x * scale, y * scale) for x, y in line.points]
        if line.kind == "silhouette":
            rings.append(Stroke(polyline(points[:-1], closed=True), STYLES["silhouette"]))
        else:
            style = STYLES.get(line.style, "hair")
            if line.kind == "outline" and {skins[f].edge for f in line.faces} == {"hair"}:
                style = "hair"
            by_style.setdefault(style, []).append(points)
    order = ("hair", "valley", "mountain", "outline")
    marks: list[Mark] = []
    for style in order:
        marks += [Stroke(path, style) for path in _chains(by_style.get(style, []))]
    return marks + rings


def _chains(lines: Sequence[Sequence[Point]]) -> list[Path]:
    """Lines joined where two ends meet, so that dashes run on and corners close."""
    if not lines:
        return []
    of = np.repeat(np.arange(len(lines)), [len(line) for line in lines])
    points = np.round(np.array([point for line in lines for point in line]), 3)
    starts = np.flatnonzero(np.diff(of, prepend=-1))
    first, last = points[starts], points[np.append(starts[1:], len(points)) - 1]
    open_ = (first != last).any(axis=1)
    kept = open_[of]
    if not kept.any():
        return []
    made = shapely.linestrings(points[kept], indices=(np.cumsum(open_) - 1)[of][kept])
    merged = shapely.get_parts(shapely.line_merge(shapely.multilinestrings(made)))
    points, part_of = shapely.get_coordinates(merged, return_index=True)
    paths = []
    for part in np.split(points, np.flatnonzero(np.diff(part_of)) + 1):
        way = [(x, y) for x, y in part.tolist()]
        closed = len(way) > 3 and way[0] == way[-1]
        paths.append(polyline(way[:-1] if closed else way, closed))
    return paths


def _ink(whole: SeenScene, scale: float, drawn: Sequence[DrawnArrow]) -> Segments:
    """The outlines of all paper, before and after, and the arrows, in print mm."""
    rings = [line.points for line in whole.lines if line.kind == "silhouette"]
    rings += [whole.sight.view.outline(ghost.loop) for ghost in whole.scene.ghosts]
    ways = [(*arrow.line, *arrow.head) for arrow in drawn]
    return np.concatenate([segments(rings) * scale, segments(ways)])


def _clear_of(
    drawn: Sequence[DrawnArrow], choice: Iterable[DrawnArrow | None]
) -> DrawnArrow | None:
    """The first arrow that crosses none that is drawn, else the one that crosses least."""
    best: tuple[float, DrawnArrow | None] = (math.inf, None)
    for arrow in choice:
        if arrow is None:
            return None
        near = [other for other in drawn if _meet(arrow.bounds, other.bounds)]
        crossed = sum(arrow.room.intersection(other.room).area for other in near)
        if crossed <= 0.0:
            return arrow
        best = min(best, (crossed, arrow), key=lambda pair: pair[0])
    return best[1]


def _meet(a: Box, b: Box) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def _sign_box(
    figure: Box, sight: Sight, ghosts: Sequence[Ghost], drawn: Sequence[DrawnArrow], scale: float
) -> Box:
    """A box under which the sign for turning over stands in a free corner, else over the figure.

    It stands left or above, first as one reads: the work is turned before it is worked on.
    """
    wide, high = TURN_ROOM
    base = TURN_BASE + SIGN_BELOW
    full = [on_paper(seen.surface.area, scale) for seen in sight.seen]
    full += [on_paper(LineString(sight.view.outline(ghost.loop)), scale) for ghost in ghosts]
    taken = shapely.union_all([*full, *(arrow.room for arrow in drawn)])
    x0, y0, _, y1 = figure
    for x, y in ((x0, y1 - high), (x0, y0)):
        if not taken.intersects(box(x, y, x + wide, y + high)):
            return x, y + base, x + wide, y1
    return x0, y1 + base, x0 + wide, y1 + base


def _joined(boxes: Sequence[Box]) -> Box:
    x0, y0, x1, y1 = zip(*boxes, strict=True)
    return min(x0), min(y0), max(x1), max(y1)


def _extent(figure: Box | None, names: Sequence[Mark], letters: Faces) -> Box:
    """The box of paper, arrows and names, with half a heavy line round."""
    xs: list[float] = []
    ys: list[float] = []
    if figure is not None:
        xs, ys = [figure[0], figure[2]], [figure[1], figure[3]]
    for mark in names:
        if isinstance(mark, Label):
            width = letters.width(mark.text, LABEL)
            start = {"start": 0.0, "middle": -width / 2, "end": -width}[mark.anchor]
            xs += [mark.at[0] + start, mark.at[0] + start + width]
            ys += [mark.at[1] - CAP / 2, mark.at[1] + CAP * 1.4]
        elif isinstance(mark, Stroke | Area):
            points = points_of(mark.path)
            xs += [p[0] for p in points]
            ys += [p[1] for p in points]
    if not xs:
        return (0.0, 0.0, 0.0, 0.0)
    edge = HEAVY / 2
    return min(xs) - edge, min(ys) - edge, max(xs) + edge, max(ys) + edge

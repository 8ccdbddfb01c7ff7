"""What can be wrong with a free piece, said with its place.

In: subpaths, the network of lines and the areas between them. Out: problems; the area of each named
panel. Coordinates in messages are those of the file: in the piece's unit, before the piece is
moved to the origin.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from shapely.geometry import Point as PlanePoint
from shapely.geometry import Polygon

from booklet.flat.faces import Area, Walk, owners
from booklet.flat.map import split_pair
from booklet.flat.network import Network, connect, flat_line, middle
from booklet.flat.path import Point
from booklet.flat.path_data import Subpath
from booklet.flat.segment import XY, as_point
from booklet.limits import Limits
from booklet.measure.resolve import Scope
from booklet.measure.tolerance import TOUCH_MM
from booklet.measure.units import UNITS
from booklet.problem import Place, Problem
from booklet.read.nearest import did_you_mean
from booklet.read.piece import Piece

LIMITS = Limits()


@dataclass(frozen=True)
class Frame:
    """How the file counts: `shift` (mm) was taken from its points, `unit` is its unit."""

    shift: XY
    unit: str

    def spot(self, point: Point) -> str:
        """A point as the file would write it."""
        unit = float(UNITS[self.unit])
        x, y = ((p + float(s)) / unit for p, s in zip(point, self.shift, strict=True))
        return f"({x:.4g}, {y:.4g})"


def check_outline(outline: Sequence[Subpath], frame: Frame, found: list[Problem]) -> bool:
    """Whether the outline is closed, simple and in one part; the first fault is reported."""
    problem = (
        _open_problem(outline, frame)
        or _crossing_problem(outline, frame)
        or _parts_problem(outline)
    )
    if problem is not None:
        found.append(problem)
    return problem is None


def _open_problem(outline: Sequence[Subpath], frame: Frame) -> Problem | None:
    for subpath in outline:
        start, end = as_point(subpath.segments[0].start), as_point(subpath.segments[-1].end)
        apart = max(abs(end[0] - start[0]), abs(end[1] - start[1]))
        if not subpath.closed and apart > TOUCH_MM:
            return Problem(
                "outline-open",
                f"the outline ends at {frame.spot(end)} and not where it starts, at "
                f"{frame.spot(start)}",
                subpath.segments[-1].place,
                "close it with Z, or lead it back to its start",
            )
    return None


def _crossing_problem(outline: Sequence[Subpath], frame: Frame) -> Problem | None:
    segments = [segment for subpath in outline for segment in subpath.segments]
    for segment in segments:
        if segment.bend is not None and not flat_line(segment).is_simple:
            spot = frame.spot(as_point(segment.start))
            return Problem(
                "outline-crosses-itself",
                f"the curve from {spot} crosses itself",
                segment.place,
                "move its control points nearer to its ends",
            )
    network = connect(segments)
    degree = Counter(node for link in network.links for node in (link.first, link.last))
    for link in reversed(network.links):
        for node in (link.last, link.first):
            if degree[node] != 2:
                spot = frame.spot(as_point(network.nodes[node]))
                return Problem(
                    "outline-crosses-itself",
                    f"the outline crosses or touches itself at {spot}",
                    link.source.place,
                    "go round the piece once; draw slits as cuts and windows as subpaths of "
                    "their own",
                )
    return None


def _polygons(outline: Sequence[Subpath]) -> list[Polygon]:
    """The area of each subpath, the largest first."""
    shapes = []
    for subpath in outline:
        points = [xy for s in subpath.segments for xy in list(flat_line(s).coords)[:-1]]
        shapes.append(Polygon(points) if len(points) > 2 else Polygon())
    return sorted(shapes, key=lambda shape: -shape.area)


def _parts_problem(outline: Sequence[Subpath]) -> Problem | None:
    whole, *holes = _polygons(outline)
    apart = any(not whole.contains(hole) for hole in holes)
    nested = any(a.intersects(b) for i, a in enumerate(holes) for b in holes[i + 1 :])
    if not apart and not nested and whole.area > TOUCH_MM:
        return None
    return Problem(
        "outline-in-parts",
        "the outline's subpaths are not one area with windows in it",
        outline[0].place,
        "draw one closed line round the piece, and windows as closed lines inside it; a second "
        "part is a [[piece]] of its own",
    )


def inside_of(outline: Sequence[Subpath]) -> Polygon:
    """The area of the piece, windows taken out (flattened)."""
    whole, *holes = _polygons(outline)
    return Polygon(whole.exterior, [hole.exterior for hole in holes])


def unknown_panels(piece: Piece, found: list[Problem]) -> None:
    """Report each name of a panel that the piece does not have."""
    names = list(piece.points)
    used: list[tuple[str, Place]] = [(name, table.place) for name, table in piece.panels.items()]
    used += [(cutout.panel.value, cutout.panel.place) for cutout in piece.cutouts]
    for cut in piece.cuts:
        used += [(name, cut.place) for name in split_pair(cut.value) or ()]
    for name, place in used:
        if name not in names:
            found.append(
                Problem(
                    "unknown-panel",
                    f'no panel "{name}" in [piece.panels] of "{piece.id.value}"',
                    place,
                    did_you_mean(name, names),
                )
            )


def name_areas(
    piece: Piece,
    faces: Sequence[Area],
    network: Network,
    frame: Frame,
    scope: Scope,
    found: list[Problem],
    limits: Limits = LIMITS,
) -> Mapping[str, int] | None:
    """The number of each panel's area, in the order of the file; None after a problem."""
    before = len(found)
    if len(faces) > limits.panels:
        message = f"the piece has {len(faces)} areas; at most {limits.panels} are read"
        found.append(Problem("too-many", message, piece.place, "make it of several pieces"))
        return None
    named: dict[str, int] = {}
    taken: dict[int, str] = {}
    for name, pair in piece.points.items():
        x, y = (scope.length(part, found) for part in pair)
        if x is None or y is None:
            continue
        spot = PlanePoint(float(x - frame.shift[0]), float(y - frame.shift[1]))
        number = next((i for i, face in enumerate(faces) if face.shape.covers(spot)), None)
        problem = _point_problem(name, spot, number, faces, taken, frame, pair[0].place)
        if problem is not None:
            found.append(problem)
        elif number is not None:
            named[name] = number
            taken[number] = name
    if len(found) == before:
        for number, face in enumerate(faces):
            if number not in taken and not _falls_out(face, network):
                spot = face.shape.representative_point()
                found.append(_unnamed(piece, frame.spot((spot.x, spot.y))))
        _check_rings(piece, named, faces, network, found)
    return named if len(found) == before else None


def _point_problem(
    name: str,
    spot: PlanePoint,
    number: int | None,
    faces: Sequence[Area],
    taken: Mapping[int, str],
    frame: Frame,
    place: Place,
) -> Problem | None:
    where = frame.spot((spot.x, spot.y))
    if number is None:
        near = min(faces, key=lambda face: face.shape.distance(spot), default=None)
        inner = near.shape.representative_point() if near is not None else spot
        return Problem(
            "point-outside",
            f'the point {where} of panel "{name}" lies in no area of the piece',
            place,
            f"move it inside; {frame.spot((inner.x, inner.y))} lies in the nearest area",
        )
    if faces[number].shape.exterior.distance(spot) <= TOUCH_MM:
        return Problem(
            "point-on-line",
            f'the point {where} of panel "{name}" lies on a line, so it names no area',
            place,
            "move it into the middle of the panel",
        )
    if number in taken:
        return Problem(
            "point-twice",
            f'panels "{taken[number]}" and "{name}" have their points in one area, at {where}',
            place,
            "move one point, or draw the score that divides the two",
        )
    return None


def _falls_out(face: Area, network: Network) -> bool:
    """Whether an area without a name is waste: cut all round, no score holds it."""
    kinds = {network.links[w.index].kind for ring in (face.outer, *face.inner) for w in ring}
    return "cut" in kinds and "score" not in kinds


def _unnamed(piece: Piece, spot: str) -> Problem:
    assert piece.outline is not None
    x, y = spot.strip("()").split(", ")
    return Problem(
        "panel-unnamed",
        f'the area of "{piece.id.value}" round {spot} has no name',
        piece.outline.place,
        f"name it by a point in [piece.panels], such as NAME = [{x}, {y}]",
    )


def _check_rings(
    piece: Piece,
    named: Mapping[str, int],
    faces: Sequence[Area],
    network: Network,
    found: list[Problem],
) -> None:
    """Report panels that go all the way round another panel."""
    for name, number in named.items():
        rings = faces[number].inner
        if any(network.links[walk.index].kind == "score" for ring in rings for walk in ring):
            found.append(
                Problem(
                    "panel-with-hole",
                    f'panel "{name}" goes all the way round something else',
                    piece.points[name][0].place,
                    "a window is a closed line of the outline or of cuts; split a ring into panels",
                )
            )


def check_scores(
    network: Network, faces: Sequence[Area], inside: Polygon, frame: Frame, found: list[Problem]
) -> bool:
    """Whether each score runs from line to line inside the piece; all that do not are reported."""
    left = owners(faces)
    degree = Counter(node for link in network.links for node in (link.first, link.last))
    blamed: set[Place] = set()
    for index, link in enumerate(network.links):
        if link.kind == "outline" or link.source.place in blamed:
            continue
        spot = middle(link.path)
        if not inside.covers(PlanePoint(spot)):
            blamed.add(link.source.place)
            what = "score" if link.kind == "score" else "cut"
            found.append(
                Problem(
                    "line-outside",
                    f"the {what} runs outside the outline, at {frame.spot(spot)}",
                    link.source.place,
                    "end it on the outline",
                )
            )
        elif link.kind == "score" and left.get(Walk(index, True)) == left.get(Walk(index, False)):
            blamed.add(link.source.place)
            ends = [node for node in (link.first, link.last) if degree[node] == 1]
            where = frame.spot(as_point(network.nodes[ends[0] if ends else link.last]))
            found.append(
                Problem(
                    "score-ends-nowhere",
                    f"the score ends at {where} inside a panel: it divides nothing",
                    link.source.place,
                    "lead it to the outline, to a cut or to another score",
                )
            )
    return not blamed

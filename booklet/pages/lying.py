"""Where contents lie in pictures: in their piece, or on their way in.

In: a model's fits, and the state of a piece. Out: faces, names and arrows of the contents.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from booklet.draw.arrow import SlideArrow
from booklet.draw.folded import block
from booklet.draw.motion import State, posed
from booklet.draw.state_face import LAYERS, layer_now
from booklet.fold.bent_state import bent_now
from booklet.fold.cavity import Cavity, Triple
from booklet.fold.contents import ContentsFit, stacked
from booklet.fold.face import Face, Point3
from booklet.fold.filling import resting
from booklet.fold.pocket import cover_of
from booklet.fold.pose import Posed, as_points, in_space
from booklet.fold.way_out import WAYS, Obstacles, Way, is_shut, obstacles, pocket_mouth, way_out
from booklet.measure.tolerance import ANGLE_DEG
from booklet.read.contents import Contents
from booklet.stages import Model

LIFT = 0.2
"""How far contents are kept off the floor in pictures, in mm: two faces in one plane would mix."""
PULLED = 0.2
"""The share of its length by which a sheet looks out of its pocket."""
CLEAR = 0.3
"""The share of their own height by which contents stand over a tray before they go in."""
SHOWN = 12.0
"""Contents thinner than this (mm) are lifted as if they had this height."""
LOOKING_OUT = 0.7
"""The share of their length by which contents look out of a piece that they slide into."""


MOST_DRAWN = 60
"""Things that a picture shows one by one; more are a block."""


SIDES: Mapping[Way, int] = {(2, 1): 0, (2, -1): 1, (1, -1): 2, (1, 1): 3, (0, -1): 4, (0, 1): 5}
"""The faces of a block by the direction that they look in."""


@dataclass(frozen=True)
class Lot:
    """Contents that fit: their name, the corners of their box in the piece, and its cavity."""

    id: str
    name: str
    low: Triple
    high: Triple
    cavity: Cavity
    rows: tuple[int, int, int] = (1, 1, 1)
    """How many things are drawn along x, y and z."""


@dataclass(frozen=True)
class Lying:
    """What a picture draws of contents; `about` are the faces that it should show."""

    faces: tuple[Face, ...] = ()
    named: dict[str, str] = field(default_factory=dict)
    arrows: tuple[SlideArrow, ...] = ()
    about: tuple[str, ...] = ()


def lots(model: Model, piece: str) -> tuple[Lot, ...]:
    """The contents that are known to fit, in the middle of the cavity's floor or beside each other.

    Where no places for all of them are known, the largest stands for them.
    """
    folded = next((p for p in model.folded if p.piece == piece), None)
    if folded is None or folded.cavity is None:
        return ()
    items = {item.id.value: item for item in model.project.contents}
    cavity = folded.cavity
    found = []
    lying = [fit for fit in folded.contents if fit.fits]
    if not cavity.pocket and any(fit.corner is None for fit in lying):
        lying = sorted(lying, key=lambda fit: -math.prod(fit.size))[:1]
    for fit in lying:
        lift = (0.0, 0.0, 0.0 if cavity.pocket else LIFT)
        low, high = (_moved(corner, lift) for corner in resting(fit, cavity))
        item = items[fit.id]
        found.append(Lot(fit.id, item.name, low, high, cavity, _rows(item, fit)))
    return tuple(found)


def _rows(item: Contents, fit: ContentsFit) -> tuple[int, int, int]:
    """Things side by side are drawn one by one; a stack, or a lot with gaps, as a block."""
    many = stacked(item)
    x, y, z = (many[own] for own in fit.turned)
    full = x * y * z == item.count <= MOST_DRAWN
    return (x, y, z) if full and item.grid != (1, 1) else (1, 1, 1)


def sheet_or_blocks(
    rest: Posed,
    state: State,
    layers: Mapping[str, int],
    inside: Sequence[Lot],
    going_in: Sequence[Lot] = (),
) -> Lying:
    """Contents inside, as far as they show, and others before their way in, with arrows."""
    if not inside and not going_in:
        return Lying()
    pose = posed(rest, state)
    bent = bent_now(pose, state.angles)
    paper = obstacles(pose, bent)
    folded = {name for name, angle in state.angles.items() if abs(angle) > ANGLE_DEG}
    faces: list[Face] = []
    named: dict[str, str] = {}
    arrows: list[SlideArrow] = []
    heads: list[str] = []
    for lot in (*inside, *going_in):
        enters = lot in going_in
        if lot.cavity.pocket:
            way = pocket_mouth(pose, lot.cavity)
            if way is not None and is_shut(pose, lot.cavity, way, folded):
                continue  # nothing of it is seen
        else:
            way = way_out(paper, lot.low, lot.high)
        off = _offset(lot, way, enters)
        if enters and bent is None and lot.cavity.rooms:  # its layers lie flat yet
            way = _bent_mouth(pose, lot)
            off = _before_the_mouth(lot, way, paper)
        low, high = _moved(lot.low, off), _moved(lot.high, off)
        if lot.cavity.pocket:
            sides = [[_sheet(lot, low, high, _between(rest, pose, lot.cavity, layers))]]
        else:
            sides = [_parts(face, lot.rows) for face in block(f"contents:{lot.id}", low, high)]
        own = [face for side in sides for face in side]
        faces += own
        # Contents inside are seen through the mouth, if at all.
        mouth = sides[0 if enters or lot.cavity.pocket or way is None else SIDES[way]]
        named[mouth[len(mouth) // 2].id] = lot.name
        heads += [face.id for face in (own if enters else mouth)]
        if enters:
            middle = _middle(low, high, way)
            arrows.append(SlideArrow(middle, _moved(middle, [-part * 0.8 for part in off])))
    return Lying(tuple(faces), named, tuple(arrows), tuple(heads))


def _parts(side: Face, rows: tuple[int, int, int]) -> list[Face]:
    """A side of a block as one face for each thing that is seen there."""
    a, b, _, d = (np.array(point) for point in side.points)
    across, down = b - a, d - a
    many, deep = (rows[int(np.abs(edge).argmax())] for edge in (across, down))
    if many == deep == 1:
        return [side]
    parts: list[Face] = []
    for i, j in itertools.product(range(many), range(deep)):
        corners = ((i, j), (i + 1, j), (i + 1, j + 1), (i, j + 1))
        loop = as_points(np.array([a + across * u / many + down * v / deep for u, v in corners]))
        parts.append(replace(side, id=f"{side.id}~{len(parts)}", points=loop))
    return parts


def _offset(lot: Lot, way: Way | None, enters: bool) -> Triple:
    """How far the contents are from where they end."""
    if way is None or not (enters or lot.cavity.pocket):
        return 0.0, 0.0, 0.0
    axis, sign = way
    long = lot.high[axis] - lot.low[axis]
    if enters and axis == 2:
        wall = abs((lot.cavity.high if sign > 0 else lot.cavity.low)[axis] - _start(lot, way))
        away = wall + max(long, SHOWN) * CLEAR
    elif enters:
        away = long * LOOKING_OUT
    else:
        away = long * PULLED
    off = [0.0, 0.0, 0.0]
    off[axis] = sign * away
    return off[0], off[1], off[2]


def _bent_mouth(pose: Posed, lot: Lot) -> Way:
    """The side of a room between bent panels that flaps along curves will close."""
    sides: set[Way] = set()
    middle = (np.array(lot.low) + lot.high) / 2
    for hinge in pose.pattern.hinges:
        score = pose.pattern.scores[hinge.score]
        if score.curve is not None:
            ends = in_space(pose.matrix(hinge.parent), [score.start, score.end])
            toward = ends.mean(axis=0) - middle
            axis = int(np.abs(toward[:2]).argmax())
            sides.add((axis, 1 if toward[axis] > 0 else -1))
    return next(way for way in WAYS if way in sides)


def _before_the_mouth(lot: Lot, way: Way, paper: Obstacles) -> Triple:
    """How far contents are from where they end when they lie before layers that are flat yet."""
    axis, sign = way
    edge = float(paper.highs[:, axis].max() if sign > 0 else paper.lows[:, axis].min())
    off = [0.0, 0.0, 0.0]
    off[axis] = edge - _start(lot, way)
    return off[0], off[1], off[2]


def _start(lot: Lot, way: Way) -> float:
    """The side of the contents that goes in first."""
    return (lot.low if way[1] > 0 else lot.high)[way[0]]


def _moved(point: Triple, off: Sequence[float]) -> Triple:
    return point[0] + off[0], point[1] + off[1], point[2] + off[2]


def _middle(low: Triple, high: Triple, way: Way | None) -> Point3:
    """The middle of the side that goes in first."""
    middle = [(a + b) / 2 for a, b in zip(low, high, strict=True)]
    if way is not None:
        middle[way[0]] = (low if way[1] > 0 else high)[way[0]]
    return middle[0], middle[1], middle[2]


def _sheet(lot: Lot, low: Triple, high: Triple, layer: int) -> Face:
    """A flat sheet between the layers of a pocket."""
    across, up = (axis for axis in range(3) if axis != lot.cavity.flat)
    loop = []
    for wide, tall in ((low, low), (high, low), (high, high), (low, high)):
        corner = list(low)
        corner[across], corner[up] = wide[across], tall[up]
        loop.append((corner[0], corner[1], corner[2]))
    return Face(f"contents:{lot.id}", tuple(loop), (), "contents", "contents", layer)


def _between(rest: Posed, pose: Posed, pocket: Cavity, layers: Mapping[str, int]) -> int:
    """The place just under the panel that shuts a pocket, seen from the panel that it hangs on."""
    hinge = cover_of(rest, pocket)
    if hinge is None:
        return LAYERS // 2
    cover, floor = (layer_now(pose, name, layers) for name in (hinge.panel, hinge.parent))
    return cover - LAYERS // 2 if cover > floor else cover + LAYERS // 2

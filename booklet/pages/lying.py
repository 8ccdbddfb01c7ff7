"""Where contents lie in pictures: in their piece, or on their way in.

In: a model's fits, and the state of a piece. Out: faces, names and arrows of the contents.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from booklet.draw.arrow import SlideArrow
from booklet.draw.folded import block
from booklet.draw.motion import State, posed
from booklet.flat.pattern import Pattern
from booklet.fold.cavity import Cavity, Triple
from booklet.fold.face import Face, Point3
from booklet.fold.way_out import Way, pocket_mouth, way_out
from booklet.stages import Model

LIFT = 0.2
"""How far contents are kept off the floor in pictures, in mm: two faces in one plane would mix."""
PULLED = 0.45
"""The share of its length by which a sheet looks out of its pocket."""
CLEAR = 0.3
"""The share of their own length by which contents on their way in are clear of the piece."""


@dataclass(frozen=True)
class Lot:
    """Contents that fit: their name, the corners of their box in the piece, and its cavity."""

    id: str
    name: str
    low: Triple
    high: Triple
    cavity: Cavity


@dataclass(frozen=True)
class Lying:
    """What a picture draws of contents; `going_in` are the faces of those that a step puts in."""

    faces: tuple[Face, ...] = ()
    named: dict[str, str] = field(default_factory=dict)
    arrows: tuple[SlideArrow, ...] = ()
    going_in: tuple[str, ...] = ()


def lots(model: Model, piece: str) -> tuple[Lot, ...]:
    """The contents that are known to fit, each in the middle of the cavity's floor."""
    folded = next((p for p in model.folded if p.piece == piece), None)
    if folded is None or folded.cavity is None:
        return ()
    names = {item.id.value: item.name for item in model.project.contents}
    cavity = folded.cavity
    found = []
    for fit in folded.contents:
        if not fit.fits:
            continue
        sides = [fit.size[axis] for axis in fit.turned]
        x, y = (
            (low + high - side) / 2
            for low, high, side in zip(cavity.low[:2], cavity.high[:2], sides[:2], strict=True)
        )
        z = cavity.low[2] + (0.0 if cavity.pocket else LIFT)
        high = (x + sides[0], y + sides[1], z + (0.0 if cavity.pocket else sides[2]))
        found.append(Lot(fit.id, names.get(fit.id, fit.id), (x, y, z), high, cavity))
    return tuple(found)


def sheet_or_blocks(
    pattern: Pattern, state: State, inside: Sequence[Lot], going_in: Sequence[Lot]
) -> Lying:
    """Contents inside, as far as they show, and others before their way in, with arrows."""
    if not inside and not going_in:
        return Lying()
    pose = posed(pattern, state)
    faces: list[Face] = []
    named: dict[str, str] = {}
    arrows: list[SlideArrow] = []
    heads: list[str] = []
    for lot in (*inside, *going_in):
        enters = lot in going_in
        if lot.cavity.pocket:
            way = pocket_mouth(pose, lot.cavity)
        else:
            way = way_out(pose, lot.low, lot.high)
        off = _offset(lot, way, enters)
        low, high = _moved(lot.low, off), _moved(lot.high, off)
        if lot.cavity.pocket:
            own: tuple[Face, ...] = (_sheet(lot, low, high, pattern, state),)
        else:
            own = block(f"contents:{lot.id}", low, high)
        faces += own
        named[own[0].id] = lot.name
        if enters:
            heads += [face.id for face in own]
            middle = _middle(low, high, way)
            goal = _moved(middle, tuple(-part * 0.8 for part in off))
            arrows.append(SlideArrow(middle, goal))
    return Lying(tuple(faces), named, tuple(arrows), tuple(heads))


def _offset(lot: Lot, way: Way | None, enters: bool) -> Triple:
    """How far the contents are from where they end."""
    if way is None or not (enters or lot.cavity.pocket):
        return 0.0, 0.0, 0.0
    axis, sign = way
    long = lot.high[axis] - lot.low[axis]
    if enters:
        wall = abs((lot.cavity.high if sign > 0 else lot.cavity.low)[axis] - _start(lot, way))
        away = wall + max(long, 12.0) * CLEAR + (0.0 if axis == 2 else long * (1 - CLEAR))
    else:
        away = long * PULLED
    off = [0.0, 0.0, 0.0]
    off[axis] = sign * away
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


def _sheet(lot: Lot, low: Triple, high: Triple, pattern: Pattern, state: State) -> Face:
    """A flat sheet between the layers of a pocket: over its floor, under what was folded on it."""
    order = state.order
    covers = [order[join.to[1]] for join in pattern.joins if join.to[1] in order]
    (x0, y0, z), (x1, y1, _) = low, high
    loop = ((x0, y0, z), (x1, y0, z), (x1, y1, z), (x0, y1, z))
    layer = max(covers, default=1) * 2 - 1
    return Face(f"contents:{lot.id}", loop, (), "contents", "contents", layer)

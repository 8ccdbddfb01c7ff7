"""Returns: panels folded back flat onto the wall that they hang on. Are they short enough?

In: a posed piece, its layers and order of folds. Out: problems for returns whose free edges meet
another panel too early.

Panels are middle surfaces. A return lies a thickness inside its wall, and its free edge ends at the
face of the panel that it meets: half a thickness from that panel's middle, and a whole one more
for each sheet that lies there already.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from shapely.geometry import Point as PlanePoint
from shapely.geometry import Polygon

from booklet.flat.flatten import points_of
from booklet.flat.pattern import Hinge
from booklet.fold.join import landing_shape
from booklet.fold.layer import turned_up
from booklet.fold.pose import Floats, Posed, in_space, outline
from booklet.measure.tolerance import HAND_MM, TOUCH_MM
from booklet.problem import Problem

FOLDED_BACK = 170.0
"""Degrees from which a panel lies on the one that it hangs on."""

ALONG = 0.9
"""Cosine from which an edge runs along a plane rather than toward it."""

ACROSS = 0.44
"""Cosine up to which a panel stands on the wall rather than along it."""


@dataclass(frozen=True)
class Short:
    """`panel` is to be `by` mm shorter where it meets `meets`; `sheets` lie between the two."""

    panel: str
    meets: str
    by: float
    sheets: int


def check_returns(
    posed: Posed,
    layers: Mapping[str, int],
    steps: Sequence[Sequence[str]],
    found: list[Problem],
) -> tuple[Short, ...]:
    """Every return that is too long, where it is most so; a hand cannot tell up to HAND_MM."""
    if posed.thickness <= 0:
        return ()
    turn = {name: number for number, step in enumerate(steps) for name in step}
    boxes, beside = _boxes(posed), _beside(posed)
    worst: list[Short] = []
    for hinge in posed.pattern.hinges:
        if abs(hinge.angle) < FOLDED_BACK:
            continue
        shorts = [
            short
            for other in _near(posed, boxes, hinge, beside)
            for short in _meets(posed, hinge, other, layers, turn)
        ]
        if shorts:
            short = max(shorts, key=lambda short: short.by)
            worst.append(short)
            found.append(_too_long(posed, short))
    return tuple(worst)


def _boxes(posed: Posed) -> Floats:
    """Lowest and highest corner of each panel in space, (panels, 2, 3)."""
    points = [
        in_space(posed.matrix(name), outline(posed.panels[name].shape))
        for name in posed.bones.names
    ]
    return np.array([[p.min(axis=0), p.max(axis=0)] for p in points])


def _beside(posed: Posed) -> dict[str, set[str]]:
    """Each panel, and those that a score joins to it."""
    beside: dict[str, set[str]] = {name: {name} for name in posed.panels}
    for score in posed.pattern.scores:
        for name in score.between:
            beside[name] |= set(score.between)
    return beside


def _near(posed: Posed, boxes: Floats, hinge: Hinge, beside: Mapping[str, set[str]]) -> list[str]:
    """Panels that stand on its wall in the return's way; those that hang on it go with it."""
    own = posed.bones.index[hinge.panel]
    reach = HAND_MM + 2 * posed.thickness
    meet = (boxes[:, 0] <= boxes[own, 1] + reach) & (boxes[own, 0] - reach <= boxes[:, 1])
    normals = posed.matrices[:, :3, 2]
    upright = np.abs(normals @ normals[posed.bones.index[hinge.parent]]) <= ACROSS
    near = [posed.bones.names[i] for i in np.flatnonzero(meet.all(axis=1) & upright)]
    return [name for name in near if name not in beside[hinge.panel]]


def _meets(
    posed: Posed, hinge: Hinge, other: str, layers: Mapping[str, int], turn: Mapping[str, int]
) -> Iterator[Short]:
    """What is missing at each free edge of the return along the plane of `other`."""
    lift = math.copysign(posed.thickness, hinge.angle)
    place = posed.seen_from(hinge.parent, other)
    normal = place[:3, 2]
    flat = float(np.hypot(normal[0], normal[1]))
    across = normal[:2] / flat
    along = np.array([-across[1], across[0]])
    offset = float(normal @ place[:3, 3] - normal[2] * lift) / flat
    stretches = _stretches(in_space(place, outline(posed.panels[other].shape)), along, lift)
    own = posed.seen_from(hinge.parent, hinge.panel)
    panel = posed.panels[hinge.panel]
    bulk = in_space(own, np.array([panel.shape.centroid.coords[0]]))[0, :2] @ across - offset
    for edge in panel.edges:
        if edge.kind == "score" or not stretches:
            continue
        points = in_space(own, points_of(edge.path))[:, :2]
        middle = _along(points, along, across, stretches)
        if middle is None:
            continue
        has = float((middle @ across - offset) * math.copysign(1.0, bulk))
        spot = np.array([*middle, lift])
        sheets = _sheets(posed, hinge, other, spot, layers, turn)
        by = posed.thickness * (0.5 + sheets) - has
        if by > HAND_MM and has > -HAND_MM - posed.thickness:
            yield Short(hinge.panel, other, by, sheets)


def _stretches(points: Floats, along: Floats, lift: float) -> list[tuple[float, float]]:
    """Where a panel cuts the plane in which the return lies, as intervals."""
    heights = points[:, 2] - lift
    after, heights_after = np.roll(points, -1, axis=0), np.roll(heights, -1)
    cut = (heights >= 0) != (heights_after >= 0)
    share = heights[cut] / (heights[cut] - heights_after[cut])
    at = points[cut] + share[:, None] * (after[cut] - points[cut])
    places = np.sort(at[:, :2] @ along).tolist()
    return list(zip(places[::2], places[1::2], strict=False))


def _along(
    points: Floats, along: Floats, across: Floats, stretches: Sequence[tuple[float, float]]
) -> Floats | None:
    """The middle of an edge that runs along the other panel for a stretch."""
    way = points[-1] - points[0]
    length = float(np.hypot(*way))
    if length <= HAND_MM or abs(float(way @ along)) / length < ALONG:
        return None
    low, high = sorted((float(points[0] @ along), float(points[-1] @ along)))
    if not any(min(high, b) - max(low, a) > HAND_MM for a, b in stretches):
        return None
    middle: Floats = (points[0] + points[-1]) / 2
    return middle


def _sheets(
    posed: Posed,
    hinge: Hinge,
    other: str,
    spot: Floats,
    layers: Mapping[str, int],
    turn: Mapping[str, int],
) -> int:
    """Sheets on the panel that the return meets: there before it, on its side, at that spot."""
    back = posed.seen_from(other, hinge.parent)
    own = back[:3, :3] @ spot + back[:3, 3]
    body = posed.panels[hinge.panel].shape.centroid
    bulk = posed.seen_from(other, hinge.panel) @ np.array([body.x, body.y, 0.0, 1.0])
    up = turned_up(posed.matrix(other)[:3, 2]) == (bulk[2] > 0)
    count = 0
    for name in posed.bones.names:
        if name in (other, hinge.panel, hinge.parent):
            continue
        if turn.get(name, -1) >= turn.get(hinge.panel, -1) or layers[name] == layers[other]:
            continue
        if (layers[name] > layers[other]) != up:
            continue
        shape = landing_shape(posed, name, other)
        if shape is not None and _covers(shape, own):
            count += 1
    return count


def _covers(shape: Polygon, spot: Floats) -> bool:
    return bool(shape.buffer(TOUCH_MM).covers(PlanePoint(float(spot[0]), float(spot[1]))))


def _too_long(posed: Posed, short: Short) -> Problem:
    sheets = f" and {short.sheets} sheet(s) on it" if short.sheets else ""
    return Problem(
        "return-too-long",
        f'"{short.panel}" folds back inside its wall, where "{short.meets}"{sheets} of '
        f"{posed.thickness:g} mm stock stand in its way: it is {short.by:.1f} mm too long",
        posed.panels[short.panel].place,
        f'make "{short.panel}" at least {short.by:.1f} mm shorter where it meets "{short.meets}"',
    )

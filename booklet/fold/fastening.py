"""Fastenings: where on the panels a dot, a magnet or a button sits.

In: a piece in its final pose and what a closure says. Out: discs in the flat of their panels, with
the side of the paper that they sit on. A dot or magnet has two halves, opposite each other in the
middle of what the two panels share; a button sits in the middle of what stays free of its panel.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

import numpy as np
import shapely
from shapely.geometry import Point as Spot
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import nearest_points

from booklet.fold.closure import largest_circle
from booklet.fold.join import landing, reach, shared_area
from booklet.fold.pose import Posed
from booklet.fold.touch import Side, touch
from booklet.measure.tolerance import SAME_MM, TOUCH_MM

USUAL_MM: Final[Mapping[str, float]] = {"hook_and_loop": 15.0, "magnet": 10.0, "button": 12.0}
"""Diameter in mm where the file gives none, if there is room; common practice, no source."""
MARGIN = 2.0
"""Millimetres that a disc keeps off the edges of its room where it can."""


@dataclass(frozen=True)
class Fastening:
    """A disc of a closure of this `kind` on a panel, in its flat coordinates.

    `side` is "front" on the inside of the paper. `closure` is the panel that the closure sits on.
    """

    kind: str
    closure: str
    panel: str
    side: Side
    shape: Polygon


def fastenings(
    rest: Posed, kind: str, on: str, meets: str | None, size: float | None, turns: Mapping[str, int]
) -> tuple[Fastening, ...]:
    """The discs of one closure on this piece; none where its panels do not meet.

    `rest` is the piece in its final pose, `size` the diameter in mm, `turns` in which round each
    panel folds.
    """
    if kind == "button":
        return _buttons(rest, on, meets, size)
    if kind not in USUAL_MM or meets is None or meets == on:
        return ()
    land = landing(rest, on, meets)
    if not land.parallel or land.gap > reach(rest):
        return ()
    disc = _disc(shared_area(land.shape, rest.panels[meets].shape), kind, size)
    if disc is None:
        return ()
    how = touch(rest, on, meets, turns)
    back = np.linalg.inv(rest.matrix(on)) @ rest.matrix(meets)
    points = np.asarray(disc.exterior.coords)[:-1, :2]
    own = Polygon(points @ back[:2, :2].T + back[:2, 3])
    return Fastening(kind, on, on, how.tab, own), Fastening(kind, on, meets, how.to, disc)


def _buttons(rest: Posed, on: str, meets: str | None, size: float | None) -> tuple[Fastening, ...]:
    """On the outside of one panel or two, the lower one where the other leaves it free."""
    free: dict[str, BaseGeometry] = {on: rest.panels[on].shape}
    if meets is not None and meets != on:
        free[meets] = rest.panels[meets].shape
        land = landing(rest, on, meets)
        if land.parallel and land.gap <= reach(rest):
            free[meets] = free[meets].difference(land.shape)
    discs = {name: _disc(shape, "button", size) for name, shape in free.items()}
    return tuple(
        Fastening("button", on, name, "back", disc) for name, disc in discs.items() if disc
    )


def _disc(free: BaseGeometry, kind: str, size: float | None) -> Polygon | None:
    """As near to the middle of a room as it lies inside, else where there is most room."""
    parts = [part for part in getattr(free, "geoms", [free]) if isinstance(part, Polygon)]
    room: Polygon = max(parts, key=lambda part: part.area, default=Polygon())
    if room.area < SAME_MM:
        return None
    radius = (min(USUAL_MM[kind], largest_circle(room)) if size is None else size) / 2
    if radius <= 0:
        return None
    for margin in (MARGIN, 0.0):
        # Pushed in by the radius, a room holds all places where the disc lies inside.
        places = room.buffer(TOUCH_MM - radius - margin)
        if not places.is_empty:
            at, _ = nearest_points(places, room.centroid)
            return at.buffer(radius, quad_segs=6)
    at = Spot(shapely.maximum_inscribed_circle(room).coords[0])
    return at.buffer(radius, quad_segs=6)

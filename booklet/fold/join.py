"""Joins: does each tab land on the panel that it is glued to?

In: a piece in its final pose, or several in one frame. Out: one `JoinFit` for each join, and
problems for tabs that miss, stick out or stand at an angle.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from shapely import get_coordinates
from shapely.geometry import Point as PlanePoint
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from booklet.flat.pattern import JoinPair
from booklet.fold.pose import Floats, Placed, Posed, in_space, outline
from booklet.measure.tolerance import HAND_MM, SAME_MM
from booklet.problem import Problem

WHOLE_SHARE = 0.98
"""A tab that lands by less than this share is reported; common practice, no source."""


@dataclass(frozen=True)
class Landing:
    """A panel seen in the plane of another: `spread` is how far it is from parallel in mm.

    `gap` is the distance of its middle from that plane (mm, middle surfaces, nominal size);
    `shape` its outline in the other's flat coordinates, `overlap` mm², `share` of its own area.
    """

    gap: float
    spread: float
    shape: Polygon
    overlap: float
    share: float

    @property
    def parallel(self) -> bool:
        """Whether the two planes are parallel as far as a hand can tell."""
        return self.spread <= HAND_MM


@dataclass(frozen=True)
class JoinFit:
    """One join: `overlap` and `share` are 0 where the planes do not meet.

    `sticks_out` is how far the tab reaches past its panel, mm, where no other panel lies in the
    same plane; `runs_on` says that what misses the panel lies under or over another one.
    """

    tab: str
    to: str
    gap: float
    overlap: float
    share: float
    sticks_out: float
    runs_on: bool
    parallel: bool


def landing(posed: Placed, tab: str, to: str) -> Landing:
    """Where panel `tab` comes to lie as seen from the flat frame of panel `to`."""
    relative = posed.seen_from(to, tab)
    shape = posed.panels[tab].shape
    gap, spread = _heights(posed, tab, to)
    flat = _flattened(shape, relative)
    target = posed.panels[to].shape
    overlap = float(shared_area(flat, target).area)
    area = float(flat.area)
    share = overlap / area if area > SAME_MM else 0.0
    return Landing(gap, spread, flat, overlap, min(1.0, share))


def _heights(posed: Placed, tab: str, to: str) -> tuple[float, float]:
    """Distance of a panel's middle from the plane of another, and how far it is from parallel."""
    points = in_space(posed.seen_from(to, tab), outline(posed.panels[tab].shape))
    heights = points[:, 2]
    return abs(float(heights.max() + heights.min()) / 2), float(np.ptp(heights))


def meets(posed: Placed, tab: str, to: str) -> bool:
    """Whether one panel lies against the plane of another, near enough to be glued."""
    gap, spread = _heights(posed, tab, to)
    return spread <= HAND_MM and gap <= reach(posed)


def shared_area(first: Polygon, second: Polygon) -> BaseGeometry:
    """What two shapes in one plane share.

    Where edges all but coincide, their crossings may get lost in the noise of the transforms, and
    a tab that lands whole seem to miss its panel. Both are then brought onto one grid first.
    """
    plain = first.intersection(second)
    steady = shapely.intersection(first, second, grid_size=SAME_MM)
    moved = SAME_MM * (first.length + second.length)
    return plain if abs(plain.area - steady.area) <= moved else steady


def _flattened(shape: Polygon, relative: Floats) -> Polygon:
    rings = [
        in_space(relative, np.asarray(ring.coords)[:, :2])[:, :2]
        for ring in (shape.exterior, *shape.interiors)
    ]
    flat = Polygon(rings[0], rings[1:])
    if flat.is_valid:
        return flat
    hull = flat.convex_hull  # seen edge-on it has no area, and no tab lands there
    return hull if isinstance(hull, Polygon) else Polygon()


def reach(posed: Placed) -> float:
    """How far apart two middle surfaces may lie and still be glued, mm: two sheets and a hand."""
    return 2 * posed.thickness + HAND_MM


def fit_join(posed: Placed, tab: str, to: str) -> JoinFit:
    """Measure one join in this pose."""
    land = landing(posed, tab, to)
    near = land.parallel and land.gap <= reach(posed)
    if not near or land.overlap <= 0:
        return JoinFit(tab, to, land.gap, 0.0, 0.0, 0.0, False, land.parallel)
    out, runs_on = _past(posed, land, tab, to)
    return JoinFit(tab, to, land.gap, land.overlap, land.share, out, runs_on, True)


def _past(posed: Placed, land: Landing, tab: str, to: str) -> tuple[float, bool]:
    """Distance of the tab's farthest uncovered corner from its panel, mm; and `runs_on`."""
    whole = Polygon(posed.panels[to].shape.exterior)
    if whole.buffer(HAND_MM).contains(land.shape):
        return 0.0, False
    covers = [whole]
    for name in posed.panels:
        if name in (tab, to):
            continue
        other = landing_shape(posed, name, to)
        if other is not None:
            covers.append(other)
    rest = land.shape.difference(unary_union(covers).buffer(HAND_MM / 2))
    if rest.is_empty or rest.area <= HAND_MM * HAND_MM:
        return 0.0, True
    return max(float(whole.distance(PlanePoint(xy))) for xy in get_coordinates(rest)), False


def landing_shape(posed: Placed, name: str, to: str) -> Polygon | None:
    """The outline of a panel in the plane of `to`, or None where it does not lie in that plane."""
    relative = posed.seen_from(to, name)
    heights = in_space(relative, outline(posed.panels[name].shape))[:, 2]
    if float(np.abs(heights).max()) > reach(posed):
        return None
    return _flattened(Polygon(posed.panels[name].shape.exterior), relative)


def fit_joins(posed: Posed, found: list[Problem]) -> tuple[JoinFit, ...]:
    """Every join inside the piece; `assemble` measures those to another piece."""
    fits: list[JoinFit] = []
    for join in posed.pattern.joins:
        home = posed.pattern.id
        if join.tab[0] == home == join.to[0]:
            fit = fit_join(posed, join.tab[1], join.to[1])
            fits.append(fit)
            judge_join(posed, join, fit, found)
    return tuple(fits)


def _flat_way(posed: Placed, fit: JoinFit) -> str | None:
    """What to do where both lie on opposite sides of one panel: no length of it brings them near.

    So a pouch comes out of which nobody said that its sides fold flat.
    """
    if not isinstance(posed, Posed):
        return None
    joined = {frozenset((h.panel, h.parent)): h for h in posed.pattern.hinges}
    for name in posed.panels:
        sides = [joined.get(frozenset((name, other))) for other in (fit.tab, fit.to)]
        first, second = sides
        if first is None or second is None:
            continue
        if abs(first.angle) == abs(second.angle) == 90 and first.angle == second.angle:
            return (
                f'fold "{first.panel}" and "{second.panel}" over flat (180 in folds), as for a '
                "pouch, or name the panel that the tab lands on"
            )
    return None


def judge_join(posed: Placed, join: JoinPair, fit: JoinFit, found: list[Problem]) -> None:
    """Report what is wrong with one join."""

    def report(code: str, message: str, way_out: str) -> None:
        found.append(Problem(code, message, join.place, way_out))

    pair = f'tab "{fit.tab}" and panel "{fit.to}"'
    if not fit.parallel:
        report(
            "join-not-flat",
            f"{pair} are not parallel once folded: glue cannot hold them",
            f'change the angle of "{fit.tab}" or "{fit.to}" in folds so that they lie flat '
            "on each other",
        )
    elif fit.gap > reach(posed):
        report(
            "join-never-meets",
            f"{pair} lie parallel but {fit.gap:.1f} mm apart",
            _flat_way(posed, fit)
            or f"make the panel between them {fit.gap:.1f} mm longer or shorter, or fold "
            f'"{fit.tab}" the other way',
        )
    elif fit.share <= 0.0:
        report(
            "join-never-meets",
            f"{pair} lie in one plane but beside each other: nothing overlaps",
            "name the panel that the tab lands on, or fold the tab the other way",
        )
    elif fit.sticks_out > HAND_MM:
        report(
            "tab-sticks-out",
            f'tab "{fit.tab}" reaches {fit.sticks_out:.1f} mm past panel "{fit.to}"',
            f"shorten or taper the tab by {fit.sticks_out:.1f} mm",
        )
    elif fit.share < WHOLE_SHARE and fit.runs_on:
        report(
            "tab-runs-on",
            f'{fit.share:.0%} of tab "{fit.tab}" lands on panel "{fit.to}"; the rest lies against '
            "another panel",
            f'keep glue off the part of the tab that panel "{fit.to}" does not cover',
        )
    elif fit.share < WHOLE_SHARE:
        report(
            "tab-lands-partly",
            f'only {fit.share:.0%} of tab "{fit.tab}" lands on panel "{fit.to}"',
            "make the tab smaller, or move the cutout or edge that it meets",
        )

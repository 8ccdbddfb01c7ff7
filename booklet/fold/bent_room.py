"""The room inside a piece with bent panels, by sampling.

In: a `BentPose`. Out: the rooms that boxes find between the lowest and the highest sheet, or none.
Rays along z are cast on a grid through the flat strips; between the first two sheets that a ray
meets lies the inside. Each room is a box of grid cells, shrunk by half a cell where it meets the
grid's step, so that no room is told larger than it is.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import shapely
from shapely.geometry import Polygon

from booklet.fold.bend import BentPose
from booklet.fold.cavity import Cavity
from booklet.fold.pose import Floats, in_space
from booklet.fold.strip import strips
from booklet.measure.tolerance import HAND_MM

GRID = 32
"""Rays along each side; the room is told to within a step of about a thirtieth of its side."""

AHEAD = np.arange(GRID)[None, :] - np.arange(GRID)[:, None]
"""How many rays the second of each two stands beyond the first."""


def find_bent_room(bent: BentPose) -> Cavity | None:
    """The largest box between two sheets along z; `rooms` of it holds one for each width."""
    low, high, xs, ys = _sheets(bent)
    best: list[Cavity] = []
    closed = (False, False, False, False, True, True)
    half = bent.posed.thickness / 2
    for i in range(GRID):
        floor, roof = low[i].copy(), high[i].copy()
        for j in range(i, GRID):
            floor, roof = np.maximum(floor, low[j]), np.minimum(roof, high[j])
            found = _tallest(floor, roof)
            if found is None:
                break
            k, m, bottom, top = found
            wide, tall, deep = xs[j] - xs[i], ys[m] - ys[k], top - bottom - 2 * half
            if min(wide, tall, deep) > HAND_MM:
                best.append(
                    Cavity(
                        (float(wide), float(tall), float(deep)),
                        (float(xs[i]), float(ys[k]), float(bottom)),
                        (float(xs[j]), float(ys[m]), float(top)),
                        closed,
                    )
                )
    if not best:
        return None
    largest = max(best, key=_volume)
    widest: dict[int, Cavity] = {}
    for room in best:
        steps = round((room.high[0] - room.low[0]) / (xs[1] - xs[0]))
        if steps not in widest or _volume(room) > _volume(widest[steps]):
            widest[steps] = room
    return replace(largest, rooms=tuple(room.inside for _, room in sorted(widest.items())))


def _volume(room: Cavity) -> float:
    return float(np.prod(room.inside))


def _sheets(bent: BentPose) -> tuple[Floats, Floats, Floats, Floats]:
    """The two lowest heights that rays meet, (GRID, GRID) each, and where the rays stand."""
    faces: list[Floats] = []
    tabs = {join.tab[1] for join in bent.posed.pattern.joins}
    for name, panel in bent.posed.panels.items():
        if name in tabs:
            continue  # it bends with the panel that it is glued to
        if name in bent.bends:
            faces += [np.array(loops[0]) for loops in strips(bent, name)]
        else:
            points = np.asarray(panel.shape.exterior.coords, dtype=np.float64)[:-1, :2]
            faces.append(in_space(bent.posed.matrix(name), points) + bent.shifts[name])
    every = np.concatenate(faces)
    (x0, y0, _), (x1, y1, _) = every.min(axis=0), every.max(axis=0)
    xs, ys = np.linspace(x0, x1, GRID), np.linspace(y0, y1, GRID)
    gx, gy = np.meshgrid(xs, ys, indexing="ij")
    heights = np.full((2, GRID, GRID), np.inf)
    for face in faces:
        slope = _slope(face)
        shape = Polygon(face[:, :2])
        if slope is None or not shape.is_valid or shape.area < HAND_MM:
            continue
        inside = shapely.intersects_xy(shape.buffer(1e-6), gx, gy)
        z = slope[0] * gx + slope[1] * gy + slope[2]
        z = np.where(inside, z, np.inf)
        # A ray that meets the seam of two strips meets one sheet, and tabs lie on their panel.
        met = np.isfinite(heights[0])
        same = met & (np.abs(z - np.where(met, heights[0], 0.0)) < HAND_MM)
        first = np.minimum(heights[0], z)
        other = np.where(same, np.inf, np.maximum(heights[0], z))
        heights[1] = np.minimum(heights[1], other)
        heights[0] = first
    missing = ~np.isfinite(heights[1])
    return (
        np.where(missing, np.inf, heights[0]),
        np.where(missing, -np.inf, heights[1]),
        xs,
        ys,
    )


def _slope(face: Floats) -> Floats | None:
    """z = a x + b y + c of a flat loop; None where it stands upright."""
    area = np.cross(face, np.roll(face, -1, axis=0)).sum(axis=0)
    if abs(area[2]) < 1e-9:
        return None
    a, b = -area[0] / area[2], -area[1] / area[2]
    return np.array([a, b, face[0][2] - a * face[0][0] - b * face[0][1]])


def _tallest(floor: Floats, roof: Floats) -> tuple[int, int, float, float] | None:
    """The stretch of rays with the largest area between floor and roof; None without room."""
    bottom = np.maximum.accumulate(np.where(AHEAD >= 0, floor, -np.inf), axis=1)
    top = np.minimum.accumulate(np.where(AHEAD >= 0, roof, np.inf), axis=1)
    high = top - bottom
    room = AHEAD * np.where(np.isfinite(high), high, 0.0)
    k, m = divmod(int(np.argmax(room)), GRID)
    return (k, m, float(bottom[k, m]), float(top[k, m])) if room[k, m] > 0 else None

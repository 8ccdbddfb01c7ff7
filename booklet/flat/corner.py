"""Rounds, tapers and notches: a rectilinear boundary becomes the panel's true edges.

In: straight sides of a panel (mm) and its wishes. Out: `Edge` values end to end, rounded corners as
Béziers that belong to the edge before them. A free corner is a convex corner between two edges that
do not fold; a free edge is one that does not fold.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from booklet.flat.arcs import arc
from booklet.flat.path import Path, Point
from booklet.flat.pattern import Edge
from booklet.measure.tolerance import SAME_MM, TOUCH_MM


@dataclass(frozen=True)
class Run:
    """A straight edge before corners are treated."""

    start: Point
    end: Point
    kind: str
    beside: str | None

    @property
    def length(self) -> float:
        """Length in mm."""
        return math.dist(self.start, self.end)

    @property
    def free(self) -> bool:
        """Whether nothing folds along this edge."""
        return self.kind != "score"


def free_corner(runs: list[Run], index: int) -> bool:
    """Whether the corner at the end of run `index` is convex and both its edges are free."""
    first, second = runs[index], runs[(index + 1) % len(runs)]
    return first.free and second.free and _turn(first, second) > 0


def free_edges(runs: list[Run]) -> list[int]:
    """Indexes of edges with a free corner at both ends (the far edge of a tab or flap)."""
    return [i for i in range(len(runs)) if free_corner(runs, i - 1) and free_corner(runs, i)]


def opposite_edge(runs: list[Run]) -> int | None:
    """The edge that a notch goes into: the free one that lies farthest from the first score."""
    free = [i for i, run in enumerate(runs) if run.free]
    if not free:
        return None
    hinge = next((run for run in runs if not run.free), None)
    if hinge is None:
        return max(free, key=lambda i: (_middle(runs[i])[1], runs[i].length))
    return max(free, key=lambda i: _rank(runs[i], hinge))


def taper(runs: list[Run], inset: float) -> list[Run] | None:
    """Move both ends of each free edge inward by `inset` mm; None where an edge is too short."""
    tapered = list(runs)
    edges = free_edges(runs)
    if not edges:
        return None
    hinged = any(not run.free for run in runs)
    for i in edges if hinged else edges[:1]:
        edge = tapered[i]
        if edge.length - 2 * inset <= TOUCH_MM:
            return None
        ux, uy = _unit(edge)
        start = (edge.start[0] + ux * inset, edge.start[1] + uy * inset)
        end = (edge.end[0] - ux * inset, edge.end[1] - uy * inset)
        before, after = (i - 1) % len(runs), (i + 1) % len(runs)
        tapered[i] = replace(edge, start=start, end=end)
        tapered[before] = replace(tapered[before], end=start)
        tapered[after] = replace(tapered[after], start=end)
    return tapered


def finish(runs: list[Run], radius: float, notch: float) -> tuple[Edge, ...] | None:
    """Edges with free corners rounded to `radius` and a half-round of width `notch` cut in.

    Both in mm, 0 for none. None when a corner or the notch does not fit its edge.
    """
    count = len(runs)
    rounded = [radius > 0 and free_corner(runs, i) for i in range(count)]
    trims = [
        _tangent(runs[i], runs[(i + 1) % count], radius) if rounded[i] else 0.0
        for i in range(count)
    ]
    at = opposite_edge(runs) if notch > 0 else None
    if notch > 0 and at is None:
        return None
    edges: list[Edge] = []
    for i, run in enumerate(runs):
        if run.length - trims[i - 1] - trims[i] < -SAME_MM:
            return None
        # The notch lies in the middle; on both sides of it some of the edge has to be left.
        if i == at and (run.length - notch) / 2 - max(trims[i - 1], trims[i]) <= TOUCH_MM:
            return None
        ux, uy = _unit(run)
        start = (run.start[0] + ux * trims[i - 1], run.start[1] + uy * trims[i - 1])
        end = (run.end[0] - ux * trims[i], run.end[1] - uy * trims[i])
        commands: list[tuple[object, ...]] = [("M", start)]
        if i == at:
            commands.extend(_notch(run, notch))
        if math.dist(start, end) > SAME_MM:
            commands.append(("L", end))
        if rounded[i]:
            commands.extend(_fillet(run, runs[(i + 1) % count], end, radius))
        edges.append(Edge(run.kind, run.beside, Path(tuple(commands))))  # type: ignore[arg-type]
    return tuple(edges)


def _rank(run: Run, hinge: Run) -> tuple[float, float, float]:
    middle = _middle(run)
    return round(_distance_to_line(middle, hinge), 6), run.length, middle[1]


def _unit(run: Run) -> Point:
    length = run.length
    return (run.end[0] - run.start[0]) / length, (run.end[1] - run.start[1]) / length


def _turn(first: Run, second: Run) -> float:
    ax, ay = _unit(first)
    bx, by = _unit(second)
    return ax * by - ay * bx


def _middle(run: Run) -> Point:
    return (run.start[0] + run.end[0]) / 2, (run.start[1] + run.end[1]) / 2


def _distance_to_line(point: Point, run: Run) -> float:
    ux, uy = _unit(run)
    return abs((point[0] - run.start[0]) * uy - (point[1] - run.start[1]) * ux)


def _angle_between(first: Run, second: Run) -> float:
    ax, ay = _unit(first)
    bx, by = _unit(second)
    return math.atan2(ax * by - ay * bx, ax * bx + ay * by)


def _tangent(first: Run, second: Run, radius: float) -> float:
    """How far from the corner a circle of that radius touches both edges (plane geometry)."""
    return radius * math.tan(abs(_angle_between(first, second)) / 2)


def _fillet(first: Run, second: Run, touch: Point, radius: float) -> list[tuple[object, ...]]:
    ux, uy = _unit(first)
    centre = (touch[0] - uy * radius, touch[1] + ux * radius)
    start = math.degrees(math.atan2(touch[1] - centre[1], touch[0] - centre[0]))
    sweep = math.degrees(_angle_between(first, second))
    return list(arc(centre, radius, start, start + sweep).commands[1:])


def _notch(run: Run, width: float) -> list[tuple[object, ...]]:
    ux, uy = _unit(run)
    middle = _middle(run)
    half = width / 2
    begin = (middle[0] - ux * half, middle[1] - uy * half)
    start = math.degrees(math.atan2(-uy, -ux))
    bow = arc(middle, half, start, start - 180)
    return [("L", begin), *bow.commands[1:]]

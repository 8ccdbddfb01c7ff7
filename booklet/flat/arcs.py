"""Circle and ellipse arcs as cubic curves: the only place that makes them.

In: centres, radii, corners (mm) and angles (degrees, counter-clockwise from x). Out: path
commands and paths. An arc is cut into pieces of at most a quarter turn; a piece of angle t has
its control points on the end tangents at 4/3 tan(t/4) radii, which meets the circle at both ends
and in the middle. For a quarter that is 4/3 (sqrt 2 - 1), and the radius errs by less than
0.03 % (0.006 mm at 20 mm): see tests/draw/test_arcs.py, which measures it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from booklet.flat.path import Command, CurveTo, Path, Point, mapped


def arc(
    centre: Point, radius: float | tuple[float, float], start: float, end: float
) -> tuple[CurveTo, ...]:
    """Curves from angle `start` to `end` (degrees) round `centre`; clockwise where end < start.

    `radius` is one number or (rx, ry). The pen is taken to stand at the start already.
    """
    rx, ry = radius if isinstance(radius, tuple) else (radius, radius)
    pieces = max(1, math.ceil(abs(end - start) / 90 - 1 / 1024))
    step = math.radians(end - start) / pieces
    reach = 4 / 3 * math.tan(step / 4)
    curves: list[CurveTo] = []
    for index in range(pieces):
        first = math.radians(start) + index * step
        c0, s0 = math.cos(first), math.sin(first)
        c1, s1 = math.cos(first + step), math.sin(first + step)
        curves.append(
            (
                "C",
                (centre[0] + rx * (c0 - reach * s0), centre[1] + ry * (s0 + reach * c0)),
                (centre[0] + rx * (c1 + reach * s1), centre[1] + ry * (s1 - reach * c1)),
                (centre[0] + rx * c1, centre[1] + ry * s1),
            )
        )
    return tuple(curves)


def arc_path(centre: Point, radius: float, start: float, end: float) -> Path:
    """The open arc as a path of its own."""
    angle = math.radians(start)
    begin = (centre[0] + radius * math.cos(angle), centre[1] + radius * math.sin(angle))
    return Path((("M", begin), *arc(centre, radius, start, end)))


def ellipse(centre: Point, rx: float, ry: float) -> Path:
    """A closed ellipse, counter-clockwise from its rightmost point."""
    return Path((("M", (centre[0] + rx, centre[1])), *arc(centre, (rx, ry), 0.0, 360.0), ("Z",)))


def circle(centre: Point, radius: float) -> Path:
    """A closed circle, counter-clockwise from its rightmost point."""
    return ellipse(centre, radius, radius)


def rounded(points: Sequence[Point], radii: Sequence[float]) -> Path:
    """The closed polygon with each corner rounded by the radius of the same index (0: sharp).

    A radius too large for its neighbouring edges shrinks until its arc fits half of each.
    """
    commands: list[Command] = []
    count = len(points)
    for index, corner in enumerate(points):
        before, after = points[index - 1], points[(index + 1) % count]
        for command in corner_commands(before, corner, after, radii[index]):
            # The outline begins where the first corner does.
            is_first = not commands and command[0] == "L"
            commands.append(("M", command[1]) if is_first and command[0] == "L" else command)
    if commands:
        commands.append(("Z",))
    return Path(tuple(commands))


def corner_commands(
    before: Point, corner: Point, after: Point, radius: float
) -> tuple[Command, ...]:
    """A line to where the corner's arc begins, then the arc; only the line for a sharp corner."""
    ux, uy, ulen = _unit(corner, before)
    vx, vy, vlen = _unit(corner, after)
    cross, dot = ux * vy - uy * vx, ux * vx + uy * vy
    opening = math.atan2(abs(cross), dot)
    half = math.tan(opening / 2)
    flat = math.pi - opening < 1 / 4096 or opening < 1 / 4096
    if radius <= 0 or flat or ulen == 0 or vlen == 0:
        return (("L", corner),)
    back = min(radius / half, ulen / 2, vlen / 2)
    reach = back * half * 4 / 3 * math.tan((math.pi - opening) / 4)
    start = (corner[0] + ux * back, corner[1] + uy * back)
    end = (corner[0] + vx * back, corner[1] + vy * back)
    curves = _corner_curves(start, end, (ux, uy), (vx, vy), reach, opening, back * half)
    return (("L", start), *curves)


def _corner_curves(
    start: Point,
    end: Point,
    u: Point,
    v: Point,
    reach: float,
    opening: float,
    radius: float,
) -> tuple[CurveTo, ...]:
    if opening >= math.pi / 2:
        first = (start[0] - u[0] * reach, start[1] - u[1] * reach)
        second = (end[0] - v[0] * reach, end[1] - v[1] * reach)
        return (("C", first, second, end),)
    # A sharp corner turns by more than a quarter: one curve would miss the circle.
    left = u[0] * v[1] - u[1] * v[0] > 0
    nx, ny = (-u[1], u[0]) if left else (u[1], -u[0])
    centre = (start[0] + nx * radius, start[1] + ny * radius)
    angle = math.degrees(math.atan2(-ny, -nx))
    turn = math.degrees(math.pi - opening)
    return arc(centre, radius, angle, angle - turn if left else angle + turn)


def _unit(start: Point, end: Point) -> tuple[float, float, float]:
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = math.hypot(dx, dy)
    return (dx / length, dy / length, length) if length else (0.0, 0.0, 0.0)


def endpoint_arc(
    start: Point,
    end: Point,
    radii: tuple[float, float],
    rotation: float,
    large: bool,
    sweep: bool,
) -> tuple[Command, ...]:
    """The elliptical arc of SVG path data ("A"), by its end points, in the frame it is given in.

    Formulas: SVG 2, appendix "Elliptical arc implementation notes" (from memory). Radii too small
    to reach are scaled up; a zero radius gives a straight line; equal ends give nothing.
    """
    if start == end:
        return ()
    rx, ry = abs(radii[0]), abs(radii[1])
    if rx == 0 or ry == 0:
        return (("L", end),)
    cos, sin = math.cos(math.radians(rotation)), math.sin(math.radians(rotation))
    hx, hy = (start[0] - end[0]) / 2, (start[1] - end[1]) / 2
    x, y = cos * hx + sin * hy, cos * hy - sin * hx
    grow = math.sqrt(max(1.0, (x / rx) ** 2 + (y / ry) ** 2))
    rx, ry = rx * grow, ry * grow
    below = (rx * y) ** 2 + (ry * x) ** 2
    factor = math.sqrt(max(0.0, (rx * ry) ** 2 / below - 1)) * (-1 if large == sweep else 1)
    cx, cy = factor * rx * y / ry, -factor * ry * x / rx
    first = math.degrees(math.atan2((y - cy) / ry, (x - cx) / rx))
    last = math.degrees(math.atan2((-y - cy) / ry, (-x - cx) / rx))
    if sweep and last < first:
        last += 360
    elif not sweep and last > first:
        last -= 360
    middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)

    def placed(p: Point) -> Point:
        return (cos * p[0] - sin * p[1] + middle[0], sin * p[0] + cos * p[1] + middle[1])

    curves = mapped(Path(arc((cx, cy), (rx, ry), first, last)), placed).commands
    return _ending(curves, end)


def _ending(curves: tuple[Command, ...], end: Point) -> tuple[Command, ...]:
    """The curves with their last point exactly `end`, so that paths close without a gap."""
    last = curves[-1]
    return (*curves[:-1], ("C", last[1], last[2], end)) if last[0] == "C" else curves


def flattened(path: Path, tolerance: float) -> list[list[Point]]:
    """Each subpath as points, curves cut so that chords stay within `tolerance` mm of them.

    The number of chords follows from the bound on the second derivative of a cubic curve. A closed
    subpath ends on its first point.
    """
    found: list[list[Point]] = []
    for command in path.commands:
        if command[0] == "M":
            found.append([command[1]])
        elif command[0] == "L":
            found[-1].append(command[1])
        elif command[0] == "C":
            found[-1].extend(_chords(found[-1][-1], command, tolerance))
        elif found[-1][-1] != found[-1][0]:
            found[-1].append(found[-1][0])
    return found


def _chords(start: Point, curve: CurveTo, tolerance: float) -> list[Point]:
    _, p1, p2, p3 = curve
    bend = max(
        math.hypot(start[0] - 2 * p1[0] + p2[0], start[1] - 2 * p1[1] + p2[1]),
        math.hypot(p1[0] - 2 * p2[0] + p3[0], p1[1] - 2 * p2[1] + p3[1]),
    )
    count = max(1, math.ceil(math.sqrt(0.75 * bend / tolerance)))
    at = point_at(start, curve)
    return [at(index / count) for index in range(1, count)] + [p3]


def point_at(start: Point, curve: CurveTo) -> Callable[[float], Point]:
    """The function from t (0 to 1) to the point of the curve that begins at `start`."""
    _, p1, p2, p3 = curve

    def at(t: float) -> Point:
        a, b, c, d = (1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3
        return (
            a * start[0] + b * p1[0] + c * p2[0] + d * p3[0],
            a * start[1] + b * p1[1] + c * p2[1] + d * p3[1],
        )

    return at

"""Circle and ellipse arcs as cubic curves: the only place that makes them.

In: centres and radii (mm) and angles (degrees, counter-clockwise from x). Out: path
commands and paths. An arc is cut into pieces of at most a quarter turn; a piece of angle t has
its control points on the end tangents at 4/3 tan(t/4) radii, which meets the circle at both ends
and in the middle. For a quarter that is 4/3 (sqrt 2 - 1), and the radius errs by less than
0.03 % (0.006 mm at 20 mm): see tests/draw/test_arcs.py, which measures it.
"""

from __future__ import annotations

import math

from booklet.flat.path import Command, CurveTo, Path, Point, mapped


def curves(
    centre: Point, radii: tuple[float, float], start: float, end: float, most: float = 90.0
) -> tuple[CurveTo, ...]:
    """Curves from angle `start` to `end` (degrees) round `centre`; clockwise where end < start.

    `radii` are along x and y; each curve turns by `most` degrees or less. The pen is taken to stand
    at the start already.
    """
    rx, ry = radii
    pieces = max(1, math.ceil(abs(end - start) / most - 1 / 1024))
    step = math.radians(end - start) / pieces
    reach = 4 / 3 * math.tan(step / 4)
    made: list[CurveTo] = []
    for index in range(pieces):
        first = math.radians(start) + index * step
        c0, s0 = math.cos(first), math.sin(first)
        c1, s1 = math.cos(first + step), math.sin(first + step)
        made.append(
            (
                "C",
                (centre[0] + rx * (c0 - reach * s0), centre[1] + ry * (s0 + reach * c0)),
                (centre[0] + rx * (c1 + reach * s1), centre[1] + ry * (s1 - reach * c1)),
                (centre[0] + rx * c1, centre[1] + ry * s1),
            )
        )
    return tuple(made)


def arc(centre: Point, radius: float, start: float, end: float) -> Path:
    """The open circle arc from angle `start` to `end` (degrees); clockwise where end < start."""
    angle = math.radians(start)
    begin = (centre[0] + radius * math.cos(angle), centre[1] + radius * math.sin(angle))
    return Path((("M", begin), *curves(centre, (radius, radius), start, end)))


def ellipse(centre: Point, rx: float, ry: float) -> Path:
    """A closed ellipse, counter-clockwise from its rightmost point."""
    return Path((("M", (centre[0] + rx, centre[1])), *curves(centre, (rx, ry), 0.0, 360.0), ("Z",)))


def circle(centre: Point, radius: float) -> Path:
    """A closed circle, counter-clockwise from its rightmost point."""
    return ellipse(centre, radius, radius)


def stadium(centre: Point, width: float, height: float) -> Path:
    """A closed slot of width by height mm: straight sides, a half circle at both short ends."""
    radius = min(width, height) / 2
    dx, dy = width / 2 - radius, height / 2 - radius
    x, y = centre
    begin = -90.0 if width >= height else 0.0
    first = arc((x + dx, y + dy), radius, begin, begin + 180)
    second = arc((x - dx, y - dy), radius, begin + 180, begin + 360)
    turn = math.radians(begin + 180)
    across = (x - dx + radius * math.cos(turn), y - dy + radius * math.sin(turn))
    return Path((*first.commands, ("L", across), *second.commands[1:], ("Z",)))


def endpoint_arc(
    start: Point,
    end: Point,
    radii: tuple[float, float],
    rotation: float,
    large: bool,
    sweep: bool,
    most: float = 90.0,
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
    x, y = _half_chord(start, end, rotation)
    grow = arc_growth(start, end, radii, rotation)
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

    made = mapped(Path(curves((cx, cy), (rx, ry), first, last, most)), placed).commands
    return _ending(made, end)


def arc_growth(start: Point, end: Point, radii: tuple[float, float], rotation: float) -> float:
    """How many times larger the radii must be to reach; 1 where they reach (or one is zero).

    Source: SVG 2, section 9.5.1 "Out-of-range elliptical arc parameters".
    """
    rx, ry = abs(radii[0]), abs(radii[1])
    if rx == 0 or ry == 0:
        return 1.0
    x, y = _half_chord(start, end, rotation)
    return math.sqrt(max(1.0, (x / rx) ** 2 + (y / ry) ** 2))


def _half_chord(start: Point, end: Point, rotation: float) -> Point:
    """Half the way from `end` to `start` along the axes of the turned ellipse."""
    cos, sin = math.cos(math.radians(rotation)), math.sin(math.radians(rotation))
    hx, hy = (start[0] - end[0]) / 2, (start[1] - end[1]) / 2
    return cos * hx + sin * hy, cos * hy - sin * hx


def _ending(made: tuple[Command, ...], end: Point) -> tuple[Command, ...]:
    """The arc with their last point exactly `end`, so that paths close without a gap."""
    last = made[-1]
    return (*made[:-1], ("C", last[1], last[2], end)) if last[0] == "C" else made

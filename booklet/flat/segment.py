"""Single lines and curves of a free outline, and what can be measured on them.

In: exact ends (mm) and control points. Out: `Segment` values, their points and parts.
A segment is straight, or one cubic Bézier curve; arcs have become Béziers of at most an eighth
of a turn, which leave the true arc by less than 0.0005 % of its radius.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

from booklet.flat.path import Path, Point, segment
from booklet.measure.tolerance import CURVE_MM
from booklet.problem import Place

XY = tuple[Fraction, Fraction]
Cubic = tuple[Point, Point, Point, Point]


@dataclass(frozen=True)
class Segment:
    """One line (`bend` None) or cubic; `kind` is outline, score or cut, `place` where it stands."""

    kind: str
    start: XY
    end: XY
    bend: tuple[Point, Point] | None
    place: Place

    @property
    def cubic(self) -> Cubic:
        """The four control points; those of a line lie at its thirds."""
        a, b = as_point(self.start), as_point(self.end)
        if self.bend is not None:
            return a, self.bend[0], self.bend[1], b
        return a, between(a, b, 1 / 3), between(a, b, 2 / 3), b


def as_point(xy: XY) -> Point:
    """Exact coordinates as floats."""
    return float(xy[0]), float(xy[1])


def between(a: Point, b: Point, t: float) -> Point:
    """The point at share `t` of the way."""
    return a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t


def at(cubic: Cubic, t: float) -> Point:
    """The point of a cubic at parameter `t`."""
    u = 1 - t
    w = (u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t)
    return (
        sum(w[i] * cubic[i][0] for i in range(4)),
        sum(w[i] * cubic[i][1] for i in range(4)),
    )


def velocity(cubic: Cubic, t: float) -> Point:
    """The derivative of a cubic at parameter `t`."""
    u = 1 - t
    w = (3 * u * u, 6 * u * t, 3 * t * t)
    return (
        sum(w[i] * (cubic[i + 1][0] - cubic[i][0]) for i in range(3)),
        sum(w[i] * (cubic[i + 1][1] - cubic[i][1]) for i in range(3)),
    )


def part(cubic: Cubic, low: float, high: float) -> Cubic:
    """The part of a cubic between two parameters (de Casteljau's construction)."""
    right = _split(cubic, low)[1] if low > 0 else cubic
    return _split(right, (high - low) / (1 - low))[0] if high < 1 else right


def _split(cubic: Cubic, t: float) -> tuple[Cubic, Cubic]:
    a, b, c, d = cubic
    ab, bc, cd = between(a, b, t), between(b, c, t), between(c, d, t)
    abc, bcd = between(ab, bc, t), between(bc, cd, t)
    middle = between(abc, bcd, t)
    return (a, ab, abc, middle), (middle, bcd, cd, d)


def steps_of(cubic: Cubic) -> int:
    """How many chords keep within CURVE_MM of the cubic: the bound that `flatten.py` explains."""
    a, b, c, d = cubic
    bow = max(math.hypot(a[i] - 2 * b[i] + c[i], b[i] - 2 * c[i] + d[i]) for i in (0, 1))
    return max(1, min(256, math.ceil(math.sqrt(3 * bow * math.sqrt(2) / (4 * CURVE_MM)))))


def path_of(cubic: Cubic, straight: bool) -> Path:
    """A cubic or its chord as a path."""
    if straight:
        return segment(cubic[0], cubic[3])
    return Path((("M", cubic[0]), ("C", cubic[1], cubic[2], cubic[3])))

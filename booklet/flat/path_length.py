"""The length of a path, curves included.

In: paths (mm). Out: mm; lines exactly, curves by adaptive quadrature to a ten-millionth.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from booklet.flat.path import Path, Point

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(8)


def path_length(path: Path) -> float:
    """The length of a path in mm: lines exactly, curves by quadrature until halves agree."""
    total = 0.0
    first = here = (0.0, 0.0)
    for command in path.commands:
        if command[0] == "M":
            first = here = command[1]
            continue
        if command[0] == "Z":
            total += math.dist(here, first)
            here = first
        elif command[0] == "L":
            total += math.dist(here, command[1])
            here = command[1]
        else:
            total += _curve_length((here, command[1], command[2], command[3]))
            here = command[3]
    return total


def _curve_length(cubic: tuple[Point, Point, Point, Point]) -> float:
    """Adaptive Gauss-Legendre quadrature of the speed."""
    points = np.asarray(cubic)
    total = 0.0
    todo = [(0.0, 1.0, _gauss(points, 0.0, 1.0), 0)]
    while todo:
        low, high, whole, depth = todo.pop()
        middle = (low + high) / 2
        left, right = _gauss(points, low, middle), _gauss(points, middle, high)
        if abs(left + right - whole) < 1e-7 or depth >= 12:
            total += left + right
        else:
            todo += [(low, middle, left, depth + 1), (middle, high, right, depth + 1)]
    return total


def _gauss(points: NDArray[np.float64], low: float, high: float) -> float:
    t = (low + high) / 2 + (high - low) / 2 * _NODES
    u = 1 - t
    d = 3 * np.diff(points, axis=0)
    speed = (u * u)[:, None] * d[0] + (2 * u * t)[:, None] * d[1] + (t * t)[:, None] * d[2]
    return float((high - low) / 2 * (_WEIGHTS * np.hypot(speed[:, 0], speed[:, 1])).sum())

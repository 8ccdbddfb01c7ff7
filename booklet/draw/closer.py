"""Closer: how far columns of words beside a picture may move in, where its corners are empty.

In: the lines of a picture and the heights of words beside it (print mm). Out: how far it reaches to
the left and to the right at these heights.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from booklet.flat.path import Point
from booklet.measure.tolerance import SAME_MM

Segments: TypeAlias = NDArray[np.float64]
"""Straight lines, (n, 2, 2): number, end, x and y."""


def segments(chains: Iterable[Sequence[Point]]) -> Segments:
    """The lines of chains of points."""
    parts = [np.stack((chain[:-1], chain[1:]), axis=1) for chain in map(np.asarray, chains)]
    return np.concatenate([np.empty((0, 2, 2)), *parts])


def reaches(ink: Segments, bands: NDArray[np.float64]) -> NDArray[np.float64]:
    """The least and the greatest x of lines in each band of heights (n, 2); inf, -inf without."""
    (x0, y0), (x1, y1) = ink[:, 0].T, ink[:, 1].T
    rise = y1 - y0
    level = np.abs(rise) < SAME_MM
    # Both ends of what of each line lies between two heights, as shares of its length.
    shares = (bands[:, :, None] - y0) / np.where(level, 1.0, rise)
    shares[:, :, level] = np.array([0.0, 1.0])[None, :, None]
    xs = x0 + (x1 - x0) * np.clip(shares, 0.0, 1.0)
    low, high = bands[:, :1], bands[:, 1:]
    inside = ((np.minimum(y0, y1) <= high) & (np.maximum(y0, y1) >= low))[:, None, :]
    least = np.where(inside, xs, np.inf).min(axis=(1, 2), initial=np.inf)
    most = np.where(inside, xs, -np.inf).max(axis=(1, 2), initial=-np.inf)
    return np.stack((least, most), axis=1)

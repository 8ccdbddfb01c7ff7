"""A display: pictures of finished work side by side or one above the other, as large as they fit.

In: pictures and the room for all of them. Out: drawings on one scale, with their places.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from booklet.draw.folded import extent
from booklet.draw.mark import Drawing
from booklet.draw.solid import draw_seen, noted
from booklet.draw.typeface import Faces
from booklet.pages.grid import GUTTER
from booklet.pages.shot import Folded

BETWEEN = 7.0
"""White between two rows, in mm."""
ROUNDS = 6
"""Words beside a picture keep their size: so often is a scale tried that has room for them."""
EDGE = 0.5
"""Half a heavy line round every picture, in mm on both sides together."""

Size = tuple[float, float]
Rows = tuple[tuple[int, ...], ...]


@dataclass(frozen=True)
class Shown:
    """A drawing with its lower left corner in the room, mm."""

    x: float
    y: float
    drawing: Drawing


def displayed(pictures: Sequence[Folded], room: Size, faces: Faces) -> list[Shown]:
    """The pictures on the largest scale, up to full size, at which all fit the room in rows."""
    if not pictures:
        return []
    bare = [extent(picture.seen) for picture in pictures]
    ways = {rows: _scale(rows, bare, room) for rows in _in_rows(len(pictures))}
    # Fewer rows first among equals: the eye compares what stands side by side.
    order = sorted(ways, key=lambda rows: (-ways[rows], len(rows)))[:2]
    best: tuple[float, Rows, list[Drawing]] | None = None
    for rows in order:
        k, drawings = _fitted(pictures, rows, min(1.0, ways[rows]), room, faces)
        if best is None or k > best[0]:
            best = k, rows, drawings
    assert best is not None
    return list(_placed(best[1], best[2], room))


def _in_rows(count: int) -> Iterator[Rows]:
    """Every way to break a line of pictures into rows."""
    for breaks in range(2 ** (count - 1)):
        cuts = [0, *(i + 1 for i in range(count - 1) if breaks >> i & 1), count]
        yield tuple(tuple(range(a, b)) for a, b in pairwise(cuts))


def _scale(rows: Rows, sizes: Sequence[Size], room: Size) -> float:
    """The factor by which pictures of these sizes may grow."""
    wide = min(
        (room[0] - GUTTER * (len(row) - 1)) / max(1e-9, sum(sizes[i][0] + EDGE for i in row))
        for row in rows
    )
    tall = sum(max(sizes[i][1] + EDGE for i in row) for row in rows)
    return max(0.01, min(wide, (room[1] - BETWEEN * (len(rows) - 1)) / max(1e-9, tall)))


def _fitted(
    pictures: Sequence[Folded], rows: Rows, k: float, room: Size, faces: Faces
) -> tuple[float, list[Drawing]]:
    """The scale at which the pictures fit with their words, and the drawings."""
    notes = [noted(picture.seen, k, faces) for picture in pictures]
    for _ in range(ROUNDS):
        grow = _scale(rows, [(n.width, n.height) for n in notes], room)
        if grow >= 1.0:
            break
        k *= grow * 0.99
        notes = [noted(picture.seen, k, faces) for picture in pictures]
    drawings = [
        draw_seen(picture.seen, k, picture.alt, faces, note)
        for picture, note in zip(pictures, notes, strict=True)
    ]
    return k, drawings


def _placed(rows: Rows, drawings: Sequence[Drawing], room: Size) -> Iterator[Shown]:
    """Rows and the pictures in them with equal white between and round them."""
    heights = [max(drawings[i].size[1] for i in row) for row in rows]
    between = (room[1] - sum(heights)) / (len(rows) + 1)
    top = room[1] - between
    for row, high in zip(rows, heights, strict=True):
        gap = (room[0] - sum(drawings[i].size[0] for i in row)) / (len(row) + 1)
        x = gap
        for i in row:
            wide, tall = drawings[i].size
            yield Shown(x, top - (high + tall) / 2, drawings[i])
            x += wide + gap
        top -= high + between

"""Beside each other: several contents of one piece, all in it at once.

In: the contents that fit a piece each on its own, and its room. Out: the same with the corner
where each lies among the others, and a problem where no such places are found.

The largest first, each into the lowest free corner that those before it leave. That is no search
of all ways: where it finds none, a person may still pack them better.
"""

from __future__ import annotations

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import replace

from booklet.fold.cavity import Cavity, Triple
from booklet.fold.contents import ContentsFit
from booklet.measure.tolerance import TOUCH_MM
from booklet.problem import Place, Problem

MOST = 40
"""Contents of one piece for which places are looked for; the work grows with their third power."""


def beside_each_other(
    fits: Sequence[ContentsFit],
    cavity: Cavity | None,
    places: Mapping[str, Place],
    found: list[Problem],
) -> tuple[ContentsFit, ...]:
    """All contents of a piece, those that fit with their `corner` in the frame of its root.

    `places` says where the file speaks of each. A pocket holds them on each other and a room that
    is no box is not looked at: there they stay as they are.
    """
    lying = [fit for fit in fits if fit.fits]
    if cavity is None or cavity.pocket or cavity.planes is not None or len(lying) < 2:
        return tuple(fits)
    corners = _packed(lying, cavity.inside) if len(lying) <= MOST else None
    if corners is None:
        last = lying[-1]
        found.append(_crowded(lying, cavity, places[last.id]))
        return tuple(fits)
    base = [
        (low + high - inside) / 2
        for low, high, inside in zip(cavity.low, cavity.high, cavity.inside, strict=True)
    ]
    base[2] = cavity.low[2]
    result = []
    for fit in fits:
        if fit.fits:
            corner, turned = corners[fit.id]
            x, y, z = (b + c + fit.ease / 2 for b, c in zip(base, corner, strict=True))
            fit = replace(fit, corner=(x, y, z - fit.ease / 2), turned=turned)
        result.append(fit)
    return tuple(result)


_Turn = tuple[int, int, int]


def _packed(fits: Sequence[ContentsFit], room: Triple) -> dict[str, tuple[Triple, _Turn]] | None:
    """The low corner and the turn of each in a room from (0, 0, 0), mm; None if one finds none."""
    corners: list[Triple] = [(0.0, 0.0, 0.0)]
    boxes: list[tuple[Triple, Triple]] = []
    result: dict[str, tuple[Triple, _Turn]] = {}
    for fit in sorted(fits, key=lambda fit: -_volume(fit.size)):
        box = next(
            (
                (corner, turn, high)
                for corner, turn in itertools.product(sorted(corners, key=_low), _turns(fit))
                if _free(corner, high := _far(corner, fit, turn), room, boxes)
            ),
            None,
        )
        if box is None:
            return None
        low, turn, high = box
        result[fit.id] = low, turn
        boxes.append((low, high))
        corners += [
            (high[0], low[1], low[2]),
            (low[0], high[1], low[2]),
            (low[0], low[1], high[2]),
        ]
    return result


def _turns(fit: ContentsFit) -> list[_Turn]:
    """As it lies alone, then turned on the floor by a quarter."""
    x, y, z = fit.turned
    return [(x, y, z), (y, x, z)]


def _far(corner: Triple, fit: ContentsFit, turn: _Turn) -> Triple:
    """The high corner, with the ease of the contents."""
    x, y, z = (c + fit.size[own] + fit.ease for c, own in zip(corner, turn, strict=True))
    return x, y, z


def _free(low: Triple, high: Triple, room: Triple, boxes: Sequence[tuple[Triple, Triple]]) -> bool:
    """Whether a box lies in the room and in none of the others."""
    if any(far > side + TOUCH_MM for far, side in zip(high, room, strict=True)):
        return False
    return not any(
        all(
            a + TOUCH_MM < d and c + TOUCH_MM < b
            for a, b, c, d in zip(low, high, other[0], other[1], strict=True)
        )
        for other in boxes
    )


def _low(corner: Triple) -> Triple:
    return corner[2], corner[1], corner[0]


def _volume(size: Triple) -> float:
    return size[0] * size[1] * size[2]


def _crowded(fits: Sequence[ContentsFit], cavity: Cavity, place: Place) -> Problem:
    """No places for all at once, and whether their volume alone rules that out."""
    full = sum(_volume(fit.size) for fit in fits) / max(_volume(cavity.inside), TOUCH_MM)
    names = [f'"{fit.id}"' for fit in fits[:3]] + (["others"] if len(fits) > 3 else [])
    which = f"{', '.join(names[:-1])} and {names[-1]}"
    why = (
        f"their volume is {full:.0%} of its room"
        if full > 1
        else "no places beside or on each other were found"
    )
    return Problem(
        "contents-crowded",
        f'{which} fit "{fits[0].piece}" each alone, but not all at once: {why}',
        place,
        "make the room larger, or leave it if only one of them goes in at a time",
    )

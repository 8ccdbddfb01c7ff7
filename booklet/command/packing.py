"""How things lie together in a box: turned, side by side and on each other.

In: the sides of one thing, how many there are, and which of the box's measures stands upright. Out:
arrangements, the one that a person would choose first.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass
from fractions import Fraction

WIDE, TALL, DEEP = 0, 1, 2
MOST_IN_A_ROW = 40
"""No row is longer; what is more goes into further rows and layers."""
THIN = 3
"""A thing this many times thinner than it is wide is a sheet or a card, and lies in a stack."""

Sides = tuple[Fraction, Fraction, Fraction]
Turn = tuple[int, int, int]
STATED: Turn = (WIDE, TALL, DEEP)


@dataclass(frozen=True)
class Arrangement:
    """`turn` names the thing's own side along each of the box's, `rows` how many lie along it."""

    turn: Turn
    rows: tuple[int, int, int]
    lot: Sides


def arrangements(one: Sides, count: int, height: int, upright: bool) -> list[Arrangement]:
    """All ways worth trying for `count` things, mm; `height` is the box's measure that stands.

    Sheets and cards lie in one stack first, turned as stated. Other things lie on their largest
    side in a box that lies, in one layer if that goes, and stand or lie in one that stands;
    what must stay `upright` keeps its own tall up. The fewest millimetres round the box come first,
    then the fewest empty places.
    """
    low, middle, _ = sorted(one)
    flat = low * THIN < middle
    turns = _turns(one, height, upright) if not flat else [STATED]
    found = [
        Arrangement(turn, rows, _lot(one, turn, rows)) for turn in turns for rows in _rows(count)
    ]

    def awkward(way: Arrangement) -> tuple[bool, Fraction, int, bool, bool, bool]:
        wide, tall, deep = way.lot
        across, down, layers = way.rows
        piled = across * down > 1 if flat else height == DEEP and layers > 1
        empty = across * down * layers - count
        around, lying = wide + tall + deep, height == DEEP
        turned = way.turn != STATED
        return piled, around, empty, turned and not lying, wide < (tall if lying else deep), turned

    return sorted(found, key=awkward)


def _turns(one: Sides, height: int, upright: bool) -> list[Turn]:
    """The turns that are allowed, one of those that look alike."""
    alike: dict[Sides, Turn] = {}
    for across, down, through in itertools.permutations(STATED):
        turn = across, down, through
        up = turn[height]
        lies = height == DEEP and one[up] == min(one)
        if up == TALL if upright else lies or height != DEEP:
            alike.setdefault(_lot(one, turn, (1, 1, 1)), turn)
    return list(alike.values())


def _rows(count: int) -> list[tuple[int, int, int]]:
    """Rows along wide, tall and deep that take so many, with no row too many."""
    found = []
    for across in range(1, min(count, MOST_IN_A_ROW) + 1):
        for down in range(1, min(math.ceil(count / across), MOST_IN_A_ROW) + 1):
            layers = math.ceil(count / (across * down))
            if (across - 1) * down * layers < count > across * (down - 1) * layers:
                found.append((across, down, layers))
    return found


def _lot(one: Sides, turn: Turn, rows: tuple[int, int, int]) -> Sides:
    wide, tall, deep = (one[own] * many for own, many in zip(turn, rows, strict=True))
    return wide, tall, deep

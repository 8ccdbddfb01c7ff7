"""Tubes: panels that one glued seam joins into a ring, all its scores parallel, and their ends.

In: a pattern. Out: what hangs on the open ends of a tube. It folds when the seam is glued: once an
end is shut no hand reaches the seam to press it.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping

from booklet.flat.pattern import Hinge, Pattern
from booklet.measure.tolerance import ANGLE_DEG


def at_ends(pattern: Pattern, tab: str, to: str, parents: Mapping[str, str]) -> list[str]:
    """The panels at the ends of the tube that gluing `tab` on `to` makes, in the map's order.

    None if the two make no tube. What is laid flat there, as a hem, is no end. A panel glued to its
    neighbours on both sides is a wall: the ring then is a box with its lid, which is glued last.
    """
    hinges = {hinge.panel: hinge for hinge in pattern.hinges}
    ways = up(tab, parents), up(to, parents)
    shared = set(ways[0]) & set(ways[1])
    ring = [name for way in ways for name in way if name not in shared]
    if len(ring) < 2:
        return []
    along = _direction(pattern, hinges[ring[0]])
    if not all(_parallel(_direction(pattern, hinges[name]), along) for name in ring):
        return []
    whole = {*ring, *(parents[name] for name in ring)}
    ends = [
        hinge.panel
        for hinge in pattern.hinges
        if hinge.parent in whole
        and hinge.panel not in whole
        and hinge.folds
        and not hinge.lies_flat
        and not _parallel(_direction(pattern, hinge), along)
    ]
    walls = [end for end in ends if len(_glued_to(pattern, end, whole, parents)) > 1]
    return [] if walls else ends


def _glued_to(
    pattern: Pattern, end: str, ring: Collection[str], parents: Mapping[str, str]
) -> set[str]:
    """The panels of a ring that an end is glued to, with what it carries or what they carry."""
    found: set[str] = set()
    for join in pattern.joins:
        if not join.tab[0] == join.to[0] == pattern.id:
            continue
        ways = up(join.tab[1], parents), up(join.to[1], parents)
        for one, other in (ways, ways[::-1]):
            if end in one:
                found |= {*[name for name in other if name in ring][:1]}
    return found - {parents[end]}


def up(name: str, parents: Mapping[str, str]) -> list[str]:
    """A panel and those that carry it, up to the root."""
    way = [name]
    while way[-1] in parents:
        way.append(parents[way[-1]])
    return way


def _direction(pattern: Pattern, hinge: Hinge) -> float:
    """Which way a hinge runs, degrees from 0 to 180."""
    score = pattern.scores[hinge.score]
    (x0, y0), (x1, y1) = score.start, score.end
    return math.degrees(math.atan2(y1 - y0, x1 - x0)) % 180


def _parallel(one: float, other: float) -> bool:
    apart = abs(one - other)
    return min(apart, 180 - apart) <= ANGLE_DEG

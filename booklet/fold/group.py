"""Which panels fold in one movement, and what should come before what.

In: a pattern, and the panels that its closures hold shut. Out: groups of panels (mirror images,
panels round a closed corner) and wishes between panels: a panel before those that hang on it, a
tab before the panel that comes down on it, everything glued before what closes.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from booklet.flat.pattern import Panel, Pattern
from booklet.fold.inside import laid_inside
from booklet.fold.plate import ring_clusters
from booklet.fold.tube import at_ends, up
from booklet.measure.tolerance import HAND_MM

PARENT, FREE, TAB, CLOSING = 1, 2, 3, 3
"""How much it costs to go against a wish; only sums are compared."""

NEAR: Final = 8
"""So many of the panels that carry another have wishes of their own; in a longer chain, each waits
for the one that it hangs on."""
MOST_FLAPS: Final = 2000
"""Wishes of free flaps beyond which none is made: no such piece is a pouch."""


@dataclass(frozen=True)
class Wish:
    """`first` should fold before `then`; `weight` is what it costs to go against it."""

    first: str
    then: str
    weight: int


def wishes(pattern: Pattern, closures: Collection[tuple[str, str]]) -> tuple[Wish, ...]:
    """Wishes between the panels of one piece; closures are (on, meets)."""
    parents = {hinge.panel: hinge.parent for hinge in pattern.hinges}
    glued = [
        (join.tab[1], join.to[1])
        for join in pattern.joins
        if join.tab[0] == join.to[0] == pattern.id
    ]
    inside = laid_inside(pattern, glued)
    result = [
        Wish(hinge.parent, hinge.panel, PARENT)
        for hinge in pattern.hinges
        if hinge.panel not in inside
    ]
    result += _inside_first(pattern, inside, parents)
    for tab, to in glued:
        if to not in up(tab, parents) and to in parents:
            result.append(Wish(tab, to, TAB))
            # What carries the tab stands where its panel comes down on it.
            shared = {*up(to, parents)}
            above = [name for name in up(tab, parents)[1:] if name not in shared]
            result += [Wish(name, to, PARENT) for name in above[:NEAR]]
        result += _pocket_first(pattern, tab, to, parents)
        ends = at_ends(pattern, tab, to, parents)
        result += [Wish(one, end, TAB) for end in ends for one in (tab, to) if one in parents]
    result += _free_flaps_last(pattern, {name for pair in glued for name in pair}, parents)
    for on, meets in closures:
        joined = {name for pair in glued for name in pair}
        before = {meets, *(name for one in joined for name in up(one, parents))}
        # The panels that carry a lid wait with it, up to one that is glued itself: nothing is glued
        # under a closed top.
        above = carrying(on, parents, joined)
        result += [
            Wish(name, panel, CLOSING)
            for panel in above
            if panel in parents
            for name in sorted(before)
            if name not in above
        ]
    return tuple(result)


def _pocket_first(pattern: Pattern, tab: str, to: str, parents: Mapping[str, str]) -> list[Wish]:
    """What is glued flat on a panel, as a pocket on its cover, before that panel is folded.

    Once it is, the glue has to go in behind what lies there.
    """
    flat = {hinge.panel for hinge in pattern.hinges if hinge.lies_flat}
    ways = up(tab, parents), up(to, parents)
    both = set(ways[0]) & set(ways[1])
    own = [name for way in ways for name in way if name not in both]
    shared = [name for name in ways[0] if name in both and name in parents]
    if not flat.issuperset(own):
        return []
    return [Wish(first, then, TAB) for then in shared[:NEAR] for first in own[:NEAR]]


def _inside_first(
    pattern: Pattern, inside: Sequence[str], parents: Mapping[str, str]
) -> list[Wish]:
    """Such a tab before what carries it, and both before what does not lie flat in the end."""
    flat = {hinge.panel for hinge in pattern.hinges if hinge.lies_flat}
    result = [Wish(tab, parents[tab], TAB) for tab in inside]
    upright = sorted(pattern.folding - flat)
    if 2 * len(inside) * len(upright) > MOST_FLAPS:
        return result
    pockets = [name for tab in inside for name in (tab, parents[tab])]
    return result + [
        Wish(one, then, FREE) for one in pockets for then in upright if then not in up(one, parents)
    ]


def _free_flaps_last(
    pattern: Pattern, glued: Collection[str], parents: Mapping[str, str]
) -> list[Wish]:
    """Flaps that nothing holds, laid flat over what is glued flat: an envelope's over its pocket.

    Folded first they would lie inside it. (A hem there is glued, and held by its join.)
    """
    flat = {hinge.panel for hinge in pattern.hinges if hinge.lies_flat}
    held = {name for one in glued for name in up(one, parents)}
    pocket = sorted(flat & held)
    on = {*pocket, *(name for name in parents.values() if name not in pattern.folding)}
    flaps = sorted(name for name in flat - held if parents[name] in on)
    if len(flaps) * len(pocket) > MOST_FLAPS:
        return []
    return [Wish(one, flap, FREE) for flap in flaps for one in pocket]


def carrying(name: str, parents: Mapping[str, str], glued: Collection[str]) -> list[str]:
    """A panel and those that carry it, the nearest first, up to one that is glued to others.

    A lid with its lip can stand open on a wall that is glued; a wall that carries only the lip is
    the last to shut the room, and waits with it.
    """
    way = up(name, parents)
    stop = next((at for at, one in enumerate(way) if at > 1 and one in glued), len(way))
    return way[:stop]


def groups(
    pattern: Pattern, wanted: Iterable[Wish], mirrored: Collection[int] = (0, 1)
) -> tuple[tuple[str, ...], ...]:
    """Every panel that folds, in groups, in the order of the map.

    Left and right mirror images go together first, then upper and lower ones, unless a chain of
    wishes says that one of them comes before the other. `mirrored` names the directions in which
    images count: 0 left and right, 1 upper and lower.
    """
    folds = {h.panel: h.angle for h in pattern.hinges if h.folds}
    names = [panel.name for panel in pattern.panels if panel.name in folds]
    group = {name: frozenset([name]) for name in names}
    for cluster in ring_clusters(pattern):
        _unite(group, [n for n in names if n in cluster and _inside(pattern, n, cluster)])
    depth = _depths(pattern)
    hung = {(hinge.parent, hinge.panel) for hinge in pattern.hinges}
    tied = [one for one in wanted if one.weight != PARENT or (one.first, one.then) not in hung]
    chained = _later(tied, names)
    # Round a ring every wall carries a tab for the next: no order could keep that.
    round_ring = (one.weight == PARENT and one.first in chained.get(one.then, ()) for one in tied)
    later = _later([one for one, out in zip(tied, round_ring, strict=True) if not out], names)
    root = pattern.panel(pattern.root).box
    middle = float(root[0] + root[2]) / 2, float(root[1] + root[3]) / 2
    panels = {panel.name: panel for panel in pattern.panels}
    for axis in mirrored:
        seen: dict[tuple[int, ...], str] = {}
        for name in names:
            key = (round(folds[name] * 100), depth[name], *_key(panels[name], axis, middle, False))
            seen[key] = name
        for name in names:
            key = (round(folds[name] * 100), depth[name], *_key(panels[name], axis, middle, True))
            other = seen.get(key)
            if other is None or other == name or other in group[name]:
                continue
            if not _bound(group[name], group[other], later):
                _unite(group, [name, other])
    done: list[frozenset[str]] = []
    for name in names:
        if group[name] not in done:
            done.append(group[name])
    return tuple(tuple(name for name in names if name in members) for members in done)


def _inside(pattern: Pattern, name: str, cluster: frozenset[str]) -> bool:
    return any(hinge.panel == name and hinge.parent in cluster for hinge in pattern.hinges)


def _unite(group: dict[str, frozenset[str]], names: Iterable[str]) -> None:
    whole = frozenset().union(*(group[name] for name in names))
    for name in whole:
        group[name] = whole


def _depths(pattern: Pattern) -> dict[str, int]:
    depth = {pattern.root: 0}
    for hinge in pattern.hinges:
        depth[hinge.panel] = depth[hinge.parent] + 1
    return depth


def _key(
    panel: Panel, axis: int, middle: tuple[float, float], mirrored: bool
) -> tuple[int, int, int, int]:
    """The panel's box in steps of HAND_MM, mirrored over the root's middle where asked."""
    box = [float(side) for side in panel.box]
    if mirrored:
        low, high = box[axis], box[axis + 2]
        box[axis], box[axis + 2] = 2 * middle[axis] - high, 2 * middle[axis] - low
    x0, y0, x1, y1 = (round(side / HAND_MM) for side in box)
    return x0, y0, x1, y1


def _later(wanted: Iterable[Wish], names: Collection[str]) -> dict[str, set[str]]:
    """For each panel the panels that some chain of wishes puts after it."""
    direct: dict[str, set[str]] = {name: set() for name in names}
    for wish in wanted:
        if wish.first in direct and wish.then in direct:
            direct[wish.first].add(wish.then)
    reach: dict[str, set[str]] = {}
    for name in names:
        found: set[str] = set()
        ahead = list(direct[name])
        while ahead:
            then = ahead.pop()
            if then not in found:
                found.add(then)
                ahead.extend(direct[then])
        reach[name] = found
    return reach


def _bound(first: frozenset[str], second: frozenset[str], later: dict[str, set[str]]) -> bool:
    return any(b in later[a] or a in later[b] for a in first for b in second)

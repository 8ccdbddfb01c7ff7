"""Touch: on which side a tab lies on its panel, and which panel is let go so that glue gets there.

In: a piece and the order of its folds. Out: sides that touch, and layers that agree with them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal, TypeAlias

import numpy as np

from booklet.flat.pattern import Panel, Pattern
from booklet.fold.layer import Touching, layers, touching, turned_up
from booklet.fold.pose import Floats, Posed, pose

Side: TypeAlias = Literal["front", "back"]

ONE_BY_ONE = 60
"""Up to this many folds are taken one by one to see which ends on top."""
ALMOST = 0.9
"""The share of its last fold at which a tab is looked at: it still stands off its panel."""


def at_angles(rest: Posed, angles: Mapping[str, float]) -> Posed:
    """The piece with each of these panels at its angle (degrees), all others flat.

    `rest` is the piece in any pose: its tree of hinges is worked out once for all of them.
    """
    degrees = np.array([angles.get(name, 0.0) for name in rest.bones.names])
    return replace(rest, matrices=pose(rest.bones, degrees))


def apart(pattern: Pattern, tab: str, to: str) -> set[str]:
    """The folding panels between a tab and the panel that it is glued to, themselves included."""
    ways = [_carriers(pattern, name) for name in (tab, to)]
    return (ways[0] ^ ways[1]) & pattern.folding


def _carriers(pattern: Pattern, name: str) -> set[str]:
    """A panel and all those that it hangs on."""
    parents = {hinge.panel: hinge.parent for hinge in pattern.hinges}
    way = {name}
    while name in parents:
        name = parents[name]
        way.add(name)
    return way


def let_go(
    pattern: Pattern, angles: Mapping[str, float], tab: str, to: str, turns: Mapping[str, int]
) -> str | None:
    """The panel to open a little so that glue reaches the tab: the last fold that shut it in.

    `turns` says in which round each panel folds; the tab itself opens only if it came last. None
    while the two do not meet yet.
    """
    between = apart(pattern, tab, to)
    if not between or not between <= set(angles):
        return None
    others = [name for name in angles if name in between and name != tab]
    if not others:
        return tab
    last = max(others, key=lambda name: turns.get(name, 0))
    late = tab in between and turns.get(tab, 0) > turns.get(last, 0)
    if late:
        return tab
    ties = [name for name in others if turns.get(name, 0) == turns.get(last, 0)]
    # Of walls that fold in unison a maker lays the other onto the tab, which so lies inside.
    carrying = _carriers(pattern, tab)
    return ([name for name in ties if name not in carrying] or ties)[-1]


@dataclass(frozen=True)
class Touch:
    """How a tab lies on its panel: the side of each that touches the other."""

    tab: Side
    to: Side


def touch(rest: Posed, tab: str, to: str, turns: Mapping[str, int]) -> Touch:
    """The sides where a tab and its panel meet in the finished piece.

    Just before the last fold between the two is made, one still stands off the other: the side from
    which they come together is the side where they touch.
    """
    whole = {hinge.panel: hinge.angle for hinge in rest.pattern.hinges}
    last = let_go(rest.pattern, whole, tab, to, turns)
    done = at_angles(rest, whole)
    almost = at_angles(rest, {**whole, last: whole[last] * ALMOST} if last else whole)
    middle = (almost.matrix(tab) @ np.append(spot(rest.panels[tab]), (0.0, 1.0)))[:3]
    goal = almost.matrix(to)
    in_front = float((middle - goal[:3, 3]) @ goal[:3, 2]) > 0
    alike = float(done.matrix(tab)[:3, 2] @ done.matrix(to)[:3, 2]) > 0
    return Touch("back" if in_front == alike else "front", "front" if in_front else "back")


def tucked_layers(
    layers: Mapping[str, int], touches: Sequence[tuple[str, str, Touch]]
) -> dict[str, int]:
    """Layers along each panel's inside, with every tab on the side where it touches its panel."""
    result = dict(layers)
    for tab, to, how in touches:
        step = 1 if how.to == "front" else -1
        facing = 1 if how.tab != how.to else -1
        if (result.get(tab, 0) * facing - result.get(to, 0)) * step <= 0:
            result[tab] = (result.get(to, 0) + step) * facing
    return result


def settled_layers(
    done: Posed,
    steps: Sequence[Sequence[str]],
    pairs: Touching | None = None,
    tucks: Sequence[tuple[str, str]] = (),
) -> dict[str, int]:
    """Which panel lies over which: `layers`, with tabs where they touch and `tucks` behind.

    Panels named in one step are folded in the order in which it names them. A tab lies on the side
    of its panel where the two come together, whatever came down first; `tucks` are pairs of a lip
    and the panel that it goes behind, on the inside.
    """
    named = [name for names in steps for name in names]
    one_by_one = [[name] for name in named] if len(named) <= ONE_BY_ONE else steps
    turns = {name: turn for turn, names in enumerate(steps) for name in names}
    own = done.pattern.id
    touches = [
        (join.tab[1], join.to[1], touch(done, join.tab[1], join.to[1], turns))
        for join in done.pattern.joins
        if join.tab[0] == join.to[0] == own
    ]
    touches += [(lip, cover, Touch("back", "front")) for lip, cover in tucks]
    up = {name: inside_up(done, name) for name in done.bones.names}
    together = touching(done) if pairs is None else pairs
    found = layers(done, one_by_one, together)
    inward = tucked_layers({name: level * up[name] for name, level in found.items()}, touches)
    return _from_zero({name: level * up[name] for name, level in inward.items()}, done, together)


def _from_zero(levels: Mapping[str, int], done: Posed, pairs: Touching) -> dict[str, int]:
    """The layers with those of each stack raised so that its lowest is not under 0."""
    names = done.bones.names
    stack = list(range(len(names)))
    for i, j in zip(pairs.first.tolist(), pairs.second.tolist(), strict=True):
        old, new = stack[j], stack[i]
        stack = [new if one == old else one for one in stack] if old != new else stack
    low: dict[int, int] = {}
    for name, one in zip(names, stack, strict=True):
        low[one] = min(low.get(one, 0), levels[name])
    return {name: levels[name] - low[one] for name, one in zip(names, stack, strict=True)}


def inside_up(done: Posed, panel: str) -> int:
    """1 where the panel's inside faces up (z, else y, else x positive), -1 where its outside."""
    return 1 if turned_up(done.matrix(panel)[:3, 2]) else -1


def spot(panel: Panel) -> Floats:
    """A point inside a panel, its middle where that lies on it."""
    centre = panel.shape.centroid
    at = centre if panel.shape.contains(centre) else panel.shape.representative_point()
    return np.array([at.x, at.y])

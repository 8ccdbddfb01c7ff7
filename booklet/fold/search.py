"""An order of folds for a piece whose file gives none.

In: a posed piece and its plates. Out: a `FoldOrder` whose steps sweep clean, with few steps and
mirror images together; or the best that was found and a problem that says what is in the way.

Groups are taken one after the other, the one first that goes against the fewest wishes; a group
that runs into something waits, and where every group does, the search goes back a step. Groups
that hang on the same panels are then put into one step where they may turn together.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from booklet.fold.bent_plate import BentPlates
from booklet.fold.bent_way import bent_step
from booklet.fold.bulge import curved_hinges
from booklet.fold.collide import Hit, crossings, sweep
from booklet.fold.group import Wish, groups, wishes
from booklet.fold.order import Collision, FoldOrder, told_hits
from booklet.fold.plate import Plates
from booklet.fold.pose import Floats, Posed, folded
from booklet.problem import Problem

BUDGET = 20_000
"""Panels times sweeps that one piece may cost: about two seconds."""

FIXED = 60
"""What a sweep costs besides its panels, in panels."""

BENT = 20
"""How many times as much a panel costs in a sweep of bent ones: it is twelve strips."""

ENOUGH = 20
"""Collisions that are listed where no order exists."""

Group = tuple[str, ...]


@dataclass
class _Search:
    """The state of one search; `blocked` keeps the deepest point at which nothing would go."""

    plates: Plates
    groups: tuple[Group, ...]
    wishes: tuple[Wish, ...]
    left: int
    areas: Mapping[str, float]
    dead: set[frozenset[Group]] = field(default_factory=set)
    deepest: list[Group] = field(default_factory=list)

    def clean(self, angles: Floats, group: Sequence[str]) -> bool:
        """Whether a group folds without running into anything."""
        self.left -= len(self.plates.bones.names) + FIXED
        bent = bent_step(self.plates, angles, group, first_only=True)
        if bent is not None:
            self.left -= BENT * len(self.plates.bones.names)
            return not bent.met
        after = folded(self.plates.bones, angles, group)
        return not sweep(self.plates, angles, after, first_only=True)

    def all_clean(self, steps: Sequence[Group], first: int, last: int) -> bool:
        """Whether the steps from `first` to `last` fold cleanly after those before them."""
        before = [name for step in steps[:first] for name in step]
        angles = folded(self.plates.bones, np.zeros(len(self.plates.bones.names)), before)
        for step in steps[first : last + 1]:
            if not self.clean(angles, step):
                return False
            angles = folded(self.plates.bones, angles, step)
        return True

    def area(self, group: Sequence[str]) -> float:
        """The area of a group's panels, mm², rounded so that equal ones are equal."""
        return round(sum(self.areas[name] for name in group), 1)


def find_order(
    posed: Posed, plates: Plates, closures: Collection[tuple[str, str]], found: list[Problem]
) -> FoldOrder:
    """The order of one piece; `closures` are pairs (on, meets) of its panels."""
    wanted = wishes(posed.pattern, closures)
    every = groups(posed.pattern, wanted)
    areas = {name: float(panel.shape.area) for name, panel in posed.panels.items()}
    search = _Search(plates, every, wanted, BUDGET, areas)
    if _final(plates):  # the finished shape itself is impossible
        return _stuck(search, posed, found)
    if len(every) * len(plates.bones.names) > BUDGET // 4:
        bulk = _in_bulk(search)
        if bulk is None:
            return _not_searched(posed, every, found)
        return FoldOrder(tuple(bulk), (), given=False, proved=True)
    flat = np.zeros(len(plates.bones.names))
    for mirrored in ((0, 1), (0,), ()):  # mirror images may be in each other's way
        every = groups(posed.pattern, wanted, mirrored)
        search = _Search(plates, every, wanted, search.left, areas)
        steps = _extend(search, [], flat)
        if steps is not None:
            merged = _merged(search, steps, posed)
            return FoldOrder(tuple(merged), (), given=False, proved=True)
        if search.left <= 0:
            break
    if search.left <= 0:
        return _not_searched(posed, every, found)
    return _stuck(search, posed, found)


def _final(plates: Plates) -> list[Hit]:
    """What crosses in the finished shape; of a piece that bends that is told by itself."""
    return [] if isinstance(plates, BentPlates) else crossings(plates, plates.bones.targets)


def _extend(search: _Search, done: list[Group], angles: Floats) -> list[Group] | None:
    """Depth first, without recursion: pieces may have hundreds of groups."""
    stack = [(done, angles, _by_wish(search, done))]
    while stack:
        done, angles, ahead = stack[-1]
        if len(done) == len(search.groups):
            return done
        if search.left <= 0:
            return None
        if not ahead:
            search.dead.add(frozenset(done))
            stack.pop()
            continue
        group = ahead.pop(0)
        following = [*done, group]
        if frozenset(following) in search.dead:
            continue
        if search.clean(angles, group):
            after = folded(search.plates.bones, angles, group)
            stack.append((following, after, _by_wish(search, following)))
            if len(following) > len(search.deepest):
                search.deepest = following
    return None


def _in_bulk(search: _Search) -> list[Group] | None:
    """For large pieces: all groups that are equally ready in one step, if that sweeps clean."""
    steps: list[Group] = []
    angles = np.zeros(len(search.plates.bones.names))
    while sum(map(len, steps)) < sum(map(len, search.groups)):
        if search.left <= 0:
            return None
        ahead = _by_wish(search, steps)
        cost = _costs(search, steps)
        ready = [group for group in ahead if cost[group] == cost[ahead[0]]]
        whole = tuple(name for group in ready for name in group)
        choices = [whole, *ready[:8]]
        step = next((choice for choice in choices if search.clean(angles, choice)), None)
        if step is None:
            return None
        steps.append(step)
        angles = folded(search.plates.bones, angles, step)
    return steps


def _by_wish(search: _Search, done: Sequence[Group]) -> list[Group]:
    """Groups still to fold, those first that leave the fewest wishes behind; larger ones first."""
    cost = _costs(search, done)
    return sorted(cost, key=lambda group: (cost[group], -search.area(group)))


def _costs(search: _Search, done: Sequence[Group]) -> dict[Group, int]:
    """For each group still to fold the weight of wishes that it would go against now."""
    ready = {name for group in done for name in group}
    ahead = [group for group in search.groups if group[0] not in ready]
    home = {name: group for group in ahead for name in group}
    cost = dict.fromkeys(ahead, 0)
    for wish in search.wishes:
        first, then = home.get(wish.first), home.get(wish.then)
        if first is not None and then is not None and first is not then:
            cost[then] += wish.weight
    return cost


def _merged(search: _Search, steps: Sequence[Group], posed: Posed) -> list[Group]:
    """Steps become one where their panels hang on the same panels and all stays clean.

    Panels that carry nothing may also hang on panels of one parent: the tabs of walls round a base.

    The later one is taken forward; nothing that should come before it may lie between.
    """
    parents = {hinge.panel: hinge.parent for hinge in posed.pattern.hinges}
    place = {panel.name: number for number, panel in enumerate(posed.pattern.panels)}
    curved = curved_hinges(posed.pattern)  # pressed in one by one, never with a straight fold
    result = list(steps)
    later = 1
    while later < len(result):
        for earlier in range(later - 1, -1, -1):
            first, then = result[earlier], result[later]
            if any(wish.first in first and wish.then in then for wish in search.wishes):
                later += 1
                break
            alike = len({name in curved for name in (*first, *then)}) == 1
            alike &= _hang_alike(parents, first, then)
            if alike and search.left > 0:
                both = tuple(sorted((*first, *then), key=lambda name: place[name]))
                trial = [
                    *result[:earlier],
                    both,
                    *result[earlier + 1 : later],
                    *result[later + 1 :],
                ]
                if search.all_clean(trial, earlier, later):
                    result = trial
                    break
        else:
            later += 1
    return result


def _hang_alike(parents: Mapping[str, str], first: Group, then: Group) -> bool:
    """Whether all panels hang on the same ones, or are at the ends of branches of one panel."""
    if {parents[name] for name in first} == {parents[name] for name in then}:
        return True
    every = (*first, *then)
    stems = {parents.get(parents[name]) for name in every}
    return len(stems) == 1 and None not in stems and not set(every) & set(parents.values())


def _not_searched(posed: Posed, every: Sequence[Group], found: list[Problem]) -> FoldOrder:
    """Level by level from the root, unproved."""
    bones = posed.bones
    moving = {name for group in every for name in group}
    steps = [
        tuple(bones.names[i] for i in level if bones.names[i] in moving) for level in bones.levels
    ]
    found.append(
        Problem(
            "order-not-searched",
            f'"{posed.pattern.id}" has {len(bones.names)} panels, and the search for an order of '
            "its folds came to its bound: that there is one is not proved",
            posed.pattern.place,
            "state the order in [[step]] tables to have it checked",
        )
    )
    return FoldOrder(tuple(step for step in steps if step), (), given=False, proved=False)


def _stuck(search: _Search, posed: Posed, found: list[Problem]) -> FoldOrder:
    """The longest clean beginning, then the rest by wish, with what is in the way."""
    bones = posed.bones
    steps = list(search.deepest)
    clean = len(steps)
    while len(steps) < len(search.groups):
        steps.append(_by_wish(search, steps)[0])
    angles = np.zeros(len(bones.names))
    told: list[Collision] = []
    for number, group in enumerate(steps, 1):
        after = folded(bones, angles, group)
        if number > clean and len(told) < ENOUGH:
            told += told_hits(search.plates, angles, group, number)
        angles = after
    if told:
        found.append(_no_order(search, posed, told[0]))
    return FoldOrder(tuple(steps), tuple(told), given=False, proved=not told)


def _no_order(search: _Search, posed: Posed, first: Collision) -> Problem:
    """Why: the finished shape itself, or the panels that bar each other's way."""
    bones = posed.bones
    ends = _final(search.plates)
    if ends:
        mover, other = bones.names[ends[0].second], bones.names[ends[0].first]
        why = f'"{mover}" and "{other}" run through each other in the finished shape'
    else:
        mover, other = first.panels
        why = f'"{mover}" runs into "{other}" at {first.angle:.0f}°, whatever comes first'
    return Problem(
        "no-fold-order",
        f'no order folds "{posed.pattern.id}" without a panel passing through another: {why}',
        posed.panels[mover].place,
        f'make "{mover}" or "{other}" smaller, cut a slit, change an angle, or state the order '
        "that works with [[step]] tables",
    )

"""The order in which measures can be computed.

In: which measures each measure names. Out: an order with every measure after those it
names, and the cycles that leave others without an order. No recursion: a chain of any
length is walked.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass


@dataclass(frozen=True)
class Order:
    """`names` in computable order, without those on or behind a cycle; each cycle once."""

    names: tuple[str, ...]
    cycles: tuple[tuple[str, ...], ...]


def order(uses: Mapping[str, Collection[str]]) -> Order:
    """Sort the names; names used but not defined are left out.

    A cycle begins with the name of it that stands first in `uses`. Cycles that share a name
    with one already found are not listed again: mending the first is what is asked for.
    """
    waiting = {name: {used for used in uses[name] if used in uses} for name in uses}
    users: dict[str, list[str]] = {name: [] for name in uses}
    for name, needed in waiting.items():
        for used in needed:
            users[used].append(name)
    ready = [name for name, needed in waiting.items() if not needed]
    sorted_names = []
    for name in ready:  # grows while it is walked
        sorted_names.append(name)
        for user in users[name]:
            waiting[user].discard(name)
            if not waiting[user]:
                ready.append(user)
    stuck = {name: sorted(needed) for name, needed in waiting.items() if needed}
    return Order(tuple(sorted_names), tuple(_cycles(stuck, list(uses))))


def _cycles(stuck: Mapping[str, list[str]], written: list[str]) -> list[tuple[str, ...]]:
    """One cycle for each knot of names that all wait for one another."""
    seen: set[str] = set()
    cycles = []
    rank = {name: index for index, name in enumerate(written)}
    for start in stuck:
        path: list[str] = []
        places: dict[str, int] = {}
        name = start
        # Every stuck name waits for another stuck one, so this walk ends on a name seen before.
        while name not in places and name not in seen:
            places[name] = len(path)
            path.append(name)
            name = stuck[name][0]
        if name in places:
            cycle = path[places[name] :]
            first = cycle.index(min(cycle, key=rank.__getitem__))
            cycles.append(tuple(cycle[first:] + cycle[:first]))
        seen.update(path)
    return cycles

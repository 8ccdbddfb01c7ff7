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
    rank = {name: index for index, name in enumerate(uses)}
    blocked: set[str] = set()
    cycles: list[tuple[str, ...]] = []
    done: list[str] = []
    ready = [name for name, needed in waiting.items() if not needed]
    while ready or waiting:
        if not ready:
            # All that wait, wait in a circle or behind one. Open one circle, and go on
            # with its names as if they were known, so that every other circle is found too.
            cycle = _cycle(waiting, rank)
            cycles.append(cycle)
            blocked.update(cycle)
            ready.extend(cycle)
        name = ready.pop()
        if waiting.pop(name, None) is None:
            continue
        done.append(name)
        for user in users[name]:
            if name in blocked:
                blocked.add(user)
            if user in waiting:
                waiting[user].discard(name)
                if not waiting[user]:
                    ready.append(user)
    return Order(tuple(name for name in done if name not in blocked), tuple(cycles))


def _cycle(waiting: Mapping[str, set[str]], rank: Mapping[str, int]) -> tuple[str, ...]:
    """A cycle among names that all wait for another of them."""
    path: list[str] = []
    places: dict[str, int] = {}
    name = next(iter(waiting))
    while name not in places:
        places[name] = len(path)
        path.append(name)
        name = min(waiting[name], key=rank.__getitem__)
    cycle = path[places[name] :]
    first = cycle.index(min(cycle, key=rank.__getitem__))
    return tuple(cycle[first:] + cycle[:first])

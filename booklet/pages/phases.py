"""Phases: a step that folds much at once is shown in several pictures.

In: a piece, its state, and a planned step. Out: the step in parts, each of which folds what can be
told apart in one picture, in an order that is proved to go.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np

from booklet.draw.motion import laid_first
from booklet.flat.pattern import Pattern, meeting_of
from booklet.flat.reference import Reference
from booklet.fold.bend import curved_panels
from booklet.fold.inside import laid_inside
from booklet.fold.order import step_hits
from booklet.fold.plate import plates
from booklet.fold.pose import folded
from booklet.pages.closing import closures
from booklet.pages.planned import PlannedStep
from booklet.pages.workpiece import Workpiece

MOST = 3
"""Panels that move in one picture, unless all of them hang on what stays."""


def in_phases(
    piece: Workpiece, angles: Mapping[str, float], step: PlannedStep
) -> list[PlannedStep]:
    """The step in parts: tabs are joined with what comes onto them, what closes it comes last."""
    own = piece.pattern.id
    moves = [name for owner, name in step.fold if owner == own and name not in angles]
    closing = [name for name in moves if (own, name) in step.close and step.join]
    glued = any(owner == own and tab in moves for owner, tab in step.join)
    groups = _groups(piece, [name for name in moves if name not in closing], glued)
    groups += [closing] if closing else []
    if step.crease or len(groups) < 2 or not _goes(piece, angles, groups):
        return [step]
    parts = []
    there = {*angles, piece.pattern.root}
    joined: set[Reference] = set()
    for number, group in enumerate(groups):
        there |= set(group)
        last = number == len(groups) - 1
        ready = [
            tab
            for tab in step.join
            if tab not in joined and (last or _meets(piece, tab[1]) <= there)
        ]
        joined |= set(ready)
        part = replace(step, fold=tuple((own, name) for name in group), join=tuple(ready))
        if number:
            part = replace(part, turn=False, score=(), cut=(), attach=(), buttons=())
        parts.append(part if last else replace(part, close=()))
    return parts


def _meets(piece: Workpiece, tab: str) -> frozenset[str]:
    """The panels that have to be folded before this tab can be joined."""
    return meeting_of(piece.pattern, tab, piece.joined.get(tab, ""))


def _groups(piece: Workpiece, moves: Sequence[str], glued: bool) -> list[list[str]]:
    """What ends under others first, what is carried after what carries it.

    Where some of it is `glued`, each layer has a picture: adhesive has to be seen before what
    closes over it.
    Flaps along curves shut one over the other: each has a picture of its own. A fan has one for all
    its pages, as they close at once.
    """
    if is_fan(piece.pattern, moves):
        return [[*moves]]
    curved = curved_panels(piece.pattern)
    parents = {hinge.panel: hinge.parent for hinge in piece.pattern.hinges}
    covers = _covers(piece, moves, len(moves) if glued else 1)
    inside = _laid_inside(piece, moves)

    def rank(name: str) -> tuple[int, int]:
        earlier = 0
        while name in inside:
            name, earlier = parents[name], earlier + 1
        over, depth = -covers[name], -earlier
        while (name := parents.get(name, "")) != "":
            if name in moves:
                depth += 1
                over = max(over, -covers[name])
        return over, depth

    ranks: dict[tuple[int, int], list[str]] = {}
    for name in moves:
        ranks.setdefault(rank(name), []).append(name)
    groups: list[tuple[int, list[str]]] = []
    for (over, _), names in sorted(ranks.items()):
        if curved & set(names):
            groups += [(over, [name]) for name in names]
        elif (
            groups
            and groups[-1][0] == over
            and len(groups[-1][1]) + len(names) <= MOST
            and not inside & set(groups[-1][1])
        ):
            groups[-1][1].extend(names)
        else:
            groups.append((over, list(names)))
    return _held_together(piece, [names for _, names in groups])


def _laid_inside(piece: Workpiece, moves: Sequence[str]) -> set[str]:
    """The tabs that move here with what carries them and end between it and their panel."""
    hinges = {hinge.panel: hinge for hinge in piece.pattern.hinges}
    glued = [(tab, piece.joined[tab]) for tab in moves if tab in piece.joined]
    return {
        tab
        for tab in laid_inside(piece.pattern, glued)
        if hinges[tab].parent in moves
        and piece.touches[tab].tab == ("back" if hinges[tab].angle > 0 else "front")
    }


def is_fan(pattern: Pattern, moves: Sequence[str]) -> bool:
    """Whether each panel hangs on the one before it and folds back over it."""
    hinges = {hinge.panel: hinge for hinge in pattern.hinges}
    pairs = pairwise(moves)
    return len(moves) > 2 and all(
        hinges[b].parent == a and hinges[a].angle * hinges[b].angle < 0 for a, b in pairs
    )


def _covers(piece: Workpiece, moves: Sequence[str], most: int) -> dict[str, int]:
    """How many of the moving panels end one over the other on top of each of them; at `most`."""
    covers = dict.fromkeys(moves, 0)
    under: Sequence[str] = moves
    for layer in range(1, most + 1):
        under = laid_first(piece.rest, under)
        covers |= dict.fromkeys(under, layer)
    return covers


def _held_together(piece: Workpiece, groups: list[list[str]]) -> list[list[str]]:
    """The groups, those as one in which panels hang together by a score that is no hinge.

    Such a score stays whole only if all that turns it in one step turns at once.
    """
    parents = {hinge.panel: hinge.parent for hinge in piece.pattern.hinges}
    hinged = {hinge.score for hinge in piece.pattern.hinges}

    def carriers(name: str) -> set[str]:
        return {name} | (carriers(parents[name]) if name in parents else set())

    for number, score in enumerate(piece.pattern.scores):
        if number in hinged:
            continue
        first, second = (carriers(name) for name in score.between)
        tied = [names for names in groups if set(names) & (first ^ second)]
        if len(tied) > 1:
            whole = [name for names in tied for name in names]
            groups = [names for names in groups if names not in tied[:-1]]
            groups = [whole if names is tied[-1] else names for names in groups]
    return groups


def _goes(piece: Workpiece, angles: Mapping[str, float], groups: Sequence[Sequence[str]]) -> bool:
    """Whether the groups fold one after the other without running into anything."""
    own, bones = piece.pattern.id, piece.rest.bones
    bends: list[tuple[str, str | None]] = [
        (on[1], meets[1] if meets is not None and meets[0] == own else None)
        for kind, on, meets in closures(piece.model)
        if kind == "tuck" and on[0] == own
    ]
    bends += [(name, None) for name in curved_panels(piece.pattern)]
    solid = plates(piece.rest, bends)
    now = np.array([angles.get(name, 0.0) for name in bones.names])
    for group in groups:
        if step_hits(solid, now, group):
            return False
        now = folded(bones, now, group)
    return True

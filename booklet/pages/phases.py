"""Phases: a step that folds much at once is shown in several pictures.

In: a piece, its state, and a planned step. Out: the step in parts, each of which folds what can be
told apart in one picture, in an order that is proved to go.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from booklet.draw.motion import laid_first
from booklet.flat.reference import Reference
from booklet.fold.bend import curved_panels
from booklet.fold.order import folded, step_hits
from booklet.fold.plate import plates
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
    groups = _groups(piece, [name for name in moves if name not in closing])
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
            if tab not in joined and (last or {tab[1], piece.joined.get(tab[1], "")} <= there)
        ]
        joined |= set(ready)
        part = replace(step, fold=tuple((own, name) for name in group), join=tuple(ready))
        if number:
            part = replace(part, turn=False, score=(), cut=(), attach=(), buttons=())
        parts.append(part if last else replace(part, close=()))
    return parts


def _groups(piece: Workpiece, moves: Sequence[str]) -> list[list[str]]:
    """What ends under others first, what is carried after what carries it.

    Flaps along curves shut one over the other: each has a picture of its own.
    """
    curved = curved_panels(piece.pattern)
    parents = {hinge.panel: hinge.parent for hinge in piece.pattern.hinges}
    under = set(laid_first(piece.rest, moves))

    def rank(name: str) -> tuple[bool, int]:
        over, depth = name not in under, 0
        while (name := parents.get(name, "")) != "":
            if name in moves:
                depth += 1
                over = over or name not in under
        return over, depth

    ranks: dict[tuple[bool, int], list[str]] = {}
    for name in moves:
        ranks.setdefault(rank(name), []).append(name)
    groups: list[tuple[bool, list[str]]] = []
    for (over, _), names in sorted(ranks.items()):
        if curved & set(names):
            groups += [(over, [name]) for name in names]
        elif groups and groups[-1][0] == over and len(groups[-1][1]) + len(names) <= MOST:
            groups[-1][1].extend(names)
        else:
            groups.append((over, list(names)))
    return [names for _, names in groups]


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

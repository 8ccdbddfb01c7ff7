"""The printed order of folds: is it whole, and can it be folded?

In: the [[step]] tables of a project and a piece. Out: the piece's folds step by step, collisions
on the way, and problems for panels named twice or missed, for panels that would pass through each
other, and for tabs glued before they reach their panel.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from booklet.flat.pattern import Pattern
from booklet.flat.reference import find_panel
from booklet.fold.bent_way import bent_step
from booklet.fold.collide import Hit, sweep
from booklet.fold.join import WHOLE_SHARE, fit_join
from booklet.fold.plate import Plates
from booklet.fold.pose import Floats, Posed, Skeleton, folded, pose_piece
from booklet.measure.tolerance import ANGLE_DEG
from booklet.problem import Place, Problem, Written
from booklet.read.project import Project


@dataclass(frozen=True)
class FoldStep:
    """The panels that one printed step folds, and the tabs that it glues, in one piece.

    `number` counts the project's [[step]] tables from 1; a fold has the place of its name.
    """

    number: int
    panels: tuple[str, ...]
    places: tuple[Place, ...]
    joins: tuple[Written[str], ...]


@dataclass(frozen=True)
class Collision:
    """`panels` run into each other in a step of the order (from 1), the first one at `angle`."""

    panels: tuple[str, str]
    step: int
    angle: float


@dataclass(frozen=True)
class FoldOrder:
    """Folds step by step; `given` says that the file states them, `proved` that they sweep clean.

    `steps` leaves out panels that do not fold (0 degrees). `gives` says of flaps that turn about
    a score that is bent already how far (mm) they would have to slip on their way.
    """

    steps: tuple[tuple[str, ...], ...]
    collisions: tuple[Collision, ...]
    given: bool
    proved: bool
    gives: Mapping[str, float] = field(default_factory=dict)


def printed_steps(
    project: Project, patterns: Sequence[Pattern], pattern: Pattern, found: list[Problem]
) -> tuple[FoldStep, ...] | None:
    """The folds that the file prints for this piece; None where no step folds any of it.

    A panel that no `fold` names folds where a `join` or `close` first names it.
    """
    folds = pattern.folding
    listed = [_own(step.fold, patterns, pattern) for step in project.steps]
    if not any(listed):
        return None
    somewhere = {name for names in listed for name, _ in names}
    done: dict[str, int] = {}
    steps: list[FoldStep] = []
    for number, (step, names) in enumerate(zip(project.steps, listed, strict=True), 1):
        now = [(name, written.place) for name, written in names]
        joins = _own(step.join, patterns, pattern)
        for name, written in (*joins, *_own(step.close, patterns, pattern)):
            if name not in somewhere and name not in done and name in folds:
                now.append((name, written.place))
        fresh: list[tuple[str, Place]] = []
        for name, place in now:
            if name not in folds:
                found.append(_stays(name, pattern.root, number, place))
            elif name in done:
                found.append(_twice(name, done[name], number, place))
            else:
                fresh.append((name, place))
            done.setdefault(name, number)
        glued = tuple(Written(name, written.place) for name, written in joins)
        panels, places = tuple(name for name, _ in fresh), tuple(place for _, place in fresh)
        if fresh or glued:
            steps.append(FoldStep(number, panels, places, glued))
    last = [written.place for names in listed for _, written in names][-1]
    missed = _in_order(pattern, folds - set(done))
    if missed:
        found.append(_missed(missed, pattern, last))
    return tuple(steps)


def following(posed: Posed, plates: Plates, rounds: Sequence[tuple[str, ...]]) -> FoldOrder:
    """An order found for another size of the piece, swept with this one; problems are not told."""
    folds = posed.pattern.folding
    steps = [
        FoldStep(number, panels, tuple(posed.pattern.place for _ in panels), ())
        for number, names in enumerate(rounds, 1)
        if (panels := tuple(name for name in names if name in folds))
    ]
    order = prove_order(posed, plates, steps, [])
    whole = folds == {name for step in steps for name in step.panels}
    return replace(order, given=False, proved=order.proved and whole)


def _own(
    names: Sequence[Written[str]], patterns: Sequence[Pattern], pattern: Pattern
) -> list[tuple[str, Written[str]]]:
    """The names that belong to this piece; those that are unknown have their own report."""
    own: list[tuple[str, Written[str]]] = []
    silent: list[Problem] = []
    for written in names:
        piece, _, name = written.value.rpartition(".")
        if name not in pattern.by_name or piece not in ("", pattern.id):
            continue  # most names of a large project: they are another piece's
        where = find_panel(written, patterns, silent)
        if where is not None and where[0] == pattern.id:
            own.append((where[1], written))
    return own


def _in_order(pattern: Pattern, names: Collection[str]) -> list[str]:
    return [panel.name for panel in pattern.panels if panel.name in names]


def _twice(name: str, before: int, now: int, place: Place) -> Problem:
    when = "in the same step" if before == now else f"in step {before}"
    return Problem(
        "order-names-twice",
        f'step {now} folds "{name}", which is already folded {when}',
        place,
        "take it out of one of the two",
    )


def _stays(name: str, root: str, number: int, place: Place) -> Problem:
    why = "stays on the table" if name == root else "does not fold: its angle is 0°"
    return Problem(
        "order-names-still",
        f'step {number} folds "{name}", which {why}',
        place,
        "take it out of the list, or give it an angle in [piece.folds]"
        if name != root
        else "name the panels that move; another root may stay instead",
    )


def _missed(names: Sequence[str], pattern: Pattern, place: Place) -> Problem:
    angles = {hinge.panel: hinge.angle for hinge in pattern.hinges}
    listed = ", ".join(f'"{name}" ({angles[name]:g}°)' for name in names)
    many = "panels" if len(names) > 1 else "panel"
    them = " and ".join(f'"{name}"' for name in names) if len(names) < 3 else "them"
    return Problem(
        "order-misses-panel",
        f'the steps fold "{pattern.id}" but never its {many} {listed}',
        place,
        f"add {them} to the fold list of a step, or set {names[0]} = 0 in [piece.folds]"
        + (", and so for each" if len(names) > 1 else ""),
    )


def prove_order(
    posed: Posed, plates: Plates, steps: Sequence[FoldStep], found: list[Problem]
) -> FoldOrder:
    """Sweep each printed step.

    Panels of one step turn together; where that does not go, they turn one after the other as
    listed.
    """
    bones = posed.bones
    angles = np.zeros(len(bones.names))
    collisions: list[Collision] = []
    order: list[tuple[str, ...]] = []
    gives: dict[str, float] = {}
    whole = all(_named(bones, i, steps) for i in range(len(bones.names)))
    for step in steps:
        after = folded(bones, angles, step.panels)
        if step.panels:
            order.append(step.panels)
            told = told_hits(plates, angles, step.panels, len(order), gives)
            collisions += told
            if told:
                found.append(_collide(step, told))
        angles = after
        if whole:
            _reached(posed, angles, step, found)
    return FoldOrder(
        tuple(order), tuple(collisions), given=True, proved=not collisions, gives=gives
    )


def step_hits(plates: Plates, angles: Floats, panels: Sequence[str]) -> list[Hit]:
    """What runs into what while these panels fold: together, or if need be one by one."""
    bones = plates.bones
    bent = bent_step(plates, angles, panels, first_only=True)
    if bent is not None:
        return [met.hit for met in bent.met]
    together = sweep(plates, angles, folded(bones, angles, panels))
    if not together or len(panels) == 1:
        return together
    state = angles
    for name in panels:
        following = folded(bones, state, [name])
        if sweep(plates, state, following, first_only=True):
            return together
        state = following
    return []


def _named(bones: Skeleton, panel: int, steps: Sequence[FoldStep]) -> bool:
    name = bones.names[panel]
    still = abs(bones.targets[panel]) <= ANGLE_DEG
    return bool(still) or any(name in step.panels for step in steps)


def told_hits(
    plates: Plates,
    angles: Floats,
    panels: Sequence[str],
    step: int,
    gives: dict[str, float] | None = None,
) -> list[Collision]:
    """What runs into what in one step, in words; what has to give on its way goes into `gives`."""
    bones = plates.bones
    bent = bent_step(plates, angles, panels)
    if bent is None:
        after = folded(bones, angles, panels)
        hits = step_hits(plates, angles, panels)
        return [_collision(bones, angles, after, hit, step) for hit in hits]
    if gives is not None and not bent.met:
        gives.update(bent.gives)
    return [_collision(bones, met.before, met.after, met.hit, step) for met in bent.met]


def _collision(bones: Skeleton, before: Floats, after: Floats, hit: Hit, step: int) -> Collision:
    """A hit in words: the panel that moves first, with the angle of the hinge that moves it."""
    ways = [bones.way_up(hit.first), bones.way_up(hit.second)]
    shared = set(ways[0]) & set(ways[1])
    for way in (ways, ways[::-1]):
        for panel in way[0]:
            if panel not in shared and abs(after[panel] - before[panel]) > ANGLE_DEG:
                angle = float(before[panel] + hit.share * (after[panel] - before[panel]))
                return Collision((bones.names[way[0][0]], bones.names[way[1][0]]), step, angle)
    return Collision((bones.names[hit.first], bones.names[hit.second]), step, 0.0)


def _collide(step: FoldStep, told: Sequence[Collision]) -> Problem:
    first = told[0]
    mover, other = first.panels
    at = step.panels.index(mover) if mover in step.panels else 0
    more = f" (and {len(told) - 1} more pairs)" if len(told) > 1 else ""
    way_out = (
        f'fold "{mover}" before "{other}", in a step of its own'
        if other not in step.panels
        else f'fold "{mover}" and "{other}" in separate steps'
    )
    return Problem(
        "panels-collide",
        f'step {step.number}: "{mover}" would pass through "{other}" at {first.angle:.0f}°{more}',
        step.places[at],
        f"{way_out}; or make one of the two smaller",
    )


def _reached(posed: Posed, angles: Floats, step: FoldStep, found: list[Problem]) -> None:
    """A tab is glued when it lies on its panel as it does in the finished piece."""
    if not step.joins:
        return
    now = pose_piece(posed.pattern, posed.thickness, angles)
    for written in step.joins:
        for join in posed.pattern.joins:
            home = posed.pattern.id
            if join.tab[0] != home or join.to[0] != home or written.value != join.tab[1]:
                continue
            end = fit_join(posed, join.tab[1], join.to[1])
            fit = fit_join(now, join.tab[1], join.to[1])
            if end.share > 0 and fit.share < WHOLE_SHARE * end.share:
                waits = [
                    name
                    for name in (join.tab[1], join.to[1])
                    if _still_open(posed.bones, angles, name)
                ]
                named = " and ".join(f'"{name}"' for name in waits) or "its neighbours"
                found.append(
                    Problem(
                        "join-too-early",
                        f'step {step.number} glues tab "{join.tab[1]}", which does not lie on '
                        f'"{join.to[1]}" yet',
                        written.place,
                        f"fold {named} (or what they hang on) in this step or an earlier one",
                    )
                )


def _still_open(bones: Skeleton, angles: Floats, name: str) -> bool:
    way = bones.way_up(bones.index[name])
    return any(abs(bones.targets[i] - angles[i]) > ANGLE_DEG for i in way)

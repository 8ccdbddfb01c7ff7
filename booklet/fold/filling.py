"""Filling: while a piece is folded, when do its contents still get in?

In: folded pieces with what fits them, and the printed steps. Out: where contents lie, whether
there is a way in at a state of the folds, and problems for steps that put them in too late.

A way is straight, along an axis of the piece: what bends, or is eased in at a slant, may still go.
Of a piece with curved scores a part of the room has to be free, as paper that bends gives a little;
while none of it is bent its layers lie flat, and open wherever they are not held.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from booklet.flat.pattern import Pattern, meeting_of
from booklet.flat.reference import find_panel
from booklet.fold.bent_state import bent_now
from booklet.fold.bulge import curved_hinges
from booklet.fold.cavity import Cavity, Triple
from booklet.fold.contents import ContentsFit
from booklet.fold.order import FoldStep, printed_steps
from booklet.fold.pocket import barred, cover_of
from booklet.fold.pose import Posed
from booklet.fold.touch import at_angles
from booklet.fold.way_out import Obstacles, is_shut, obstacles, pocket_mouth, way_out
from booklet.problem import Problem, Written
from booklet.read.project import Project

MOST_TURNS = 40
"""Turns of an order, from its end, between which a way in is looked for."""


FULL = 0.75
"""The share of a room's sides that is taken up where nothing tells by what."""


@dataclass(frozen=True)
class Home:
    """A folded piece with its room and what fits into it."""

    posed: Posed
    cavity: Cavity | None
    contents: Sequence[ContentsFit]
    bent: bool


def resting(fit: ContentsFit, cavity: Cavity) -> tuple[Triple, Triple]:
    """The corners of contents: beside others, in the middle of the room's floor or of the pocket.

    In a pocket they count as flat.
    """
    sides = [fit.size[axis] for axis in fit.turned]
    corner = [
        (low + high - side) / 2
        for low, high, side in zip(cavity.low, cavity.high, sides, strict=True)
    ]
    if cavity.flat is None:
        corner[2] = cavity.low[2]
    else:
        corner[cavity.flat], sides[cavity.flat] = cavity.low[cavity.flat], 0.0
    x, y, z = corner if fit.corner is None else fit.corner
    return (x, y, z), (x + sides[0], y + sides[1], z + sides[2])


def most_of(cavity: Cavity) -> tuple[Triple, Triple]:
    """The corners of the middle part of a room: nobody fills one to its last corner."""
    low, high = np.array(cavity.low), np.array(cavity.high)
    (x0, y0, z0), (x1, y1, z1) = (
        (middle + (corner - middle) * FULL).tolist()
        for middle, corner in (((low + high) / 2, low), ((low + high) / 2, high))
    )
    return (x0, y0, z0), (x1, y1, z1)


@dataclass(frozen=True, eq=False)
class Folding:
    """A piece with the turns of an order; each state is worked out once for all contents."""

    posed: Posed
    turns: Sequence[Collection[str]]
    cavity: Cavity
    known: dict[int, Obstacles] = field(default_factory=dict)

    def gets_in(self, count: int, box: tuple[Triple, Triple]) -> bool:
        """Whether the box gets in once so many turns are folded and all others lie flat."""
        if self.cavity.pocket:
            # Two layers open wherever they are not held.
            return not self._flap_shut(count) and not self._barred(count)
        if count not in self.known:
            if len(self.known) > MOST_TURNS:
                self.known.clear()  # memory stays bounded, whatever the steps say
            pose, angles = self._pose(count), self._angles(count)
            bent = bent_now(pose, angles)
            if bent is None and curved_hinges(self.posed.pattern):
                return True
            self.known[count] = obstacles(pose, bent)
        return way_out(self.known[count], *box) is not None

    def _flap_shut(self, count: int) -> bool:
        """Whether a flap lies over the mouth of the pocket: what folds flat once all is glued."""
        flat = {hinge.panel for hinge in self.posed.pattern.hinges if hinge.lies_flat}
        late = {
            name for names in self.turns[self._made() : count] for name in names if name in flat
        }
        mouth = pocket_mouth(self.posed, self.cavity)
        return mouth is not None and is_shut(self.posed, self.cavity, mouth, late)

    def _barred(self, count: int) -> bool:
        """Whether a panel that folds once all is glued stands up before the mouth of the pocket."""
        made = self._made()
        mouth = pocket_mouth(self.posed, self.cavity)
        cover = cover_of(self.posed, self.cavity)
        if count <= made or mouth is None or cover is None:
            return False
        if 2 * mouth[0] + (mouth[1] > 0) != self.cavity.walls.index(False):
            return False  # it opens at a side
        return barred(self._pose(count), cover) and not barred(self._pose(made), cover)

    def _made(self) -> int:
        """After how many turns everything is glued."""
        pattern = self.posed.pattern
        pairs = [(join.tab[1], join.to[1]) for join in pattern.joins]
        glued = {name for tab, to in pairs for name in meeting_of(pattern, tab, to)}
        return max((at for at, names in enumerate(self.turns, 1) if glued & {*names}), default=0)

    def _pose(self, count: int) -> Posed:
        """The piece once so many turns are folded."""
        return at_angles(self.posed, self._angles(count))

    def _angles(self, count: int) -> dict[str, float]:
        folded = {name for names in self.turns[:count] for name in names}
        return {h.panel: h.angle for h in self.posed.pattern.hinges if h.panel in folded}

    def last_chance(self, box: tuple[Triple, Triple], most: int) -> int:
        """After how many of the first `most` turns the contents go in, as late as they may."""
        for count in range(most, max(0, most - MOST_TURNS), -1):
            if self.gets_in(count, box):
                return count
        return 0


def put_in(project: Project, home: Mapping[str, str]) -> dict[str, tuple[int, Written[str]]]:
    """In which step (from 1) each of the contents goes in, as the steps say, and the word for it.

    `home` is the piece of each of the contents. A step names contents, or a piece for all of its.
    """
    told: dict[str, tuple[int, Written[str]]] = {}
    for number, step in enumerate(project.steps, 1):
        for written in step.fill:
            for id_ in named_contents(written.value, home):
                told.setdefault(id_, (number, written))
    return told


def named_contents(name: str, home: Mapping[str, str]) -> tuple[str, ...]:
    """The contents that a name in `fill` means: those of that id, else those of that piece."""
    return (name,) if name in home else tuple(id_ for id_, piece in home.items() if piece == name)


def check_fillings(
    homes: Sequence[Home], patterns: Sequence[Pattern], project: Project, found: list[Problem]
) -> None:
    """Contents go in while they get in: in the step that says so, or before the last that closes.

    Only folds that the file states are judged; where booklet orders them, it fills in time.
    """
    where = {fit.id: fit.piece for home in homes for fit in home.contents if fit.piece is not None}
    told = put_in(project, where)
    closes = _last_closes(project, patterns)
    for home in homes:
        if home.cavity is None or home.cavity.pocket:
            continue
        silent: list[Problem] = []  # the order has its own report
        steps = printed_steps(project, patterns, home.posed.pattern, silent)
        if steps is None or silent:
            continue
        folding = [step for step in steps if step.panels]
        way = Folding(home.posed, [step.panels for step in folding], home.cavity)
        last = closes.get(home.posed.pattern.id, 0)
        for fit in home.contents:
            if fit.fits:
                box = most_of(home.cavity) if home.bent else resting(fit, home.cavity)
                _check(fit, box, way, folding, told.get(fit.id), last, found)


def _check(
    fit: ContentsFit,
    box: tuple[Triple, Triple],
    way: Folding,
    folding: Sequence[FoldStep],
    told: tuple[int, Written[str]] | None,
    last_close: int,
    found: list[Problem],
) -> None:
    if told is not None:
        number, written = told
        before = sum(step.number < number for step in folding)
        if before and not way.gets_in(before, box):
            # Later folds may open a way again: what counts is the fold that shut it before.
            found.append(_too_late(fit, folding[way.last_chance(box, before)], written, number))
        return
    chance = way.last_chance(box, len(folding))
    if chance < len(folding) and not 0 < last_close <= folding[chance].number:
        found.append(_not_said(fit, folding[chance]))


def _last_closes(project: Project, patterns: Sequence[Pattern]) -> dict[str, int]:
    """The number of the last step that closes anything of a piece, by piece."""
    silent: list[Problem] = []  # unknown names have their own report
    last: dict[str, int] = {}
    for number, step in enumerate(project.steps, 1):
        for name in step.close:
            panel = find_panel(name, patterns, silent)
            if panel is not None:
                last[panel[0]] = number
    return last


def _too_late(fit: ContentsFit, shuts: FoldStep, written: Written[str], number: int) -> Problem:
    return Problem(
        "filled-too-late",
        f'step {number} puts "{fit.id}" in, but nothing gets in since step {shuts.number}',
        written.place,
        f"put it in before that step folds {_panels(shuts)}: there or in an earlier step",
    )


def _not_said(fit: ContentsFit, shuts: FoldStep) -> Problem:
    return Problem(
        "filling-not-said",
        f'step {shuts.number} shuts "{fit.piece}", and no step says that "{fit.id}" goes in first',
        shuts.places[0],
        f'add fill = ["{fit.id}"] to this step or to one before it: what a step fills goes in '
        "before what it folds",
    )


def _panels(step: FoldStep) -> str:
    return " and ".join(f'"{name}"' for name in step.panels[:2])

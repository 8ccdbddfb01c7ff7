"""Shots: the pictures of a booklet as values, before their scale is known.

In: nothing. Out: the frozen values that `staging` makes and step pages, covers and galleries draw.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

from booklet.draw.diagram import Highlight
from booklet.draw.solid import SeenScene
from booklet.flat.pattern import Pattern
from booklet.pages.planned import PlannedStep


@dataclass(frozen=True)
class Flat:
    """A picture of flat work; `known` says that the outline is cut or drawn already."""

    pattern: Pattern
    show: Highlight
    known: bool
    alt: str


@dataclass(frozen=True)
class Folded:
    """A folded picture: `moving` are the faces that it is about; `flat` while no fold is made."""

    seen: SeenScene
    alt: str
    moving: tuple[str, ...] = ()
    flat: bool = False


Staged: TypeAlias = Flat | Folded | None


@dataclass(frozen=True)
class Shot:
    """One of the pictures of a step; `words` say what it adds to those before it in the step.

    Those of the first stand in place of the step's own, which they are a part of; "" keeps these.
    `part` is what the picture does of its step.
    """

    picture: Staged
    words: str = ""
    part: PlannedStep | None = None


@dataclass(frozen=True)
class Stage:
    """All pictures of a booklet: some for each step, in order, then what the cover shows.

    `filled_open` says that nothing closes over the contents: open is how it ends, and `end_words`
    say what that is.
    """

    shots: tuple[tuple[Shot, ...], ...]
    finished: tuple[Folded, ...]
    opened: Folded | None
    filled_open: bool = False
    end_words: str = ""

    def parts(self, steps: Sequence[PlannedStep]) -> list[PlannedStep]:
        """The planned steps, in the place of each what its pictures do one after the other."""
        shown = [[shot.part for shot in shots if shot.part is not None] for shots in self.shots]
        return [
            part for step, parts in zip(steps, shown, strict=True) for part in (parts or [step])
        ]

    @property
    def steps(self) -> tuple[Staged, ...]:
        """The last picture of each step."""
        return tuple(shots[-1].picture for shots in self.shots)

    @property
    def shown(self) -> list[Folded]:
        """What the cover shows: nothing both empty and full, if it looks the same else."""
        closed = self.finished[1:] if self.filled_open else self.finished
        return [*closed, *([self.opened] if self.opened is not None else [])]

    @property
    def end(self) -> Folded | None:
        """How the main piece ends."""
        if self.filled_open:
            return self.opened
        return self.finished[0] if self.finished else None

    @property
    def end_is_shown(self) -> bool:
        """Whether the last picture of the steps is that of the end: nothing moves in it."""
        last = self.steps[-1] if self.steps else None
        if not isinstance(last, Folded) or self.end is None:
            return False
        scene, end = last.seen.scene, self.end.seen.scene
        still = not (scene.arrows or scene.ghosts or scene.hatches)
        return still and {f.points for f in scene.faces} == {f.points for f in end.faces}

"""The pictures of the steps in print: flat while the work lies flat, folded from the first fold on.

In: the stage and the room for a picture. Out: a drawing for each step: flat diagrams, sheets spread
out in space and folded states each on a scale of their own; and one more of the finished piece
where it folds.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, TypeAlias

from booklet.draw.detail import detailed
from booklet.draw.diagram import SIGN, step_diagram
from booklet.draw.folded import extent
from booklet.draw.mark import Drawing
from booklet.draw.solid import Notes, draw_seen, noted
from booklet.draw.typeface import Faces
from booklet.pages.staging import Flat, Folded, Staged

Place: TypeAlias = Literal["above", "beside"]

ARROWS = 0.86
"""The share of a picture's room that the figure takes: arrows and names need the rest."""


def step_pictures(
    pictures: Sequence[Staged], width: float, height: float, faces: Faces
) -> list[Drawing | None]:
    """One drawing for each picture, all flat ones and all folded ones on a scale of their own."""
    flats = [picture for picture in pictures if isinstance(picture, Flat)]
    k, sign = _flat_scales(flats, width, height)
    drawn: dict[int, Drawing] = {}
    for index, picture in enumerate(pictures):
        if isinstance(picture, Flat):
            drawn[index] = step_diagram(
                picture.pattern, k, picture.show, picture.known, faces, picture.alt, sign
            )
    # A sheet spread out is far larger than what is folded from it: on one scale for both, the
    # folded pictures would be too small to follow.
    for is_flat in (True, False):
        group = {
            index: picture
            for index, picture in enumerate(pictures)
            if isinstance(picture, Folded) and picture.flat == is_flat
        }
        made = fitted(list(group.values()), width, height, faces).drawn(faces)
        drawn |= dict(zip(group, made, strict=True))
    return [drawn.get(index) for index in range(len(pictures))]


def _flat_scales(flats: Sequence[Flat], width: float, height: float) -> tuple[float, Place]:
    """One scale for every flat diagram: the largest fills its cell, with its sign if it has one.

    The sign stands above or beside all of them, where the scale is larger for it.
    """
    rooms: tuple[tuple[float, float, Place], ...] = (
        (width, height - SIGN[1], "above"),
        (width - SIGN[0], height, "beside"),
    )
    best: tuple[float, Place] = (0.0, "above")
    for wide, high, place in rooms:
        k = 1.0
        for picture in flats:
            w, h = (float(side) for side in picture.pattern.blank)
            signed = picture.show.turn
            k = min(k, (wide if signed else width) / w, (high if signed else height) / h)
        best = max(best, (k, place))
    return best


@dataclass(frozen=True)
class Fit:
    """Pictures on the one scale at which each of them fits, arranged but not drawn yet."""

    scale: float
    pictures: tuple[Folded, ...]
    notes: tuple[Notes, ...]
    room: tuple[float, float]

    def drawn(self, faces: Faces) -> list[Drawing]:
        """The drawings; what is small in one of them is shown larger beside it."""
        result = []
        for picture, notes in zip(self.pictures, self.notes, strict=True):
            whole = draw_seen(picture.seen, self.scale, picture.alt, faces, notes)
            about, seen = picture.moving, picture.seen
            result.append(detailed(whole, seen, self.scale, about, self.room, faces))
        return result


def fitted(pictures: Sequence[Folded], width: float, height: float, faces: Faces) -> Fit:
    """The largest scale at which all pictures fit the room with their words."""
    k = min((_fitting(p, width * ARROWS, height * ARROWS) for p in pictures), default=1.0)
    notes: list[Notes] = []
    for _ in range(4):
        notes = [noted(picture.seen, k, faces) for picture in pictures]
        over = max((max(n.width / width, n.height / height) for n in notes), default=1.0)
        if over <= 1.0:
            break
        k /= over * 1.02
    return Fit(k, tuple(pictures), tuple(notes), (width, height))


def _fitting(picture: Folded, width: float, height: float) -> float:
    """The scale at which the figure fills the room."""
    w, h = extent(picture.seen)
    return min(width / w, height / h, 1.0)

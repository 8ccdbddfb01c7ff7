"""Signs: which marks the pictures of the steps use, for their key.

In: the stage, and the pictures as drawn. Out: the signs, and how the two sides of the paper look.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from booklet.draw.arrow import FoldArrow, TurnOver
from booklet.draw.glue import hatched
from booklet.draw.mark import Clip, Drawing
from booklet.draw.sign_key import Sign
from booklet.draw.skin import SKINS, Skin
from booklet.pages.shot import Flat, Folded, Staged


def signs_of(pictures: Iterable[Staged]) -> frozenset[Sign]:
    """What the pictures of a booklet ask for; whether a part is shown larger is seen when drawn."""
    found: set[Sign] = set()
    for picture in pictures:
        if isinstance(picture, Flat):
            found |= _flat(picture)
        elif isinstance(picture, Folded):
            found |= _folded(picture)
    return frozenset(found)


def shows_larger(drawings: Sequence[Drawing | None]) -> bool:
    """Whether a circle in one of the drawings holds a part of it enlarged."""
    marks = [mark for drawing in drawings if drawing is not None for mark in drawing.marks]
    return any(isinstance(mark, Clip) for mark in marks)


def sides_of(pictures: Iterable[Staged]) -> Mapping[str, Skin]:
    """How the first folded piece looks."""
    for picture in pictures:
        if isinstance(picture, Folded) and {"inside", "outside"} <= picture.seen.scene.skins.keys():
            return picture.seen.scene.skins
    return SKINS


def _flat(picture: Flat) -> set[Sign]:
    show = picture.show
    found: set[Sign] = set()
    if show.fold:
        found.add("crease")
    if show.glued or show.mats:
        found.add("glue")
    if show.turn:
        found.add("turn")
    return found


def _folded(picture: Folded) -> set[Sign]:
    scene = picture.seen.scene
    found: set[Sign] = {"sides"}
    for arrow in scene.arrows:
        if isinstance(arrow, FoldArrow):
            found.add("crease" if arrow.opens else arrow.head)
        elif isinstance(arrow, TurnOver):
            found.add("turn")
    for hatch in scene.hatches:
        if not hatched(hatch, picture.seen.sight, 1.0).is_empty:
            found.add("meets" if hatch.meets else "glue")
    if scene.ghosts:
        found.add("before")
    return found

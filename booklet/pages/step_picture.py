"""The pictures of the steps in print: flat while the work lies flat, folded from the first fold on.

In: the stage and the room for a picture. Out: a drawing for each step: flat diagrams, sheets spread
out in space and folded states each on a scale of their own, and what is shut on a larger one where
that is far larger.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal, TypeAlias

from booklet.draw.arrow import TurnOver
from booklet.draw.detail import detailed
from booklet.draw.diagram import LIFTED, SIGN, step_diagram
from booklet.draw.folded import extent
from booklet.draw.label import LABEL
from booklet.draw.mark import Drawing, Label
from booklet.draw.solid import Notes, draw_seen, noted
from booklet.draw.typeface import Faces
from booklet.pages.shot import Flat, Folded, Staged

Place: TypeAlias = Literal["above", "beside"]

NOTE = 4.5
"""The height in mm that words about a change of scale or of the view take under a picture."""
ALIKE = 1.12
"""Scales that differ by less than this factor look alike."""
SHRUNK = 0.7
"""Flat diagrams share a scale unless that is under this share of the one for the highest room."""
ARROWS = 0.86
"""The share of a picture's room that the figure takes at first: arrows and names need the rest."""
ROUNDS = 4
"""Scales that are tried after the first."""
SLACK = 0.99
"""Names and arrows are placed anew for each scale, and may then take a little more room."""
STEP = 1.25
"""The later pictures have a scale of their own if it is larger by this factor,"""
TINY = 30.0
"""and if one of them would be no longer than this in print mm without it;"""
MOST_STEP = 2.0
"""no scale is larger by more than this factor: what is seen has to be known again."""
WORTH = 1.02
"""A scale that is larger by less is not worth it."""


def step_pictures(
    pictures: Sequence[Staged], width: float, heights: Sequence[float], faces: Faces
) -> list[Drawing | None]:
    """One drawing for each picture, all flat ones and all folded ones on a scale of their own.

    `heights` is the room of each. Where the scale changes from one to the next, the drawing says
    so.
    """
    rooms = [height - NOTE for height in heights]
    both = zip(pictures, rooms, strict=True)
    flats = [(p, room) for p, room in both if isinstance(p, Flat)]
    sheets = _flats_by_room(flats, width)
    drawn: dict[int, Drawing] = {}
    scales: dict[int, float] = {}
    for index, picture in enumerate(pictures):
        if isinstance(picture, Flat):
            k, sign = sheets[rooms[index]]
            scales[index] = k
            drawn[index] = step_diagram(
                picture.pattern, k, picture.show, picture.known, faces, picture.alt, sign
            )
    for index, (k, drawing) in _folded(pictures, width, rooms, faces).items():
        scales[index], drawn[index] = k, drawing
    order = sorted(drawn)
    for before, index in pairwise(order):
        notes: list[str] = []
        change = scales[index] / scales[before]
        # A whole sheet in both tells its scale itself.
        spread = _spread_out(pictures[before]) and _spread_out(pictures[index])
        if not spread and not 1 / ALIKE < change < ALIKE:
            since = "from here on " if index != order[-1] else ""
            notes.append(f"{since}drawn {'larger' if change > 1 else 'smaller'}")
        notes += _seen_from(pictures[before], pictures[index])
        if notes:
            drawn[index] = _noted(drawn[index], ", ".join(notes), faces)
    return [drawn.get(index) for index in range(len(pictures))]


def _folded(
    pictures: Sequence[Staged], width: float, rooms: Sequence[float], faces: Faces
) -> dict[int, tuple[float, Drawing]]:
    """The drawings of folded pictures by number, each with its scale.

    A sheet spread out is far larger than what is folded from it: on one scale for both, the folded
    pictures would be too small to follow.
    """

    def fits(group: Mapping[int, Folded], most: float) -> list[Fit]:
        heights = [rooms[index] for index in group]
        return in_runs(list(group.values()), width, heights, faces, most)

    both: tuple[dict[int, Folded], dict[int, Folded]] = ({}, {})
    for index, picture in enumerate(pictures):
        if isinstance(picture, Folded):
            both[picture.flat][index] = picture
    folded, spread = both
    runs = fits(folded, 1.0)
    # Nor is the sheet drawn larger first: it would become smaller and then larger again.
    first = fits(spread, runs[0].scale)
    if spread and folded and runs[0].scale > first[0].scale * MOST_STEP:
        runs = fits(folded, first[0].scale * MOST_STEP)
    found: dict[int, tuple[float, Drawing]] = {}
    for group, made in ((folded, runs), (spread, first)):
        done = [(fit.scale, drawing) for fit in made for drawing in fit.drawn(faces)]
        found |= dict(zip(group, done, strict=True))
    return found


def _seen_from(before: Staged, now: Staged) -> list[str]:
    """Words where the reader stands behind the work in one of two pictures and not in the other.

    A sign for turning over says it where the work has been turned.
    """
    if not isinstance(before, Folded) or not isinstance(now, Folded):
        return []
    one, other = ({face.id for face in each.seen.scene.faces} for each in (before, now))
    if not one & other or any(isinstance(arrow, TurnOver) for arrow in now.seen.scene.arrows):
        return []
    sides = [each.seen.sight.view.toward[1] > 0 for each in (before, now)]
    if sides[0] == sides[1]:
        return []
    return ["seen from behind" if sides[1] else "seen from the front again"]


def _spread_out(picture: Staged) -> bool:
    return isinstance(picture, Flat) or (isinstance(picture, Folded) and picture.flat)


def _noted(drawing: Drawing, words: str, faces: Faces) -> Drawing:
    """The drawing with a line of words under its middle: a change of scale or of the view."""
    x0, y0, x1, y1 = drawing.box
    half, middle = faces.width(words, LABEL) / 2, (x0 + x1) / 2
    label = Label((middle, y0 - NOTE + 0.8), words, LABEL.name)
    box = (min(x0, middle - half), y0 - NOTE, max(x1, middle + half), y1)
    told = f"{words[0].upper()}{words[1:]}."
    return Drawing((*drawing.marks, label), box, f"{drawing.alt} {told}")


def _flats_by_room(
    flats: Sequence[tuple[Flat, float]], width: float
) -> dict[float, tuple[float, Place]]:
    """The scale of flat diagrams, by the height of their room: one for all of them.

    Where some rooms are so low that all would be much too small for it, those have their own.
    """
    rooms = {room for _, room in flats}
    whole = _flat_scales(flats, width)
    high = max(rooms, default=0.0)
    if whole[0] >= SHRUNK * _flat_scales([(p, high) for p, _ in flats], width)[0]:
        return dict.fromkeys(rooms, whole)
    low = [(p, room) for p, room in flats if room < SHRUNK * high]
    rest = _flat_scales([one for one in flats if one not in low], width)
    small = _flat_scales(low, width)
    return {room: small if room < SHRUNK * high else rest for room in rooms}


def _flat_scales(flats: Sequence[tuple[Flat, float]], width: float) -> tuple[float, Place]:
    """One scale for every flat diagram in its height: the largest fills its cell, sign and all.

    The sign stands above or beside all of them, where the scale is larger for it.
    """
    signs: tuple[tuple[float, float, Place], ...] = (
        (0.0, SIGN[1], "above"),
        (SIGN[0], 0.0, "beside"),
    )
    best: tuple[float, Place] = (0.0, "above")
    for aside, over, place in signs:
        k = 1.0
        for picture, height in flats:
            w, h = (float(side) for side in picture.pattern.blank)
            signed = picture.show.turn
            lifted = LIFTED if picture.show.mats else 0.0
            k = min(k, (width - aside * signed - lifted) / w)
            k = min(k, (height - over * signed - lifted) / h)
        best = max(best, (k, place))
    return best


@dataclass(frozen=True)
class Fit:
    """Pictures on the one scale at which each of them fits, arranged but not drawn yet."""

    scale: float
    pictures: tuple[Folded, ...]
    notes: tuple[Notes, ...]
    rooms: tuple[tuple[float, float], ...]

    def drawn(self, faces: Faces) -> list[Drawing]:
        """The drawings; what is small in one of them is shown larger beside it."""
        result = []
        for picture, notes, room in zip(self.pictures, self.notes, self.rooms, strict=True):
            whole = draw_seen(picture.seen, self.scale, picture.alt, faces, notes)
            about, seen = picture.moving, picture.seen
            result.append(detailed(whole, seen, self.scale, about, room, faces))
        return result


Known: TypeAlias = dict[tuple[int, float], Notes]
"""What was noted of a picture (by its place in memory) at a scale: by far the longest work here."""


def _notes(picture: Folded, k: float, faces: Faces, known: Known) -> Notes:
    key = id(picture.seen), round(k, 9)
    if key not in known:
        known[key] = noted(picture.seen, k, faces)
    return known[key]


def fitted(
    pictures: Sequence[Folded],
    width: float,
    height: float | Sequence[float],
    faces: Faces,
    most: float = 1.0,
    known: Known | None = None,
) -> Fit:
    """The largest scale, up to `most`, at which all pictures fit the room with their words.

    `height` is that of every room, or of each. Notes that are made are `known` from then on.
    """
    known = {} if known is None else known
    heights = [height] * len(pictures) if isinstance(height, (int, float)) else height
    rooms = tuple((width, high) for high in heights)
    both = list(zip(pictures, rooms, strict=True))
    k = min((_fitting(p, w * ARROWS, h * ARROWS) for p, (w, h) in both), default=most)
    k = min(k, most)
    notes = [_notes(picture, k, faces, known) for picture in pictures]
    for tried in range(ROUNDS):
        over = max(
            (max(n.width / w, n.height / h) for n, (w, h) in zip(notes, rooms, strict=True)),
            default=1,
        )
        full = min(
            (_full(p, n, room, k) for (p, room), n in zip(both, notes, strict=True)), default=most
        )
        if over <= 1.0 and (tried or min(full, most) < k * WORTH):
            break
        k = min(full, most, k / over) * SLACK if over > 1.0 else min(full * SLACK, most)
        notes = [_notes(picture, k, faces, known) for picture in pictures]
    return Fit(k, tuple(pictures), tuple(notes), rooms)


def in_runs(
    pictures: Sequence[Folded],
    width: float,
    heights: Sequence[float],
    faces: Faces,
    most: float,
) -> list[Fit]:
    """All pictures on one scale, or the later ones on a larger one where that is far larger.

    A piece is widest while it is open: on the scale of those pictures what is shut would be small.
    """
    known: Known = {}
    whole = fitted(pictures, width, heights, faces, most, known)

    def tiny(picture: Folded) -> bool:
        return max(extent(picture.seen)) * whole.scale < TINY

    each = zip(whole.pictures, whole.notes, whole.rooms, strict=True)
    alone = [min(_full(p, n, room, whole.scale), most) for p, n, room in each]
    best, at = 0.0, 0
    for k in range(1, len(alone)):
        early, late = min(alone[:k]), min(alone[k:])
        gain = (len(alone) - k) * math.log(late / early)
        if late >= early * STEP and gain > best and any(map(tiny, pictures[k:])):
            best, at = gain, k
    if not at:
        return [whole]
    first = fitted(pictures[:at], width, heights[:at], faces, most, known)
    most = min(most, first.scale * MOST_STEP)
    return [first, fitted(pictures[at:], width, heights[at:], faces, most, known)]


def _fitting(picture: Folded, width: float, height: float) -> float:
    """The scale at which the figure fills the room."""
    w, h = extent(picture.seen)
    return min(width / w, height / h, 1.0)


def _full(picture: Folded, notes: Notes, room: tuple[float, float], k: float) -> float:
    """The scale at which the figure fills what its words and arrows leave of the room.

    They have the same size on every scale, and `notes` tell for scale k what they take.
    """
    sides = zip(extent(picture.seen), (notes.width, notes.height), room, strict=True)
    return min(max(k / 2, (free - (taken - side * k)) / side) for side, taken, free in sides)

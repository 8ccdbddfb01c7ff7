"""The best view: from where a reader sees what a step changes.

In: faces and the ids of those that the picture is about. Out: one of a few named viewpoints, so
that the pictures of a booklet look alike, and what is seen from there.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from booklet.fold.face import Face, dot
from booklet.fold.hidden import Glance
from booklet.fold.view import View, placed

VIEWPOINTS: tuple[View, ...] = (
    placed(-25, 40),
    placed(25, 40),
    placed(-25, 58),
    placed(25, 58),
    placed(-45, 35),
    placed(45, 35),
    placed(-155, 40),
    placed(155, 40),
    placed(-25, -35),
    placed(25, -35),
)
"""Tried in this order: the reader's place at the table first, from behind and below last."""

HABIT = 0.06
"""What a viewpoint must win by for each place that it stands behind another."""
USUAL = 6
ODD = 0.3
"""From behind and below left and right change places, or the table is in the way: viewpoints from
the seventh on must win by this much more."""
STAY = 0.2
"""What a change of viewpoint between two pictures must win by: a reader has to find their way
again each time. Both are shares of the area in question, tuned by eye."""
ENOUGH = 0.5
"""The share of a face's true area that shows it well; seen more from the front it gains no more.
Without this the reader would climb ever higher over anything flat."""
REST = 0.35
"""How much the rest of the figure counts beside what changes."""
NOISE = HABIT / 1000
"""Far more than sums of shares err by in floats, far less than any of the above."""


def best_view(
    faces: Sequence[Face],
    changed: Collection[str] = (),
    before: View | None = None,
    viewpoints: Sequence[View] = VIEWPOINTS,
) -> View:
    """The viewpoint of `best_glance`."""
    return best_glance(faces, changed, before, viewpoints).view


def best_glance(
    faces: Sequence[Face],
    changed: Collection[str] = (),
    before: View | None = None,
    viewpoints: Sequence[View] = VIEWPOINTS,
    sides: Mapping[str, str] = MappingProxyType({}),
) -> Glance:
    """What is seen from the viewpoint that shows most of the `changed` faces (all, if none named).

    Each face counts by the share of its true area that is visible in the picture, foreshortened as
    it appears there, up to `ENOUGH`; large faces count no more than ten times the smallest. A face
    named in `sides` ("front" or "back") counts only where that side is seen.
    `before` is the view of the picture before, kept if it is nearly as good. Raises ValueError
    without viewpoints.
    """
    if not viewpoints:
        raise ValueError("there is no viewpoint to choose from")
    gains = [
        (STAY if view == before else 0.0) - HABIT * place - (ODD if place >= USUAL else 0.0)
        for place, view in enumerate(viewpoints)
    ]
    parts = _parts(faces, changed)
    normals = [face.normal for face in faces]
    wanted = [{"front": 1.0, "back": -1.0}.get(sides.get(face.id, ""), 0.0) for face in faces]
    # What hides a face only takes away, so most viewpoints lose before that is worked out.
    hopes: list[float] = []
    facings: list[list[float]] = []
    for view, gain in zip(viewpoints, gains, strict=True):
        facing = [dot(normal, view.toward) for normal in normals]
        facings.append([0.0 if f * w < 0 else abs(f) for f, w in zip(facing, wanted, strict=True)])
        free = [part.size * share for part, share in zip(parts, facings[-1], strict=True)]
        hopes.append(_rating(parts, free) + gain)
    best: tuple[float, int] = (-math.inf, 0)
    chosen: Glance | None = None
    for place in sorted(range(len(viewpoints)), key=lambda place: -hopes[place]):
        if hopes[place] + NOISE < best[0]:
            break
        glance = Glance(faces, viewpoints[place])
        areas = _visible(glance, parts, facings[place], hopes[place] + NOISE - best[0])
        if areas is None:
            continue
        rating = (_rating(parts, areas) + gains[place], -place)
        if chosen is None or rating > best:
            best, chosen = rating, glance
    assert chosen is not None
    return chosen


def _visible(
    glance: Glance, parts: Sequence[_Part], facing: Sequence[float], spare: float
) -> list[float] | None:
    """The visible areas (mm²) of the faces; None as soon as what hides them costs `spare`.

    Faces that count most come first: most views have lost before all of them are worked out.
    """
    whole = {about: sum(p.weight for p in parts if p.about == about) for about in (True, False)}
    worth = [p.weight / (whole[p.about] or 1.0) * (1.0 if p.about else REST) for p in parts]
    areas = [0.0 for _ in parts]
    for index in sorted(range(len(parts)), key=lambda index: -worth[index] * facing[index]):
        if not facing[index]:
            break
        areas[index] = glance.area(index)
        part = parts[index]
        if part.size > 0:
            lost = _share(part, part.size * facing[index]) - _share(part, areas[index])
            spare -= worth[index] * lost
        if spare < 0:
            return None
    return areas


@dataclass(frozen=True)
class _Part:
    """How a face counts: its true area in mm², its weight, and whether the picture is about it."""

    size: float
    weight: float
    about: bool


def _parts(faces: Sequence[Face], changed: Collection[str]) -> list[_Part]:
    sizes = [face.area for face in faces]
    least = min((size for size in sizes if size > 0), default=1.0)
    return [
        _Part(size, min(size / least, 10.0), not changed or face.id in changed)
        for face, size in zip(faces, sizes, strict=True)
    ]


def _share(part: _Part, area: float) -> float:
    """How well an area in the picture (mm²) shows a face, 0 to 1."""
    return min(1.0, area / (ENOUGH * part.size))


def _rating(parts: Sequence[_Part], areas: Sequence[float]) -> float:
    """The weighted shares of the faces that their areas in the picture (mm²) amount to."""
    total = {True: 0.0, False: 0.0}
    whole = {True: 0.0, False: 0.0}
    for part, area in zip(parts, areas, strict=True):
        if part.size > 0:
            total[part.about] += part.weight * _share(part, area)
            whole[part.about] += part.weight
    shares = {about: total[about] / whole[about] if whole[about] else 0.0 for about in total}
    return shares[True] + REST * shares[False]

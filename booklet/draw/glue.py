"""Glue in pictures of folded paper: on which faces hatching says where adhesive is, or will meet.

In: glue areas and what is seen of their faces. Out: their visible parts in print mm and the style
of their lines.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from booklet.draw.panel_name import on_paper
from booklet.draw.skin import Skin
from booklet.fold.face import Face, Loop
from booklet.fold.hidden import Sight


@dataclass(frozen=True)
class Hatch:
    """A glue area on a face: `loop` in space, or the whole face; shown where `side` is seen.

    One that `meets` says where adhesive will lie that is on something else.
    """

    face: str
    loop: Loop | None = None
    side: str = "front"
    meets: bool = False


def hatched(item: Hatch, sight: Sight, scale: float) -> BaseGeometry:
    """The visible part of a glue area, in print mm."""
    seen = sight.of(item.face)
    if seen is None or seen.side != item.side or seen.region.is_empty:
        return Polygon()
    if item.loop is None:
        return on_paper(seen.region, scale)
    area = Polygon(sight.view.outline(item.loop)).buffer(0)
    return on_paper(seen.region.intersection(area), scale)


def hatch_style(item: Hatch, faces: Sequence[Face], skins: Mapping[str, Skin]) -> str:
    """Grey lines on light paper, black ones where grey would sink into a dark side."""
    if item.meets:
        return "meets"
    face = next(face for face in faces if face.id == item.face)
    skin = skins.get(face.front if item.side == "front" else face.back, skins["inside"])
    return "hatch" if skin.light > 0.9 else "hair"

"""Drill marks: where the holes of a binder go, drawn where nothing else stands.

In: a paper. Out: the middles of its holes in mm and one element that marks them.

A4: ISO 838 has two holes 80 mm apart, 12 mm from the edge, symmetric about the sheet's middle,
6 mm wide; binders of four rings have two more 80 mm beyond. Letter: three holes 4.25 in apart
(108 mm), about half an inch from the edge; 5/16 in is the usual width (width and edge from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from booklet.draw.mark import Drawing, Mark, Stroke
from booklet.flat.arcs import circle
from booklet.flat.path import segment
from booklet.pages.grid import Paper
from booklet.pages.page import Element, Picture, Role


@dataclass(frozen=True)
class Holes:
    """Holes along the left edge: distance from it, width, and heights of those of every binder
    and of those that only some have, as distances from the middle of the sheet; mm."""

    edge: float
    width: float
    always: tuple[float, ...]
    some: tuple[float, ...] = ()


HOLES: Final = {
    "a4": Holes(12.0, 6.0, (-40.0, 40.0), (-120.0, 120.0)),
    "letter": Holes(12.7, 7.9375, (-107.95, 0.0, 107.95)),
}
CROSS: Final = 2.0
"""Half the length of the strokes of a mark, in mm."""


def drill_marks(paper: Paper) -> Element:
    """A cross in every hole, with a circle where every binder of that paper has one."""
    holes = HOLES[paper.name]
    marks: list[Mark] = []
    for away in (*holes.always, *holes.some):
        x, y = holes.edge, paper.height / 2 + away
        marks.append(Stroke(segment((x - CROSS, y), (x + CROSS, y)), "hair", "holes"))
        marks.append(Stroke(segment((x, y - CROSS), (x, y + CROSS)), "hair", "holes"))
        if away in holes.always:
            marks.append(Stroke(circle((x, y), holes.width / 2), "hair", "holes"))
    drawing = Drawing(tuple(marks), (0.0, 0.0, paper.width, paper.height), "")
    return Element(Role("decoration"), (Picture(0.0, 0.0, drawing),))

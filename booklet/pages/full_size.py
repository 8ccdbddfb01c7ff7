"""What every full-size page shares: the free field, the scale checks, the line key, the advice.

In: a paper and the faces. Out: a `Field` in mm and elements that stand at the same place on each
page with something at 1:1.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from typing import Final

from booklet.draw.label import LABEL
from booklet.draw.mark import Clip, Drawing, Label, Mark, Stroke
from booklet.draw.scale_check import scale_check
from booklet.flat.path import segment
from booklet.pages.grid import SAFE, Paper
from booklet.pages.page import Element, Picture, Role

STRIP = 9.0
"""Width of the strip that a scale check stands in, in mm."""
FOOT = 6.0
"""Height of the footer line on a template page, in mm."""
LINES: Final = (
    ("cut", "cut", "solid lines are cut"),
    ("valley", "score, fold toward you", "dashed lines fold toward you"),
    ("mountain", "score, fold away from you", "dash-dot lines fold away from you"),
)
"""The lines of a template: style, words of the key, and words for those who cannot see it."""
HATCH: Final = "hatch"
"""The style of the lines across a tab that takes tape or glue."""
ROW = 5.0
"""Height of a row of the key, in mm."""
ADVICE = (
    "Print at 100 % (“actual size”), never “fit to page”. "
    "Measure the scale check on both edges before you cut."
)


def advice(paper: Paper) -> str:
    """How to print a full-size page, and for which printer it is drawn."""
    note = correction(paper)
    return f"{ADVICE} {note}" if note else ADVICE


def correction(paper: Paper) -> str:
    """What a page says that makes up for its printer; nothing where none is known."""
    if paper.measured == 100:
        return ""
    return (
        f"Drawn at {10000 / paper.measured:.1f} % for the printer on which the 100 mm check "
        f"measured {paper.measured:.1f} mm."
    )


@dataclass(frozen=True)
class Field:
    """The part of a template page that is free for the drawing (mm from the page's corner)."""

    x: float
    y: float
    width: float
    height: float


def field(paper: Paper) -> Field:
    """All that printers and the scale checks leave."""
    x, y = paper.bind + STRIP + 1.0, SAFE + FOOT + STRIP
    return Field(x, y, paper.width - paper.edge - x, paper.height - SAFE - y)


def styles_in(marks: Iterable[Mark]) -> set[str]:
    """The line styles that the marks have."""
    found: set[str] = set()
    for mark in marks:
        if isinstance(mark, Stroke):
            found.add(mark.style)
        elif isinstance(mark, Clip):
            found |= styles_in(mark.marks)
    return found


def line_key(styles: Collection[str]) -> Drawing:
    """What each line of a drawing with these styles means, in a drawing of its own."""
    lines = [line for line in LINES if line[0] in styles]
    told = [seen for _, _, seen in lines]
    marks: list[Mark] = []
    y = ROW * (len(lines) + (HATCH in styles))
    high = y + 2.0
    for style, words, _ in lines:
        marks.append(Stroke(segment((0, y), (14, y)), style, "key"))
        marks.append(Label((17, y - 1.0), words, LABEL.name, "start"))
        y -= ROW
    if HATCH in styles:
        for k in range(5):
            x = k * 2.6
            marks.append(Stroke(segment((x, y - 1.6), (x + 3.2, y + 1.6)), HATCH, "key"))
        marks.append(Label((17, y - 1.0), "tape or glue", LABEL.name, "start"))
        told.append("hatched areas take tape or glue")
    return Drawing(tuple(marks), (0.0, 0.0, 50.0, high), f"Key: {'; '.join(told)}.")


def checks(paper: Paper) -> list[Element]:
    """A scale check along the lower and the left edge of the page."""
    level, upright = scale_check(), scale_check(upright=True)
    left = paper.bind + STRIP / 2
    bottom = SAFE + FOOT + STRIP / 2
    x0, y0 = left + STRIP / 2 + 6, bottom + STRIP / 2 + 6
    return [
        Element(Role("figure", alt=level.alt), (Picture(x0, bottom + level.box[1], level),)),
        Element(Role("figure", alt=upright.alt), (Picture(left + upright.box[0], y0, upright),)),
    ]

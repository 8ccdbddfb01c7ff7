"""Dimension chains outside an outline.

In: exact widths, a printer. Units are left out: a key says them once. Out: a line with ticks;
the project's unit on the outer side of it and
the second unit on the inner side.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from booklet.draw.label import LABEL
from booklet.draw.mark import Drawing, Label, Mark, Stroke, turned
from booklet.draw.typeface import Faces
from booklet.flat.path import segment
from booklet.measure.rounding import Printer

TICK = 1.4


def chain(parts: Sequence[Fraction], printer: Printer, faces: Faces, scale: float = 1.0) -> Drawing:
    """A level chain starting at the origin; turn it for a chain along the height.

    The second unit's parts add up to the rounded whole. Where a part is too narrow for its words
    they step outward (every other one), so that neighbours never touch.
    """
    marks: list[Mark] = []
    total = float(sum(parts, Fraction(0))) * scale
    marks.append(Stroke(segment((0, 0), (total, 0)), "dimension", "labels"))
    texts = printer.parts(list(parts))
    x = 0.0
    raised = False
    marks.append(_tick(0.0))
    for part, words in zip(parts, texts, strict=True):
        first, second = (word.rpartition(" ")[0] for word in words)
        width = float(part) * scale
        middle = x + width / 2
        x += width
        marks.append(_tick(x))
        tight = max(faces.width(word, LABEL) for word in (first, second)) + 1.2 > width
        raised = tight and not raised
        lift = 3.2 if raised else 0.0
        marks.append(Label((middle, 1.3 + lift), first))
        marks.append(Label((middle, -3.4 - lift), second))
    high = 4.5 + 3.2
    return Drawing(tuple(marks), (0.0, -high, total, high), "Dimensions")


def upright_chain(
    parts: Sequence[Fraction], printer: Printer, faces: Faces, scale: float = 1.0
) -> Drawing:
    """The same along the height, read from the right side, parts counted from the bottom."""
    return turned(chain(parts, printer, faces, scale), 90)


def _tick(x: float) -> Stroke:
    return Stroke(segment((x, -TICK), (x, TICK)), "dimension", "labels")

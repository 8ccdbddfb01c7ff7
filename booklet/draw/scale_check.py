"""The scale check: a line with inches on one side and centimetres on the other.

In: a direction. Out: a drawing of exact length; its origin is the zero of both scales. What a
reader
measures is 100 mm or 4 in (the inch is 25.4 mm exactly: NIST SP 811).
"""

from __future__ import annotations

from booklet.draw.mark import Drawing, Label, Mark, Stroke, turned
from booklet.flat.path import segment

INCHES = 4
CENTIMETRES = 10
LENGTH = INCHES * 25.4


def scale_check(upright: bool = False) -> Drawing:
    """A bar of 4 in and 100 mm: inch ticks above the line, centimetre ticks below it.

    Upright, it runs from the bottom to the top of the page with the inches on the left.
    """
    marks: list[Mark] = [Stroke(segment((0, 0), (LENGTH, 0)), "hair", "scale")]
    for quarter in range(INCHES * 4 + 1):
        tall = 2.4 if quarter % 4 == 0 else 1.0
        marks.append(_tick(quarter * 6.35, tall))
    for millimetre in range(0, CENTIMETRES * 10 + 1, 5):
        tall = 2.4 if millimetre % 10 == 0 else 1.0
        marks.append(_tick(float(millimetre), -tall))
    for inch in range(1, INCHES + 1):
        text = f"{inch} in" if inch == INCHES else str(inch)
        marks.append(Label((inch * 25.4 - 1.0, 1.2), text, "label", "end"))
    for centimetre in range(1, CENTIMETRES + 1):
        if centimetre in (5, 10):
            text = "10 cm" if centimetre == 10 else "5"
            marks.append(Label((centimetre * 10 - 1.0, -3.6), text, "label", "end"))
    alt = "Scale check: this line measures 4 inches above and 10 centimetres below."
    drawing = Drawing(tuple(marks), (0.0, -4.0, LENGTH, 4.0), alt)
    return turned(drawing, 90) if upright else drawing


def _tick(at: float, tall: float) -> Stroke:
    return Stroke(segment((at, 0), (at, tall)), "hair", "scale")

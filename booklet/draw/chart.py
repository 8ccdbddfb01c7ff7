"""The picture of the score chart: the flat piece with a letter on each score line.

In: a pattern and its chart. Out: a drawing in page mm.
"""

from __future__ import annotations

from booklet.draw.flat_marks import Frame, cut_marks, panel_path, score_marks
from booklet.draw.label import LABEL
from booklet.draw.mark import Area, Drawing, Label, Mark, Stroke
from booklet.draw.typeface import Faces
from booklet.flat.chart import ScoreChart, line_letters
from booklet.flat.path import polyline, segment
from booklet.flat.pattern import Pattern

EDGE = 6.0
"""Room for the letters beside the blank, in mm."""


def chart_picture(
    pattern: Pattern, chart: ScoreChart, width: float, height: float, faces: Faces
) -> Drawing:
    """The blank with its scores, letters above for those from the left and beside for the top."""
    w, h = (float(side) for side in pattern.blank)
    k = min((width - EDGE) / w, (height - EDGE) / h, 1.0)
    frame = Frame(k, EDGE, 0.0)
    blank = polyline(
        [(EDGE, 0), (EDGE + w * k, 0), (EDGE + w * k, h * k), (EDGE, h * k)], closed=True
    )
    marks: list[Mark] = [Stroke(blank, "ghost")]
    marks += [Area(frame.path(panel_path(panel)), "paper") for panel in pattern.panels]
    marks += score_marks(pattern.scores, frame)
    marks += cut_marks(pattern, frame, "outline")
    letters = line_letters()
    last = -10.0
    for row in chart.from_left:
        x = EDGE + float(row.position) * k
        letter = next(letters)
        lift = 3.2 if x - last < 2.6 else 0.0
        last = x if not lift else last
        marks.append(Stroke(segment((x, h * k + 0.6), (x, h * k + 2.0)), "dimension"))
        marks.append(Label((x, h * k + 2.6 + lift), letter, LABEL.name))
    last = 1e9
    for row in chart.from_top:
        y = (h - float(row.position)) * k
        letter = next(letters)
        shift = 3.0 if last - y < 3.0 else 0.0
        last = y if not shift else last
        marks.append(Stroke(segment((EDGE - 2.0, y), (EDGE - 0.6, y)), "dimension"))
        marks.append(Label((EDGE - 2.6 - shift, y - 1.0), letter, LABEL.name, "end"))
    alt = f"{pattern.name} flat, a letter on each score line."
    return Drawing(tuple(marks), (0.0, 0.0, EDGE + w * k, h * k + EDGE), alt)

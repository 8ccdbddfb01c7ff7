"""The template: the flat pattern at full size.

In: a pattern, its joins, a printer. Out: a drawing at exactly 1:1, its origin at the blank's
lower left
corner; cuts, scores, glue areas and labels on layers of their own.
"""

from __future__ import annotations

from collections.abc import Collection

from shapely.affinity import translate
from shapely.geometry import Point, Polygon

from booklet.draw.dimension import chain, upright_chain
from booklet.draw.flat_marks import Frame, cut_marks, polygon_path, score_marks
from booklet.draw.hatch import hatch
from booklet.draw.label import fitted, words_area
from booklet.draw.mark import Clip, Drawing, Label, Mark, Stroke, move
from booklet.draw.typeface import Faces
from booklet.flat.chart import score_chart
from booklet.flat.own_label import own_labels
from booklet.flat.path import rectangle
from booklet.flat.pattern import MatLayer, Panel, Pattern
from booklet.measure.rounding import Printer

ROOM = 9.0
"""Room for a dimension chain beside the outline, in mm."""
MOSTLY = 0.75
"""A panel that fills less than this share of its box has no width and height to tell."""
EDGE = 3.0
"""How far inside a tile a short word's middle must lie to be read whole, in mm."""


def template(
    pattern: Pattern,
    glued: Collection[tuple[str, str]],
    printer: Printer,
    faces: Faces,
    labelled: bool = True,
    measured: bool = True,
) -> Drawing:
    """The whole template with its dimension chains; its box includes them.

    `glued` names the tabs (piece, panel) that take glue or tape: they are hatched. A template
    that is cut into tiles leaves its labels to `panel_labels`, tile by tile, and the hatching round
    them to `glue_marks`. Without being `measured` it has no chains, and its box is the blank.
    """
    width, height = (float(side) for side in pattern.blank)
    frame = Frame()
    marks: list[Mark] = []
    tabs = {name for piece, name in glued if piece == pattern.id}
    if labelled:
        marks += glue_marks(pattern, tabs, printer, faces)
    marks += score_marks(pattern.scores, frame)
    marks += cut_marks(pattern, frame)
    if labelled:
        marks += panel_labels(pattern, tabs, printer, faces)
    alt = template_alt(pattern, printer)
    if not measured:
        return Drawing(tuple(marks), (0.0, 0.0, width, height), alt)
    across = move(chain(pattern.columns, printer, faces), 0, height + ROOM / 2)
    along = move(upright_chain(tuple(reversed(pattern.rows)), printer, faces), -ROOM / 2, 0)
    marks += [*across.marks, *along.marks]
    return Drawing(tuple(marks), (-ROOM, -0.5, width + 0.5, height + ROOM), alt)


def glue_marks(
    pattern: Pattern,
    tabs: Collection[str],
    printer: Printer,
    faces: Faces,
    seen: Polygon | None = None,
) -> list[Mark]:
    """The hatching of glued tabs, which leaves the words free that `panel_labels` puts there."""
    marks: list[Mark] = []
    labels = panel_labels(pattern, tabs, printer, faces, seen)
    words = words_area([mark for mark in labels if isinstance(mark, Label)], faces)
    for panel in pattern.panels:
        if panel.name in tabs:
            lines = hatch(panel.shape.buffer(-0.8).difference(words))
            if lines.commands:
                marks.append(Stroke(lines, "hatch", "glue"))
    return marks


def panel_labels(
    pattern: Pattern,
    tabs: Collection[str],
    printer: Printer,
    faces: Faces,
    seen: Polygon | None = None,
) -> list[Mark]:
    """Each panel's name and size in its middle, or in the middle of what is `seen` of it."""
    marks: list[Mark] = []
    names = own_labels(pattern)
    for panel in pattern.panels:
        area = panel.shape if seen is None else panel.shape.intersection(seen)
        if isinstance(area, Polygon) and not area.is_empty:
            lines = _label_lines(panel, names[panel.name], printer, panel.name in tabs)
            marks += [mark for mark in fitted(lines, area, faces) if _kept(mark, seen)]
    return marks


def _kept(label: Label, seen: Polygon | None) -> bool:
    """Whether a word's middle lies so far inside what is seen that it can be read whole."""
    return seen is None or seen.buffer(-EDGE).covers(Point(label.at))


def _label_lines(panel: Panel, name: str, printer: Printer, is_tab: bool) -> list[str]:
    """A glued tab says so, any other panel its size."""
    if is_tab:
        return [name if panel.label == "tab" else f"{name} (glue)"]
    wide, tall = panel.size
    if Polygon(panel.shape.exterior).area < MOSTLY * float(wide * tall):
        return [name]
    return [name, printer.size(panel.size)]


def template_alt(pattern: Pattern, printer: Printer) -> str:
    """What the template shows, in words: size, what to cut and what to score."""
    chart = score_chart(pattern)
    left = ", ".join(printer.first(row.position) for row in chart.from_left)
    top = ", ".join(printer.first(row.position) for row in chart.from_top)
    words = f"Full-size template of {pattern.name}, {printer.size(pattern.blank)}. "
    words += "Cut along the solid lines. "
    words += f"Score from the left at {left}. " if left else ""
    words += f"Score from the top at {top}." if top else ""
    return words.strip()


def mat_template(
    mat: MatLayer, printer: Printer, faces: Faces, *, labelled: bool = True
) -> Drawing:
    """A mat at full size, its lower left corner at the origin."""
    shape = _cornered(mat)
    x1, y1 = shape.bounds[2:]
    marks: list[Mark] = [Stroke(polygon_path(shape), "cut", "cut")]
    if labelled:
        marks += mat_labels(mat, printer, faces)
    alt = f"Full-size template of the mat {mat.name}, {printer.size(mat.size)}."
    return Drawing(tuple(marks), (0.0, 0.0, x1, y1), alt)


def mat_labels(
    mat: MatLayer, printer: Printer, faces: Faces, seen: Polygon | None = None
) -> list[Mark]:
    """A mat's name, size and count in its middle, or in the middle of what is `seen` of it."""
    lines = mat_words(mat, printer)
    shape = _cornered(mat)
    area = shape if seen is None else shape.intersection(seen)
    if not isinstance(area, Polygon) or area.is_empty:
        return []
    return list(fitted(lines, area, faces))


def mat_words(mat: MatLayer, printer: Printer) -> list[str]:
    """A mat's name and size, and how many are cut where that is more than one."""
    counted = [f"cut {mat.count}"] if mat.count > 1 else []
    return [mat.name, printer.size(mat.size), *counted]


def _cornered(mat: MatLayer) -> Polygon:
    x0, y0, _, _ = mat.shape.bounds
    return translate(mat.shape, -x0, -y0)


def window(drawing: Drawing, box: tuple[float, float, float, float]) -> Drawing:
    """The part of a drawing inside `box`: a tile of it. Words keep wholly to the tile or go."""
    x0, y0, x1, y1 = box

    def inside(mark: Mark) -> bool:
        if not isinstance(mark, Label):
            return True
        x, y = mark.at
        return x0 + EDGE <= x <= x1 - EDGE and y0 + EDGE <= y <= y1 - EDGE

    marks = tuple(mark for mark in drawing.marks if inside(mark))
    return Drawing((Clip(rectangle(x0, y0, x1 - x0, y1 - y0), marks),), box, drawing.alt)

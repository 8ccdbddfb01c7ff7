"""Template pages: full size, whole or in tiles.

In: a model. Out: pages with the template at exactly 1:1, a scale check on both axes, the line key
and the sentence that asks to print at 100 %. What fits no page, template or mat, is tiled.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace

from shapely.geometry import Polygon

from booklet.draw.flat_marks import Frame, cut_marks
from booklet.draw.label import beneath
from booklet.draw.mark import SIDEWAYS, Drawing, Label, Mark, Stroke, move, turned
from booklet.draw.template import (
    glue_marks,
    mat_labels,
    mat_template,
    mat_words,
    panel_labels,
    template,
)
from booklet.draw.typeface import Faces
from booklet.flat.pattern import MatLayer, Pattern
from booklet.pages import type as scale
from booklet.pages.flow import Composer, clipped, leading, wrap
from booklet.pages.full_size import Field, advice, checks, correction, field, line_key, styles_in
from booklet.pages.grid import Paper, corrected
from booklet.pages.page import Element, Page, Picture, Role
from booklet.pages.sizes import separate
from booklet.pages.tiles import Large, tile_pages
from booklet.stages import Model

SIDE = 52.0
"""Width of the words beside a template, in mm."""
HEAD = 30.0
"""Height of the words above a template, in mm."""
LINE = 9.0
"""Height of one line of words, where a template leaves no more."""


def template_pages(model: Model, paper: Paper, faces: Faces) -> list[Page]:
    """The template of every piece, then the mats; size by size where they differ."""
    frame = corrected(paper)
    pages = (page for one in separate(model) for page in _of_one_size(one, frame, faces))
    return [replace(page, zoom=frame.zoom) for page in pages]


def _of_one_size(model: Model, paper: Paper, faces: Faces) -> list[Page]:
    glued = {join.tab for pattern in model.patterns for join in pattern.joins}
    pages: list[Page] = []
    for pattern in model.patterns:
        drawing = template(pattern, glued, model.printer, faces)
        drawing = move(drawing, -drawing.box[0], -drawing.box[1])
        title = f"Template: {pattern.name.lower()}"
        if pattern.count > 1:
            title += f" (cut {pattern.count})"
        whole = _whole(title, drawing, model, paper, faces)
        pages += whole or tile_pages(title, _large(pattern, glued, model, faces), paper, faces)
    if model.mats:
        pages += _mats(model, paper, faces)
    return pages


def _whole(
    title: str, drawing: Drawing, model: Model, paper: Paper, faces: Faces
) -> list[Page] | None:
    free = field(paper)
    for shown in (drawing, turned(drawing, SIDEWAYS)):
        shown = move(shown, -shown.box[0], -shown.box[1])
        w, h = shown.box[2], shown.box[3]
        words: Field | None = None
        if w + SIDE <= free.width and h <= free.height:
            at = free.x, free.y + free.height - h
            words = Field(free.x + free.width - SIDE + 4, free.y, SIDE - 4, free.height)
        elif w <= free.width and h + HEAD <= free.height:
            at = free.x + (free.width - w) / 2, free.y + (free.height - HEAD - h) / 2
            words = Field(free.x, free.y + free.height - HEAD, free.width, HEAD)
        elif w <= free.width and h + LINE <= free.height:
            at = free.x + (free.width - w) / 2, free.y + (free.height - LINE - h) / 2
            return [_in_a_line(title, Picture(*at, shown, layered=True), paper, faces)]
        if words is not None:
            role = Role("figure", alt=shown.alt)
            elements = [Element(role, (Picture(at[0], at[1], shown, layered=True),))]
            elements += _words(title, words, shown.marks, model, paper, faces)
            elements += checks(paper)
            return [Page(paper.width, paper.height, tuple(elements), title, headed=False)]
    return None


def _in_a_line(title: str, picture: Picture, paper: Paper, faces: Faces) -> Page:
    """A template that fills its page: the words on one line above it."""
    free = field(paper)
    setter = Composer(paper, faces, "")
    last = correction(paper) or "Measure the scale check on both edges before you cut."
    text = f"{title}. Print at 100 %. {last}"
    shown = clipped(text, scale.SMALL_STRONG, free.width, faces)
    head = setter.set([shown], scale.SMALL_STRONG, free.x, free.y + free.height)
    elements = (
        Element(Role("heading", 1), tuple(head)),
        Element(Role("figure", alt=picture.drawing.alt), (picture,)),
        *checks(paper),
    )
    return Page(paper.width, paper.height, elements, title, headed=False)


def _words(
    title: str, room: Field, marks: Sequence[Mark], model: Model, paper: Paper, faces: Faces
) -> list[Element]:
    """Title, advice and a key to the marks, stacked in the room beside or above them."""
    styles = styles_in(marks)
    setter = Composer(Paper("", room.width, room.height), faces, "")
    elements: list[Element] = []
    y = room.y + room.height
    narrow = room.width < 80
    column = room.width if narrow else room.width * 0.58
    blocks = [
        (title, scale.HEADING, Role("heading", 1)),
        (advice(paper), scale.TEXT, Role("paragraph")),
    ]
    if "dimension" in styles:
        measures = f"Measures outside the outline: {_units(model)}."
        blocks.append((measures, scale.SMALL, Role("paragraph")))
    for text, style, role in blocks:
        lines = wrap(text, style, column, faces)
        elements.append(Element(role, tuple(setter.set(lines, style, room.x, y))))
        y -= leading(style) * len(lines) + 1.5
    key = line_key(styles)
    x, top = (room.x, y - 3) if narrow else (room.x + room.width * 0.64, room.y + room.height - 2)
    at = Picture(x, top - key.box[3], key)
    elements.append(Element(Role("figure", alt=key.alt), (at,)))
    return elements


def _units(model: Model) -> str:
    return {
        "in": "inches, and centimetres on the inner side",
        "mm": "millimetres, and inches on the inner side",
        "cm": "centimetres, and inches on the inner side",
    }[model.scope.units]


def _large(
    pattern: Pattern, glued: Collection[tuple[str, str]], model: Model, faces: Faces
) -> Large:
    """A template for tiles: each tile has the labels and the hatching of what it shows."""
    drawing = template(pattern, glued, model.printer, faces, labelled=False)
    outline = Drawing(tuple(cut_marks(pattern, Frame(), "hair")), drawing.box, "")
    tabs = {name for piece, name in glued if piece == pattern.id}

    def words(seen: Polygon) -> list[Mark]:
        given = pattern, tabs, model.printer, faces, seen
        return [*glue_marks(*given), *panel_labels(*given)]

    return Large(drawing, outline, words)


def _large_mat(mat: MatLayer, model: Model, faces: Faces) -> Large:
    """A mat for tiles."""
    drawing = mat_template(mat, model.printer, faces, labelled=False)
    x0, y0, x1, y1 = drawing.box
    # Half a millimetre round it keeps the whole width of its outline inside the tiles.
    drawing = replace(drawing, box=(x0 - 0.5, y0 - 0.5, x1 + 0.5, y1 + 0.5))
    lines = (replace(mark, style="hair") for mark in drawing.marks if isinstance(mark, Stroke))

    def words(seen: Polygon) -> list[Mark]:
        return mat_labels(mat, model.printer, faces, seen)

    return Large(drawing, replace(drawing, marks=tuple(lines)), words)


def _mats(model: Model, paper: Paper, faces: Faces) -> list[Page]:
    """Mats at full size, set in rows from the top, tallest first; those too large in tiles."""
    free = field(paper)
    room = Field(free.x, free.y, free.width, free.height - HEAD)
    fitting: list[Drawing] = []
    tiles: list[Page] = []
    for mat in model.mats:
        drawing = _named(mat, model, room, faces)
        if _fits(drawing, room):
            fitting.append(drawing)
        else:
            title = f"Template: {mat.name.lower()}" + (f" (cut {mat.count})" * (mat.count > 1))
            tiles += tile_pages(title, _large_mat(mat, model, faces), paper, faces)
    fitting.sort(key=lambda drawing: -drawing.box[3])
    rows = _in_rows(fitting, room)
    return [*(_mat_page(row, model, paper, faces) for row in rows), *tiles]


def _named(mat: MatLayer, model: Model, room: Field, faces: Faces) -> Drawing:
    """A mat with its name: below it where it has no room for words, and the page has."""
    inside = _upright(mat_template(mat, model.printer, faces), room)
    if any(isinstance(mark, Label) for mark in inside.marks):
        return inside
    below = beneath(inside, mat_words(mat, model.printer), faces)
    return below if _fits(below, room) else inside


def _fits(drawing: Drawing, room: Field) -> bool:
    return drawing.box[2] <= room.width and drawing.box[3] <= room.height


def _upright(drawing: Drawing, room: Field) -> Drawing:
    """The drawing, turned where it fits the room only so."""
    other = turned(drawing, SIDEWAYS)
    other = move(other, -other.box[0], -other.box[1])
    return other if not _fits(drawing, room) and _fits(other, room) else drawing


def _in_rows(drawings: Sequence[Drawing], room: Field) -> list[list[Picture]]:
    """The drawings in rows from the top, a list for each page."""
    pages: list[list[Picture]] = []
    x = y = row = 0.0
    for drawing in drawings:
        w, h = drawing.box[2], drawing.box[3]
        if x > 0 and x + w > room.width:
            x, y = 0.0, y - row - 6
            row = 0.0
        if not pages or y - h < 0:
            pages.append([])
            x, y, row = 0.0, room.height, 0.0
        pages[-1].append(Picture(room.x + x, room.y + y - h, drawing, layered=True))
        row = max(row, h)
        x += w + 6
    return pages


def _mat_page(mats: Sequence[Picture], model: Model, paper: Paper, faces: Faces) -> Page:
    free = field(paper)
    words = Field(free.x, free.y + free.height - HEAD, free.width, HEAD)
    title = "Template of the mat" if len(model.mats) == 1 else "Templates of the mats"
    marks = [mark for mat in mats for mark in mat.drawing.marks]
    shown = (Element(Role("figure", alt=mat.drawing.alt), (mat,)) for mat in mats)
    whole = (*_words(title, words, marks, model, paper, faces), *shown, *checks(paper))
    return Page(paper.width, paper.height, whole, title, headed=False)

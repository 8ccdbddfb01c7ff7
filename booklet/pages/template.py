"""Template pages: full size, whole or in tiles.

In: a model. Out: pages with the template at exactly 1:1, a scale check on both axes, the line key
and the sentence that asks to print at 100 %. A template that fits no page is tiled: tiles
overlap, carry alignment crosses at fixed places of the template, and a map shows how they go
together.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from shapely.affinity import rotate, translate
from shapely.geometry import box

from booklet.draw.flat_marks import Frame, cut_marks
from booklet.draw.label import LABEL
from booklet.draw.mark import Drawing, Label, Mark, Stroke, move, scaled, turned
from booklet.draw.scale_check import scale_check
from booklet.draw.template import ROOM, mat_template, panel_labels, template, window
from booklet.draw.typeface import Faces
from booklet.flat.path import rectangle, segment
from booklet.flat.pattern import Pattern
from booklet.pages import type as scale
from booklet.pages.flow import Composer, leading, tiles_needed, wrap
from booklet.pages.grid import SAFE, Paper
from booklet.pages.page import Element, Page, Picture, Role
from booklet.stages import Model

STRIP = 9.0
"""Width of the strip that a scale check stands in, in mm."""
FOOT = 6.0
"""Height of the footer line on a template page, in mm."""
OVERLAP = 10.0
SIDE = 52.0
"""Width of the words beside a template, in mm."""
HEAD = 30.0
"""Height of the words above a template, in mm."""
ADVICE = (
    "Print at 100 % (“actual size”), never “fit to page”. "
    "Measure the scale check on both edges before you cut."
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
    x, y = SAFE + STRIP + 1.0, SAFE + FOOT + STRIP
    return Field(x, y, paper.width - SAFE - x, paper.height - SAFE - y)


def template_pages(model: Model, paper: Paper, faces: Faces) -> list[Page]:
    """The template of every piece, then the mats."""
    glued = {join.tab for pattern in model.patterns for join in pattern.joins}
    pages: list[Page] = []
    for pattern in model.patterns:
        drawing = template(pattern, glued, model.printer, faces)
        drawing = move(drawing, -drawing.box[0], -drawing.box[1])
        title = f"Template: {pattern.name.lower()}"
        if pattern.count > 1:
            title += f" (cut {pattern.count})"
        whole = _whole(title, drawing, model, paper, faces)
        pages += whole or _tiled(title, pattern, glued, model, paper, faces)
    if model.mats:
        pages += _mats(model, paper, faces)
    return pages


def _whole(
    title: str, drawing: Drawing, model: Model, paper: Paper, faces: Faces
) -> list[Page] | None:
    free = field(paper)
    for angle in (0, 90):
        shown = drawing if angle == 0 else turned(drawing, 90)
        shown = move(shown, -shown.box[0], -shown.box[1])
        w, h = shown.box[2], shown.box[3]
        words: Field | None = None
        if w + SIDE <= free.width and h <= free.height:
            at = free.x, free.y + free.height - h
            words = Field(free.x + free.width - SIDE + 4, free.y, SIDE - 4, free.height)
        elif w <= free.width and h + HEAD <= free.height:
            at = free.x + (free.width - w) / 2, free.y + (free.height - HEAD - h) / 2
            words = Field(free.x, free.y + free.height - HEAD, free.width, HEAD)
        if words is not None:
            role = Role("figure", alt=shown.alt)
            elements = [Element(role, (Picture(at[0], at[1], shown),))]
            elements += _words(title, words, model, faces)
            elements += _checks(paper)
            return [Page(paper.width, paper.height, tuple(elements), title, headed=False)]
    return None


def _words(title: str, room: Field, model: Model, faces: Faces) -> list[Element]:
    """Title, advice and line key, stacked in the room beside or above the template."""
    setter = Composer(Paper("", room.width, room.height), faces, "")
    elements: list[Element] = []
    y = room.y + room.height
    narrow = room.width < 80
    column = room.width if narrow else room.width * 0.58
    blocks = (
        (title, scale.HEADING, Role("heading", 1)),
        (ADVICE, scale.TEXT, Role("paragraph")),
        (f"Measures outside the outline: {_units(model)}.", scale.SMALL, Role("paragraph")),
    )
    for text, style, role in blocks:
        lines = wrap(text, style, column, faces)
        elements.append(Element(role, tuple(setter.set(lines, style, room.x, y))))
        y -= leading(style) * len(lines) + 1.5
    key = line_key(faces)
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


def line_key(faces: Faces) -> Drawing:
    """What each line means, in a drawing of its own."""
    marks: list[Mark] = []
    rows = (
        ("cut", "cut"),
        ("valley", "score, fold toward you"),
        ("mountain", "score, fold away from you"),
    )
    y = 20.0
    for style, words in rows:
        marks.append(Stroke(segment((0, y), (14, y)), style, "key"))
        marks.append(Label((17, y - 1.0), words, LABEL.name, "start"))
        y -= 5.0
    for k in range(5):
        x = k * 2.6
        marks.append(Stroke(segment((x, y - 1.6), (x + 3.2, y + 1.6)), "hatch", "key"))
    marks.append(Label((17, y - 1.0), "tape or glue", LABEL.name, "start"))
    alt = "Key: solid lines are cut; dashed lines fold toward you, dash-dot lines away; hatched "
    return Drawing(tuple(marks), (0.0, 0.0, 50.0, 22.0), alt + "areas take tape or glue.")


def _checks(paper: Paper) -> list[Element]:
    level, upright = scale_check(), scale_check(upright=True)
    left = SAFE + STRIP / 2
    bottom = SAFE + FOOT + STRIP / 2
    x0, y0 = left + STRIP / 2 + 6, bottom + STRIP / 2 + 6
    return [
        Element(Role("figure", alt=level.alt), (Picture(x0, bottom + level.box[1], level),)),
        Element(Role("figure", alt=upright.alt), (Picture(left + upright.box[0], y0, upright),)),
    ]


@dataclass(frozen=True)
class Tiling:
    """How a drawing is cut into tiles: their size, counts, and starts along x and y (from top)."""

    width: float
    height: float
    xs: tuple[float, ...]
    ys: tuple[float, ...]


def tiling(drawing: Drawing, paper: Paper) -> Tiling:
    """Windows that cover the drawing, neighbours sharing OVERLAP mm."""
    free = field(paper)
    w, h = free.width, free.height - 9.0
    columns = tiles_needed(drawing.box[2], w, OVERLAP)
    rows = tiles_needed(drawing.box[3], h, OVERLAP)
    # Equal windows no larger than needed, so that no tile is a sliver.
    w = (drawing.box[2] + OVERLAP * (columns - 1)) / columns
    h = (drawing.box[3] + OVERLAP * (rows - 1)) / rows
    xs = tuple(i * (w - OVERLAP) for i in range(columns))
    ys = tuple(drawing.box[3] - h - j * (h - OVERLAP) for j in range(rows))
    return Tiling(w, h, xs, ys)


def _tiled(
    title: str,
    pattern: Pattern,
    glued: Collection[tuple[str, str]],
    model: Model,
    paper: Paper,
    faces: Faces,
) -> list[Page]:
    bare = template(pattern, glued, model.printer, faces, labelled=False)
    corner = bare.box[:2]
    drawing = move(bare, -corner[0], -corner[1])
    sideways = turned(drawing, 90)
    shift = -sideways.box[0]
    sideways = move(sideways, shift, 0)
    plans = [(d, tiling(d, paper)) for d in (drawing, sideways)]
    shown, plan = min(plans, key=lambda entry: len(entry[1].xs) * len(entry[1].ys))
    is_turned = shown is sideways
    tabs = {name for piece, name in glued if piece == pattern.id}
    pages = [_map_page(title, pattern, plan, is_turned, model, paper, faces)]
    for j, y in enumerate(plan.ys):
        for i, x in enumerate(plan.xs):
            area = (x, y, x + plan.width, y + plan.height)
            seen = box(*area)
            if is_turned:
                seen = rotate(translate(seen, -shift, 0), -90, origin=(0, 0))
            words = panel_labels(
                pattern, tabs, model.printer, faces, translate(seen, corner[0], corner[1])
            )
            labels = move(Drawing(tuple(words), bare.box, ""), -corner[0], -corner[1])
            if is_turned:
                labels = move(turned(labels, 90), shift, 0)
            marked = Drawing((*shown.marks, *labels.marks, *crosses(plan)), shown.box, shown.alt)
            pages.append(_tile_page(title, tile_name(i, j), window(marked, area), paper, faces))
    return pages


def tile_name(column: int, row: int) -> str:
    """A1, A2 in the first row from the left, B1 below."""
    letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
    return f"{letters[row % 26]}{column + 1}"


def crosses(plan: Tiling) -> list[Mark]:
    """Alignment crosses in the middle of every overlap, at the same place on both tiles."""
    marks: list[Mark] = []
    half = 3.0
    x_middles = [x + OVERLAP / 2 for x in plan.xs[1:]]
    y_middles = [y + plan.height - OVERLAP / 2 for y in plan.ys[1:]]
    spots = [
        (x, y + plan.height * share) for x in x_middles for y in plan.ys for share in (0.25, 0.75)
    ]
    spots += [
        (x + plan.width * share, y) for y in y_middles for x in plan.xs for share in (0.25, 0.75)
    ]
    for x, y in spots:
        marks.append(Stroke(segment((x - half, y), (x + half, y)), "hair", "align"))
        marks.append(Stroke(segment((x, y - half), (x, y + half)), "hair", "align"))
    return marks


def _tile_page(title: str, name: str, tile: Drawing, paper: Paper, faces: Faces) -> Page:
    free = field(paper)
    x0, y0, x1, y1 = tile.box
    at = free.x + (free.width - (x1 - x0)) / 2, free.y + free.height - 9.0 - (y1 - y0)
    setter = Composer(paper, faces, "")
    top = free.y + free.height
    text = f"{title}, tile {name}. Print at 100 %. Overlap the tiles until the crosses meet."
    head = setter.set([text], scale.SMALL_STRONG, free.x, top)
    border = Drawing(
        (Stroke(rectangle(0, 0, x1 - x0, y1 - y0), "ghost", "align"),),
        (0.0, 0.0, x1 - x0, y1 - y0),
        "",
    )
    elements = [
        Element(Role("heading", 2), tuple(head)),
        Element(Role("figure", alt=f"Tile {name}. {tile.alt}"), (Picture(*at, tile),)),
        Element(Role("decoration"), (Picture(*at, border),)),
        *_checks(paper),
    ]
    return Page(paper.width, paper.height, tuple(elements), f"Tile {name}", 1, headed=False)


def _map_page(
    title: str,
    pattern: Pattern,
    plan: Tiling,
    is_turned: bool,
    model: Model,
    paper: Paper,
    faces: Faces,
) -> Page:
    sheet = Composer(paper, faces, title)
    sheet.title(title)
    count = len(plan.xs) * len(plan.ys)
    sheet.words(
        f"This template is larger than a page and comes on {count} tiles. {ADVICE} Trim one of "
        "two neighbours along its dotted border, lay it over the other until the crosses meet, "
        "and tape them. Then lay the whole on the blank.",
        scale.LEAD,
    )
    sheet.skip()
    total_w = plan.xs[-1] + plan.width
    total_h = plan.ys[0] + plan.height
    top = sheet.y
    k = min(sheet.paper.measure * 0.85 / total_w, (top - paper.bottom - 34) / total_h)
    drawing = _tile_map(pattern, plan, is_turned, k)
    sheet.figure(drawing, paper.left + (paper.measure - drawing.box[2]) / 2, top)
    key = line_key(faces)
    sheet.figure(key, paper.left, top - drawing.box[3] - 8)
    return sheet.pages()[0]


def _tile_map(pattern: Pattern, plan: Tiling, is_turned: bool, k: float) -> Drawing:
    outline = Drawing(tuple(cut_marks(pattern, Frame(), "hair")), (0.0, 0.0, 0.0, 0.0), "")
    outline = move(outline, ROOM, 0.5)
    if is_turned:
        outline = move(turned(outline, 90), plan.xs[-1] + plan.width, 0)
    marks: list[Mark] = list(outline.marks)
    for j, y in enumerate(plan.ys):
        for i, x in enumerate(plan.xs):
            marks.append(Stroke(rectangle(x, y, plan.width, plan.height), "medium"))
            middle = x + plan.width / 2, y + plan.height / 2 - 4
            marks.append(Label(middle, tile_name(i, j), scale.NUMBER.name))
    names = ", ".join(tile_name(i, j) for j in range(len(plan.ys)) for i in range(len(plan.xs)))
    alt = f"Map of the tiles {names}, each overlapping its neighbours."
    size = (0.0, 0.0, plan.xs[-1] + plan.width, plan.ys[0] + plan.height)
    return scaled(Drawing(tuple(marks), size, alt), k)


def _mats(model: Model, paper: Paper, faces: Faces) -> list[Page]:
    """Mats at full size, set in rows from the top, tallest first."""
    free = field(paper)
    room = Field(free.x, free.y, free.width, free.height - HEAD)
    drawings = [(mat, mat_template(mat, model.printer, faces)) for mat in model.mats]
    drawings.sort(key=lambda entry: -entry[1].box[3])
    pages: list[list[Element]] = []
    x = y = row = 0.0
    for _mat, drawing in drawings:
        if drawing.box[2] > room.width and drawing.box[3] <= room.width:
            drawing = turned(drawing, 90)
            drawing = move(drawing, -drawing.box[0], -drawing.box[1])
        w, h = drawing.box[2], drawing.box[3]
        if x > 0 and x + w > room.width:
            x, y = 0.0, y - row - 6
            row = 0.0
        if not pages or y - h < 0:
            pages.append([])
            x, y, row = 0.0, room.height, 0.0
        at = Picture(room.x + x, room.y + y - h, drawing)
        pages[-1].append(Element(Role("figure", alt=drawing.alt), (at,)))
        row = max(row, h)
        x += w + 6
    return [_mat_page(elements, model, paper, faces) for elements in pages]


def _mat_page(elements: Sequence[Element], model: Model, paper: Paper, faces: Faces) -> Page:
    free = field(paper)
    words = Field(free.x, free.y + free.height - HEAD, free.width, HEAD)
    whole = [*_words("Templates of the mats", words, model, faces), *elements, *_checks(paper)]
    return Page(paper.width, paper.height, tuple(whole), "Templates of the mats", headed=False)

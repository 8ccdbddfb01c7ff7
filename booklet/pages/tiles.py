"""Tiles: what is larger than a page, at 1:1 on several pages that overlap.

In: a `Large` drawing and a paper. Out: a page with a map of the tiles, then the tiles, which carry
alignment crosses at the same places of the drawing.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, replace

from shapely.affinity import rotate, translate
from shapely.geometry import Polygon, box

from booklet.draw.mark import SIDEWAYS, Area, Drawing, Label, Mark, Stroke, move, scaled, turned
from booklet.draw.template import window
from booklet.draw.typeface import Faces
from booklet.flat.path import rectangle, segment
from booklet.pages import type as scale
from booklet.pages.flow import Composer, tiles_needed
from booklet.pages.full_size import advice, checks, correction, field, line_key, styles_in
from booklet.pages.grid import Paper
from booklet.pages.page import Element, Page, Picture, Role

OVERLAP = 10.0
"""How much of the drawing two neighbouring tiles share, in mm."""

CLEAR = 1.0
"""White round the name of a tile on the map, in mm."""


@dataclass(frozen=True)
class Large:
    """A drawing to be tiled.

    `words` gives the labels for the part of the drawing that a tile shows; `outline` is what the
    map of the tiles shows. All three are in the same coordinates, mm.
    """

    drawing: Drawing
    outline: Drawing
    words: Callable[[Polygon], Sequence[Mark]]


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


def tile_pages(title: str, large: Large, paper: Paper, faces: Faces) -> list[Page]:
    """The map of the tiles and the tiles, upright or turned, whichever takes fewer."""
    corner = large.drawing.box[:2]
    drawing = move(large.drawing, -corner[0], -corner[1])
    sideways = turned(drawing, SIDEWAYS)
    shift = -sideways.box[1]
    sideways = move(sideways, 0, shift)
    plans = [(d, tiling(d, paper)) for d in (drawing, sideways)]
    shown, plan = min(plans, key=lambda entry: len(entry[1].xs) * len(entry[1].ys))
    is_turned = shown is sideways
    outline = move(large.outline, -corner[0], -corner[1])
    styles = styles_in((*large.drawing.marks, *large.words(box(*large.drawing.box))))
    pages = [_map_page(title, outline, plan, is_turned, styles, paper, faces)]
    for j, y in enumerate(plan.ys):
        for i, x in enumerate(plan.xs):
            area = (x, y, x + plan.width, y + plan.height)
            seen = box(*area)
            if is_turned:
                seen = rotate(translate(seen, 0, -shift), -SIDEWAYS, origin=(0, 0))
            words = large.words(translate(seen, corner[0], corner[1]))
            labels = move(Drawing(tuple(words), drawing.box, ""), -corner[0], -corner[1])
            if is_turned:
                labels = move(turned(labels, SIDEWAYS), 0, shift)
            marked = Drawing((*shown.marks, *labels.marks, *crosses(plan)), shown.box, shown.alt)
            pages.append(_tile_page(title, tile_name(i, j), window(marked, area), paper, faces))
    return pages


def tile_name(column: int, row: int) -> str:
    """A1, A2 in the first row from the left, B1 below; the row after Z is AA."""
    letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
    first = letters[row // 26 - 1] if row >= 26 else ""
    return f"{first}{letters[row % 26]}{column + 1}"


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
    lines = [line for line in (text, correction(paper)) if line]
    head = setter.set(lines, scale.SMALL_STRONG, free.x, top)
    border = Drawing(
        (Stroke(rectangle(0, 0, x1 - x0, y1 - y0), "ghost", "align"),),
        (0.0, 0.0, x1 - x0, y1 - y0),
        "",
    )
    elements = [
        Element(Role("heading", 2), tuple(head)),
        Element(
            Role("figure", alt=f"Tile {name}. {tile.alt}"), (Picture(*at, tile, layered=True),)
        ),
        Element(Role("decoration"), (Picture(*at, border),)),
        *checks(paper),
    ]
    return Page(paper.width, paper.height, tuple(elements), f"Tile {name}", 1, headed=False)


def _map_page(
    title: str,
    outline: Drawing,
    plan: Tiling,
    is_turned: bool,
    styles: Collection[str],
    paper: Paper,
    faces: Faces,
) -> Page:
    sheet = Composer(paper, faces, title)
    sheet.title(title)
    count = len(plan.xs) * len(plan.ys)
    sheet.words(
        f"This template is larger than a page and comes on {count} tiles. {advice(paper)} Trim one "
        "of two neighbours along its dotted border, lay it over the other until the crosses meet, "
        "and tape them. Then lay the whole on the blank.",
        scale.LEAD,
    )
    sheet.skip()
    total_w = plan.xs[-1] + plan.width
    total_h = plan.ys[0] + plan.height
    top = sheet.y
    k = min(sheet.paper.measure * 0.85 / total_w, (top - paper.bottom - 34) / total_h)
    drawing = _tile_map(outline, plan, is_turned, k, faces)
    sheet.figure(drawing, paper.left + (paper.measure - drawing.box[2]) / 2, top)
    key = line_key(styles)
    sheet.figure(key, paper.left, top - drawing.box[3] - 8)
    return sheet.pages()[0]


def _tile_map(outline: Drawing, plan: Tiling, is_turned: bool, k: float, faces: Faces) -> Drawing:
    """The outline and the tiles over it, each with its name on white in its middle."""
    if is_turned:
        outline = move(turned(outline, SIDEWAYS), 0, plan.ys[0] + plan.height)
    marks: list[Mark] = list(outline.marks)
    labels: list[Label] = []
    for j, y in enumerate(plan.ys):
        for i, x in enumerate(plan.xs):
            marks.append(Stroke(rectangle(x, y, plan.width, plan.height), "medium"))
            middle = x + plan.width / 2, y + plan.height / 2 - 4
            labels.append(Label(middle, tile_name(i, j), scale.NUMBER.name))
    names = ", ".join(tile_name(i, j) for j in range(len(plan.ys)) for i in range(len(plan.xs)))
    alt = f"Map of the tiles {names}, each overlapping its neighbours."
    size = (0.0, 0.0, plan.xs[-1] + plan.width, plan.ys[0] + plan.height)
    drawing = scaled(Drawing((*marks, *labels), size, alt), k)
    named = drawing.marks[len(marks) :]
    rooms = (_room(label, faces) for label in named if isinstance(label, Label))
    return replace(drawing, marks=(*drawing.marks[: len(marks)], *rooms, *named))


def _room(label: Label, faces: Faces) -> Area:
    """White under a tile's name, from its base line to the height of its capitals."""
    half = faces.width(label.text, scale.NUMBER) / 2 + CLEAR
    x, y = label.at
    high = faces.cap_height(scale.NUMBER) + 2 * CLEAR
    return Area(rectangle(x - half, y - CLEAR, 2 * half, high), "white")

"""Step pages: four to a page, one diagram and a few words each, all diagrams on one scale.

A step with a photo has a row of its own, the photo beside the diagram.

In: planned steps, the stage with their pictures and a composer. Out: the composer's pages.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from booklet.draw.mark import Drawing
from booklet.draw.sign_key import sign_key
from booklet.draw.typeface import Faces
from booklet.pages import type as scale
from booklet.pages.flow import Composer, leading, wrap
from booklet.pages.page import Line, Photo, Picture, Role
from booklet.pages.planned import PlannedStep
from booklet.pages.shot import Stage, Staged
from booklet.pages.signs import shows_larger, sides_of, signs_of
from booklet.pages.step_picture import step_pictures
from booklet.read.photo import STEP_BOX
from booklet.read.photo import Photo as Shot

INDENT = 11.0
"""How far a step's words stand right of its number, in mm."""
LEAST, SMALLEST, LARGEST = 36.0, 60.0, 92.0
"""Heights of the pictures of steps in mm: two rows on a page, three, and no larger ones."""
FIRST = 30.0
"""What is enough on the page with the title and the key: there sheets are cut and scored."""
AIR = 6.0
"""White in mm above and below the highest picture of a row, both together, where room is short."""
BELOW_KEY = 4.0
"""White below the key of signs, mm."""


def set_steps(stage: Stage, steps: Sequence[PlannedStep], sheet: Composer) -> None:
    """All steps, two by two, and the finished piece behind them; the key of signs comes first."""
    paper, faces = sheet.paper, sheet.faces
    sheet.title("Step by step")
    of = paper.columns
    _, width = paper.column(0, of)
    cells = _ended(_cells(stage, steps, width, of, faces), stage, width, faces)
    pictures = [cell.picture for cell in cells]
    signs, looks = signs_of(pictures), sides_of(pictures)
    # Whether something is shown larger depends on the room that the key leaves.
    room = _key_room(sign_key({*signs, "detail"}, paper.measure, faces, looks))
    rows = in_rows([cell.photo is not None and cell.number is None for cell in cells], of)
    heights = [max(_text_height(cells[i].title, cells[i].words) for i in row) for row in rows]
    first, other = sheet.y - room - paper.bottom, paper.top - paper.bottom
    pages, highs = shared_out(heights, first, other, of, paper.zoom)
    rooms = {index: high for row, high in zip(rows, highs, strict=True) for index in row}
    shown = [rooms[index] for index in range(len(cells))]
    drawings = step_pictures(pictures, width, shown, faces)
    if shows_larger(drawings):
        signs |= {"detail"}
    _set_key(sheet, sign_key(signs, paper.measure, faces, looks))
    if pages:
        needs = [
            max(_high(cells[i], drawings[i], width, high) for i in row) + AIR
            for row, high in zip(rows, highs, strict=True)
        ]
        pages, highs = drawn_together(pages, highs, needs, heights, (first, other), of)
    for count, page in enumerate(pages):
        if count:
            sheet.turn()
        for row in page:
            for place, index in enumerate(rows[row]):
                x, _ = paper.column(place, of)
                _set_cell(sheet, cells[index], drawings[index], x, width, highs[row])
            sheet.y -= highs[row] + heights[row]


def _high(cell: Cell, drawing: Drawing | None, width: float, room: float) -> float:
    """The height in mm that the picture or photo of a cell takes of its room."""
    if cell.photo is not None:
        return _size(cell.photo, width, room)[1]
    return 0.0 if drawing is None else drawing.size[1]


def _key_room(key: Drawing) -> float:
    """The height of a key with white below it, mm."""
    return key.size[1] + BELOW_KEY if key.marks else 0.0


def _set_key(sheet: Composer, key: Drawing) -> None:
    if key.marks:
        sheet.figure(key, sheet.paper.left, sheet.y)
        sheet.y -= _key_room(key)


def _cells(
    stage: Stage, steps: Sequence[PlannedStep], width: float, of: int, faces: Faces
) -> list[Cell]:
    """Each step with its pictures; what comes after the first is a cell of its own, as is a photo.

    In a frame of one column the photo takes the picture's place.
    """
    cells: list[Cell] = []
    for number, (step, shots) in enumerate(zip(steps, stage.shots, strict=True), 1):
        first, *more = shots
        cells.append(
            _cell(number, step.title, first.words or step.text, first.picture, width, faces)
        )
        if step.photo is not None:
            said = step.photo.alt or f"Photo: {step.title}. {step.text}"
            shot = replace(step.photo, alt=said)
            if of == 1 or cells[-1].picture is None:
                cells[-1] = replace(cells[-1], picture=None, photo=shot)
            else:
                cells.append(Cell(None, [], [], None, shot))
        cells += [_cell(number, "Then", one.words, one.picture, width, faces) for one in more]
    return cells


def _cell(
    number: int | None, title: str, words: str, picture: Staged, width: float, faces: Faces
) -> Cell:
    """A cell with its words in lines."""
    lines = wrap(title, scale.HEADING, width - INDENT, faces)
    return Cell(number, lines, wrap(words, scale.TEXT, width - INDENT, faces), picture)


def _ended(cells: Sequence[Cell], stage: Stage, width: float, faces: Faces) -> list[Cell]:
    """The cells, and how it looks when all is done, unless the last picture shows just that."""
    if stage.end is None:
        return [*cells]
    if not stage.end_is_shown:
        return [*cells, _cell(None, "Done", stage.end_words, stage.end, width, faces)]
    said = " ".join((*cells[-1].words, stage.end_words))
    last = replace(cells[-1], words=wrap(said, scale.TEXT, width - INDENT, faces))
    return [*cells[:-1], last]


def in_rows(photos: Sequence[bool], of: int) -> list[list[int]]:
    """Cells in rows of `of`, by number; one that is a photo stands beside the one before it."""
    rows: list[list[int]] = [[]]
    for index in range(len(photos)):
        photo_next = of > 1 and index + 1 < len(photos) and photos[index + 1]
        if rows[-1] and len(rows[-1]) + photo_next >= of:
            rows.append([])
        rows[-1].append(index)
    return rows if photos else []


def _size(photo: Shot, width: float, height: float) -> tuple[float, float]:
    return photo.printed((min(width, STEP_BOX[0]), min(height, STEP_BOX[1])))


def _photo(sheet: Composer, photo: Shot, x: float, width: float, height: float) -> None:
    """The photo in the middle of a picture's room, at the size that its pixels were judged by."""
    w, h = _size(photo, width, height)
    left, bottom = x + (width - w) / 2, sheet.y - height + (height - h) / 2
    at = Photo(left, bottom, w, h, Path(photo.file))
    sheet.add(Role("figure", alt=photo.alt), at)


def shared_out(
    heights: Sequence[float], first: float, other: float, of: int, zoom: float = 1.0
) -> tuple[list[list[int]], list[float]]:
    """Rows shared out on pages, and the height of the pictures (mm) in each row.

    Two rows a page, or one on the first, if all pictures have LEAST, else one; a row that would
    stand alone on the last page joins the two before it if the pictures stay at least SMALLEST
    high. Pictures have all that the words of their page leave; in two columns a last row alone is
    no higher than the others, and what follows the steps comes below it. In large print, drawn
    `zoom` times as large, pictures have to grow as words do: each has the room of the highest.
    """
    enough = (FIRST, LEAST if zoom == 1 else LARGEST / zoom)

    def high(page: Sequence[int]) -> float:
        room = other if page[0] else first
        return (room - sum(heights[row] for row in page)) / len(page)

    def least(pages: Sequence[Sequence[int]]) -> float:
        return min(map(high, pages), default=LARGEST)

    def roomy(pages: Sequence[Sequence[int]]) -> bool:
        """Whether the pictures of all pages are high enough."""
        return all(high(page) >= enough[min(count, 1)] for count, page in enumerate(pages))

    numbers = list(range(len(heights)))
    pairs = _by_two(numbers)
    if pairs and not roomy(pairs):
        # The first page has the title and the key: it takes one row, and the others two.
        pairs = [numbers[:1], *_by_two(numbers[1:])]
    joined = [*pairs[:-2], pairs[-2] + pairs[-1]] if len(pairs) > 1 else pairs
    alone = [[number] for number in numbers]
    last_alone = len(pairs) > 1 and len(pairs[-1]) == 1 < len(pairs[-2])
    if last_alone and least(joined) >= SMALLEST:
        pages = joined
    elif roomy(pairs):
        pages = pairs
    else:
        pages = alone
    highs = [max(20.0, min(high(page), LARGEST)) for page in pages]
    if of > 1 and pages is pairs and last_alone:
        highs[-1] = min(highs)
    return pages, [each for page, each in zip(pages, highs, strict=True) for _ in page]


def drawn_together(
    pages: Sequence[Sequence[int]],
    highs: Sequence[float],
    needs: Sequence[float],
    words: Sequence[float],
    room: tuple[float, float],
    of: int,
) -> tuple[list[list[int]], list[float]]:
    """Pages and heights again, by what the rows `need` now that their pictures are drawn.

    A last row alone joins the page before it if that has room for it. In columns no row
    of the last page is higher than it needs: below it other sections begin where there is room.
    """
    shared, result = [[*page] for page in pages], [*highs]
    if len(shared) > 1 and len(shared[-1]) == 1:
        joined = shared[-2] + shared[-1]
        free = room[len(shared) > 2] - sum(needs[row] + words[row] for row in joined)
        if free >= 0:
            for row in joined:
                result[row] = needs[row] + free / len(joined)
            return [*shared[:-2], joined], result
    for row in shared[-1] if of > 1 else ():
        result[row] = min(result[row], needs[row])
    return shared, result


def _by_two(numbers: list[int]) -> list[list[int]]:
    return [numbers[k : k + 2] for k in range(0, len(numbers), 2)]


def _text_height(title: Sequence[str], words: Sequence[str]) -> float:
    return leading(scale.HEADING) * len(title) + leading(scale.TEXT) * len(words) + 11.0


@dataclass(frozen=True)
class Cell:
    """A step or a part of it as it is set: its number, title and text in lines, and its picture.

    `photo` stands where the picture would; its `alt` is filled in.
    """

    number: int | None
    title: Sequence[str]
    words: Sequence[str]
    picture: Staged
    photo: Shot | None = None


def _set_cell(
    sheet: Composer, cell: Cell, drawing: Drawing | None, x: float, width: float, height: float
) -> None:
    top = sheet.y
    if drawing is not None:
        w, h = drawing.size
        left = x + (width - w) / 2
        bottom = top - height + (height - h) / 2
        sheet.add(Role("figure", alt=drawing.alt), Picture(left, bottom, drawing))
    if cell.photo is not None:
        _photo(sheet, cell.photo, x, width, height)
    if not cell.title:
        return
    y = top - height - 3
    heading = sheet.set(cell.title, scale.HEADING, x + INDENT, y - 1)
    if cell.number is not None:
        number = Line(x, y - 6.6, str(cell.number), scale.NUMBER, "start", "accent")
        heading = [number, *heading]
    sheet.add(Role("heading", 2), *heading)
    if not cell.words:
        return
    below = y - 1.8 - leading(scale.HEADING) * len(cell.title)
    sheet.add(Role("paragraph"), *sheet.set(cell.words, scale.TEXT, x + INDENT, below))

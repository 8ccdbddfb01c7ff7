"""PDFs read back with general libraries: what a reader's program sees, in millimetres.

In: the path of a PDF. Out: strokes (points, width, dashes, grey or colour), words with their
boxes, page sizes, fonts. Nothing here imports the program: it is the outside view of its output.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pdfplumber
import pikepdf

MM = 25.4 / 72
Point = tuple[float, float]


@dataclass(frozen=True)
class ReadStroke:
    """A painted line: its subpath's points (mm, y up), width and dashes in mm, its colour.

    `bends` holds the two control points of each curve ("c"), in the order of the commands.
    """

    points: tuple[Point, ...]
    commands: str
    width: float
    dash: tuple[float, ...]
    colour: tuple[float, ...]
    bends: tuple[tuple[Point, Point], ...] = ()

    def near(self, start: Point, end: Point, within: float = 0.02) -> bool:
        """Whether this is the straight line between the two points, either way round."""
        if len(self.points) != 2:
            return False
        first, last = self.points
        return any(
            _close(first, a, within) and _close(last, b, within)
            for a, b in ((start, end), (end, start))
        )


@dataclass(frozen=True)
class ReadWord:
    """A word and its box (x0, y0, x1, y1) in mm, y up; size in points."""

    text: str
    box: tuple[float, float, float, float]
    font: str
    size: float


@dataclass(frozen=True)
class ReadPage:
    """One page: size in mm, strokes, filled shapes' points and colours, and words."""

    width: float
    height: float
    strokes: tuple[ReadStroke, ...]
    areas: tuple[tuple[tuple[Point, ...], tuple[float, ...]], ...]
    words: tuple[ReadWord, ...]
    text: str

    def stroke(self, start: Point, end: Point) -> ReadStroke:
        """The straight stroke between two points; AssertionError where there is none."""
        for stroke in self.strokes:
            if stroke.near(start, end):
                return stroke
        raise AssertionError(f"no stroke from {start} to {end}")

    def straight_lines(self) -> list[tuple[Point, Point, ReadStroke]]:
        """Every straight side of every stroke, with the stroke that it belongs to."""
        return [
            (a, b, stroke)
            for stroke in self.strokes
            for a, b, kind in zip(
                stroke.points, stroke.points[1:], stroke.commands[1:], strict=False
            )
            if kind == "l"
        ]


def read_pages(path: Path) -> list[ReadPage]:
    """All pages of a PDF."""
    with pdfplumber.open(path) as pdf:
        return [_page(page) for page in pdf.pages]


def operations(page: Any, only: str = "") -> Iterator[tuple[list[Any], str]]:
    """Operands and operator of each step of a page's content, as pikepdf reads them."""
    for step in pikepdf.parse_content_stream(page, only):
        yield list(step.operands), str(step.operator)


def page_sizes(path: Path) -> list[tuple[float, float]]:
    """Width and height of each page in mm, from its media box."""
    with pikepdf.open(path) as pdf:
        boxes = [[float(v) for v in page.mediabox] for page in pdf.pages]
    return [((b[2] - b[0]) * MM, (b[3] - b[1]) * MM) for b in boxes]


def fonts(path: Path) -> dict[str, bool]:
    """Name of each font in the file, and whether its outlines are embedded."""
    found: dict[str, bool] = {}
    with pikepdf.open(path) as pdf:
        for entry in pdf.objects:
            if isinstance(entry, pikepdf.Dictionary) and entry.get("/Type") == "/Font":
                descriptor = entry.get("/FontDescriptor")
                found[str(entry["/BaseFont"])] = (
                    isinstance(descriptor, pikepdf.Dictionary) and "/FontFile2" in descriptor
                )
    return found


def bookmarks(path: Path) -> list[tuple[int, str]]:
    """Level (0 first) and title of each bookmark in order."""
    with pikepdf.open(path) as pdf, pdf.open_outline() as outline:
        return list(_bookmarks(outline.root, 0))


def _bookmarks(items: Iterable[Any], level: int) -> Iterable[tuple[int, str]]:
    for item in items:
        yield level, str(item.title)
        yield from _bookmarks(item.children, level + 1)


def _page(page: Any) -> ReadPage:
    height = float(page.height)
    shapes = [*page.lines, *page.curves, *page.rects]
    words = page.extract_words(extra_attrs=["fontname"], use_text_flow=False, y_tolerance=3)
    return ReadPage(
        float(page.width) * MM,
        height * MM,
        tuple(_stroke(shape, height) for shape in shapes if shape["stroke"]),
        tuple(
            (_points(shape, height)[0], _colour(shape["non_stroking_color"]))
            for shape in shapes
            if shape["fill"]
        ),
        tuple(_word(word, height) for word in words),
        page.extract_text() or "",
    )


def _stroke(shape: Any, height: float) -> ReadStroke:
    points, commands = _points(shape, height)
    dash: Any = shape.get("dash") or ((), 0)
    return ReadStroke(
        points,
        commands,
        float(shape["linewidth"]) * MM,
        tuple(float(part) * MM for part in dash[0]),
        _colour(shape["stroking_color"]),
        tuple(
            (_point(piece[1], height), _point(piece[2], height))
            for piece in shape["path"]
            if piece[0] == "c"
        ),
    )


def _point(raw: Any, height: float) -> Point:
    return float(raw[0]) * MM, (height - float(raw[1])) * MM


def _points(shape: Any, height: float) -> tuple[tuple[Point, ...], str]:
    """End points of the path's pieces and their operators (m, l, c); a closing side is an l."""
    points: list[Point] = []
    commands = ""
    for piece in shape["path"]:
        if piece[0] == "h":
            if points and not _close(points[-1], points[0], 1e-6):
                points.append(points[0])
                commands += "l"
            continue
        points.append(_point(piece[-1], height))
        commands += piece[0]
    return tuple(points), commands


def _word(word: Any, height: float) -> ReadWord:
    box = (word["x0"], height - word["bottom"], word["x1"], height - word["top"])
    x0, y0, x1, y1 = (float(v) * MM for v in box)
    return ReadWord(word["text"], (x0, y0, x1, y1), word["fontname"], word["bottom"] - word["top"])


def _colour(colour: Any) -> tuple[float, ...]:
    if colour is None:
        return (0.0,)
    return (
        tuple(float(c) for c in colour) if isinstance(colour, (tuple, list)) else (float(colour),)
    )


def _close(a: Point, b: Point, within: float) -> bool:
    return abs(a[0] - b[0]) <= within and abs(a[1] - b[1]) <= within

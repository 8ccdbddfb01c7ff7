"""The brush: strokes, areas, text and clips in millimetres, put into a PDF page.

In: paths, line styles, colours and places in mm. Out: path and text operators on a reportlab
canvas; a fraction is marked with how it reads. The brush remembers what pen and colour are set, so
that nothing is written twice, and never scales the page's axes: widths and dashes in the file are
true points, as drawn.
"""

from __future__ import annotations

import math
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from reportlab.pdfgen.canvas import Canvas

from booklet.draw.linestyle import LineStyle
from booklet.draw.mark import Anchor
from booklet.draw.paint import Rgb, greyed
from booklet.draw.typeface import Faces, Run, TypeStyle
from booklet.flat.path import Path, Point

PT_PER_MM: Final = 72 / 25.4
_PATH_OPERATORS: Final = {"M": "m", "L": "l", "C": "c", "Z": "h"}
_ANCHORS: Final = {"start": 0.0, "middle": 0.5, "end": 1.0}


@dataclass(frozen=True)
class Frame:
    """Where a drawing lies on its page: scaled by `scale` about its origin, then moved (mm)."""

    scale: float = 1.0
    x: float = 0.0
    y: float = 0.0

    def point(self, p: Point) -> Point:
        """A drawing's point (mm) on the page, in points."""
        return (
            (self.x + self.scale * p[0]) * PT_PER_MM,
            (self.y + self.scale * p[1]) * PT_PER_MM,
        )


PAGE: Final = Frame()


@dataclass(frozen=True)
class _Pen:
    """What the page's graphics state holds; None where not set yet."""

    style: LineStyle | None = None
    stroke: Rgb | None = None
    fill: Rgb | None = None


class Brush:
    """Draws on the current page of `canvas`; with `grey`, every colour as its grey."""

    def __init__(self, canvas: Canvas, faces: Faces, grey: bool) -> None:
        self._canvas = canvas
        self._faces = faces
        self._grey = grey
        self._pen = _Pen()
        self._held: list[_Pen] = []

    def new_page(self) -> None:
        """Forget the pen: a page begins with none set."""
        self._pen = _Pen()
        self._held = []

    def stroke(self, path: Path, style: LineStyle, colour: Rgb, frame: Frame = PAGE) -> None:
        """A line along `path`."""
        self._set_line(style)
        self._set_stroke(colour)
        self._write(_outline(path, frame), "S")

    def area(self, path: Path, colour: Rgb, frame: Frame = PAGE) -> None:
        """The inside of `path` (even-odd)."""
        self._set_fill(colour)
        self._write(_outline(path, frame), "f*")

    def begin_clip(self, path: Path, frame: Frame = PAGE) -> None:
        """From here on only what lies inside `path` (even-odd) shows."""
        self._canvas.saveState()
        self._held.append(self._pen)
        self._write(f"{_outline(path, frame)} W* n")

    def end_clip(self) -> None:
        """Ends the clip that began last."""
        self._canvas.restoreState()
        self._pen = self._held.pop()

    def text(
        self,
        at: Point,
        text: str,
        style: TypeStyle,
        anchor: Anchor,
        colour: Rgb,
        angle: float = 0.0,
        gap: str = "",
    ) -> None:
        """One line of text; `at` is the baseline point (points) that the anchor names.

        `gap` is set behind the text and counts for nothing.
        """
        runs = self._faces.runs(text, style.face)
        if not runs:
            return
        self._set_fill(colour)
        back = _ANCHORS[anchor]
        shift = back * self._faces.width(text, style) * PT_PER_MM if back else 0.0
        cos, sin = _direction(angle)
        words = self._canvas.beginText()
        words.setTextTransform(cos, sin, -sin, cos, at[0] - shift * cos, at[1] - shift * sin)
        rise = 0.0
        for index, run in enumerate(runs):
            if index + 2 < len(runs) and runs[index + 1].text == "⁄":
                words._code.append(_spoken(runs, index))  # type: ignore[attr-defined]
            words.setFont(self._faces.faces[run.face].font.fontName, style.size_pt)
            if run.rise != rise:
                rise = run.rise
                words.setRise(rise * style.size_pt)
            words.textOut(run.text)
            if index and runs[index - 1].text == "⁄":
                words._code.append("EMC")  # type: ignore[attr-defined]
        if rise:
            words.setRise(0)
        if gap:
            words.textOut(gap)
        self._canvas.drawText(words)

    def _write(self, *operators: str) -> None:
        self._canvas._code.extend(operators)  # type: ignore[attr-defined]

    def _set_line(self, style: LineStyle) -> None:
        held = self._pen.style
        if held is style:
            return
        if held is None or held.width_mm != style.width_mm:
            self._canvas.setLineWidth(style.width_mm * PT_PER_MM)
        if style.dash != (held.dash if held else ()):
            self._canvas.setDash([part * PT_PER_MM for part in style.dash])
        if style.cap != (held.cap if held else "butt"):
            round_ends = style.cap == "round"
            self._canvas.setLineCap(1 if round_ends else 0)
            self._canvas.setLineJoin(1 if round_ends else 0)
        self._pen = _Pen(style, self._pen.stroke, self._pen.fill)

    def _set_stroke(self, colour: Rgb) -> None:
        if colour == self._pen.stroke:
            return
        shown = greyed(colour) if self._grey else colour
        if shown[0] == shown[1] == shown[2]:
            self._canvas.setStrokeGray(shown[0])
        else:
            self._canvas.setStrokeColorRGB(*shown)
        self._pen = _Pen(self._pen.style, colour, self._pen.fill)

    def _set_fill(self, colour: Rgb) -> None:
        if colour == self._pen.fill:
            return
        shown = greyed(colour) if self._grey else colour
        if shown[0] == shown[1] == shown[2]:
            self._canvas.setFillGray(shown[0])
        else:
            self._canvas.setFillColorRGB(*shown)
        self._pen = _Pen(self._pen.style, self._pen.stroke, colour)


def _outline(path: Path, frame: Frame) -> str:
    """The operators that lay out a path, without what paints it (ISO 32000-1, table 59).

    The library writes them too, in five times the time: half of what a page takes.
    """
    k = frame.scale * PT_PER_MM
    x, y = frame.x * PT_PER_MM, frame.y * PT_PER_MM
    parts = ["n"] if path.commands else []
    for letter, *points in path.commands:
        parts += [f"{number(x + k * u)} {number(y + k * v)}" for u, v in points]
        parts.append(_PATH_OPERATORS[letter])
    return " ".join(parts)


def number(value: float) -> str:
    """A number as the file spells it: to six decimals at most, seven figures, no idle zeros."""
    size = abs(value)
    if size <= 1e-7:
        return "0"
    if size < 10:
        text = f"{value:.6f}"
    elif size < 1000:
        text = f"{value:.5f}" if size < 100 else f"{value:.4f}"
    else:
        text = f"{value:.{max(0, 6 - int(math.log10(size)))}f}"
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return text[1:] if text[0] == "0" and len(text) > 1 else text


def _spoken(runs: Sequence[Run], index: int) -> str:
    """Opens the fraction that begins at `index`, to be read as "1/16" and apart from its whole.

    ActualText: ISO 32000-1, 14.9.4 (from memory).
    """
    parts = [unicodedata.normalize("NFKC", runs[index + step].text) for step in (0, 2)]
    before = runs[index - 1].text[-1:] if index else ""
    text = " " * before.isdigit() + "/".join(parts)
    return f"/Span <</ActualText ({text})>> BDC"


def _direction(angle: float) -> tuple[float, float]:
    """Cosine and sine, exact at quarter turns."""
    quarter = {0.0: (1.0, 0.0), 90.0: (0.0, 1.0), 180.0: (-1.0, 0.0), 270.0: (0.0, -1.0)}
    turn = angle % 360
    return quarter.get(turn) or (math.cos(math.radians(turn)), math.sin(math.radians(turn)))

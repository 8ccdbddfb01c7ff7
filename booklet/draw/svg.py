"""A drawing as SVG: real millimetres, a group for each layer, words as text.

In: a drawing, the type styles by name, an accent colour. Out: the text of an SVG file (SVG 1.1).
One user unit is one millimetre: width and height are given in mm and the view box has the same
numbers, so that a reader's program opens it at full size. y runs down in SVG; points are turned
here, not by a transform, so that every number in the file is a true place.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Final
from xml.sax.saxutils import escape, quoteattr

from booklet.draw.linestyle import LINE_STYLES
from booklet.draw.mark import Area, Clip, Drawing, Label, Mark, Stroke
from booklet.draw.paint import Rgb, greyed, paint
from booklet.draw.typeface import MM_PER_PT, TypeStyle
from booklet.flat.path import Path, Point

FAMILY: Final = "'Source Sans 3', 'Source Sans Pro', sans-serif"


def svg(
    drawing: Drawing,
    styles: Mapping[str, TypeStyle],
    *,
    title: str,
    accent: str = "#000000",
    grey: bool = False,
    margin: float = 0.0,
) -> str:
    """The drawing as an SVG file with `margin` mm of white round its box.

    Each layer becomes one group whose id is the layer's name, in the order of first use. Raises
    KeyError for an unknown line or type style, ValueError for an unknown paint.
    """
    x0, y0, x1, y1 = drawing.box
    width, height = x1 - x0 + 2 * margin, y1 - y0 + 2 * margin
    writer = _Writer(x0 - margin, y1 + margin, styles, accent, grey)
    groups: dict[str, list[str]] = {}
    for mark in drawing.marks:
        layer = "drawing" if isinstance(mark, Clip) else mark.layer
        groups.setdefault(layer, []).append(writer.mark(mark))
    size = f'width="{_number(width)}mm" height="{_number(height)}mm"'
    lines = [
        '<?xml version="1.0" encoding="UTF-8"?>',
        f'<svg xmlns="http://www.w3.org/2000/svg" version="1.1" {size} '
        f'viewBox="0 0 {_number(width)} {_number(height)}">',
        f"<title>{_text(title)}</title>",
        f"<desc>{_text(drawing.alt)}</desc>",
    ]
    for layer, marks in groups.items():
        lines += [f"<g id={quoteattr(layer)}>", *marks, "</g>"]
    return "\n".join((*lines, "</svg>", ""))


class _Writer:
    """Turns marks into elements; (left, top) of the drawing's frame is the SVG's origin."""

    def __init__(
        self,
        left: float,
        top: float,
        styles: Mapping[str, TypeStyle],
        accent: str,
        grey: bool,
    ) -> None:
        self._left = left
        self._top = top
        self._styles = styles
        self._accent = accent
        self._grey = grey
        self._clips = 0

    def mark(self, mark: Mark) -> str:
        """One mark as an element."""
        if isinstance(mark, Stroke):
            return self._stroke(mark)
        if isinstance(mark, Area):
            colour = self._colour(paint(mark.fill, self._accent))
            return f'<path d="{self._data(mark.path)}" fill="{colour}" fill-rule="evenodd"/>'
        if isinstance(mark, Label):
            return self._label(mark)
        return self._clip(mark.path, mark.marks)

    def _stroke(self, mark: Stroke) -> str:
        style = LINE_STYLES[mark.style]
        level = (style.grey, style.grey, style.grey)
        colour = self._colour(paint("accent", self._accent) if style.accent else level)
        looks = f'fill="none" stroke="{colour}" stroke-width="{_number(style.width_mm)}"'
        if style.dash:
            looks += f' stroke-dasharray="{" ".join(map(_number, style.dash))}"'
        if style.cap == "round":
            looks += ' stroke-linecap="round" stroke-linejoin="round"'
        return f'<path class={quoteattr(mark.style)} d="{self._data(mark.path)}" {looks}/>'

    def _label(self, label: Label) -> str:
        style = self._styles[label.style]
        x, y = (_number(value) for value in self._point(label.at))
        colour = self._colour((style.grey, style.grey, style.grey))
        weight = ' font-weight="600"' if style.face in ("bold", "title") else ""
        slant = ' font-style="italic"' if style.face == "italic" else ""
        # Angles run counter-clockwise in drawings, clockwise in SVG.
        turn = f' transform="rotate({_number(-label.angle)} {x} {y})"' if label.angle else ""
        return (
            f'<text x="{x}" y="{y}" font-family="{FAMILY}" '
            f'font-size="{_number(style.size_pt * MM_PER_PT)}" text-anchor="{label.anchor}" '
            f'fill="{colour}"{weight}{slant}{turn}>{_text(label.text)}</text>'
        )

    def _clip(self, path: Path, marks: Iterable[Mark]) -> str:
        self._clips += 1
        name = f"clip{self._clips}"
        inside = "\n".join(self.mark(mark) for mark in marks)
        outline = f'<path d="{self._data(path)}" clip-rule="evenodd"/>'
        return (
            f'<clipPath id="{name}">{outline}</clipPath>\n'
            f'<g clip-path="url(#{name})">\n{inside}\n</g>'
        )

    def _data(self, path: Path) -> str:
        parts: list[str] = []
        for command in path.commands:
            if command[0] == "Z":
                parts.append("Z")
                continue
            points = (self._point(point) for point in command[1:])
            pairs = " ".join(f"{_number(x)},{_number(y)}" for x, y in points)
            parts.append(f"{command[0]}{pairs}")
        return " ".join(parts)

    def _point(self, point: Point) -> Point:
        return point[0] - self._left, self._top - point[1]

    def _colour(self, colour: Rgb) -> str:
        shown = greyed(colour) if self._grey else colour
        return "#" + "".join(f"{round(channel * 255):02x}" for channel in shown)


def _text(words: str) -> str:
    """Words as XML may hold them: markup escaped, characters that XML 1.0 forbids left out."""
    kept = "".join(
        char
        for char in words
        if char in "\t\n" or "\u0020" <= char <= "\ud7ff" or "\ue000" <= char <= "\ufffd"
        or char > "\uffff"
    )  # fmt: skip
    return escape(kept)


def _number(value: float) -> str:
    """A length to a ten-thousandth of a millimetre, without trailing zeros."""
    text = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text

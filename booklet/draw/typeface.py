"""Faces: which type there is, how wide it sets, and what to do where a glyph is missing.

In: the font files (package `booklet.fonts` when installed, the folder `fonts` in a checkout). Out:
a frozen `Faces` that measures text in millimetres and splits it into runs that can be drawn.

A character without a glyph is drawn in the bold text face if that has it, else as a white square;
nothing a maker types makes drawing fail. Fractions are set from superscript digits, U+2044 and
subscript digits, shifted so that they stand like the fractions that are single characters.
"""

from __future__ import annotations

import io
import re
import struct
import unicodedata
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from importlib import resources
from importlib.resources.abc import Traversable
from pathlib import Path
from types import MappingProxyType
from typing import Final, Literal

from reportlab.pdfbase.ttfonts import TTFont, TTFontFace

FaceName = Literal["text", "bold", "italic", "title"]

MM_PER_PT: Final = 25.4 / 72
SUBSTITUTE: Final = "□"

FILES: Mapping[FaceName, str] = MappingProxyType(
    {
        "text": "SourceSans3-Regular.ttf",
        "bold": "SourceSans3-SemiBold.ttf",
        "italic": "SourceSans3-Italic.ttf",
        "title": "Bitter-SemiBold.ttf",
    }
)

_FRACTION = re.compile("([⁰¹²³⁴-⁹]+)(⁄)([₀-₉]+)")
# Spaces and hyphens that a face may lack, by what they look like; "" is never seen.
_PLAIN: Final = {"\u2010": "-", "\u2011": "-", "\u00ad": "", "\u2028": " ", "\u2029": " "}


@dataclass(frozen=True)
class TypeStyle:
    """A named size of type: its face, size and leading in points, grey from 0 black to 1 white."""

    name: str
    face: FaceName
    size_pt: float
    leading_pt: float
    grey: float = 0.0


@dataclass(frozen=True)
class Run:
    """Text that one face draws on one line, raised by `rise` (a share of the type size)."""

    face: FaceName
    text: str
    rise: float = 0.0


@dataclass(frozen=True, eq=False)
class Face:
    """One face: advances by character and heights as shares of the type size.

    `font` is what the PDF stage embeds.
    """

    font: TTFont
    advances: Mapping[str, float]
    cap_height: float
    ascent: float
    descent: float
    numerator: float
    denominator: float


@dataclass(frozen=True, eq=False)
class Faces:
    """The faces of a booklet, loaded."""

    faces: Mapping[FaceName, Face]

    def width(self, text: str, style: TypeStyle) -> float:
        """Width of `text` set on one line, in mm."""
        advances = self.faces[style.face].advances
        try:
            if not text.isascii() and not unicodedata.is_normalized("NFC", text):
                raise KeyError(text)
            total = sum([advances[char] for char in text])
        except KeyError:
            total = sum(
                self.faces[run.face].advances[char]
                for run in self.runs(text, style.face)
                for char in run.text
            )
        return total * style.size_pt * MM_PER_PT

    def missing(self, text: str, face: FaceName = "text") -> set[str]:
        """The characters of `text` that would print as a white square."""
        return {char for char, run in self._drawn(text, face) if run is None and char}

    def runs(self, text: str, face: FaceName) -> tuple[Run, ...]:
        """`text` as it is drawn: one face a run, missing glyphs replaced, fractions shifted."""
        text = unicodedata.normalize("NFC", text)
        runs: list[Run] = []
        at = 0
        for match in _FRACTION.finditer(text):
            runs.extend(self._plain_runs(text[at : match.start()], face))
            shift = self.faces[face]
            runs.append(Run(face, match[1], shift.numerator))
            runs.append(Run(face, match[2]))
            runs.append(Run(face, match[3], shift.denominator))
            at = match.end()
        runs.extend(self._plain_runs(text[at:], face))
        return tuple(runs)

    def cap_height(self, style: TypeStyle) -> float:
        """Height of capitals and figures above the baseline, in mm."""
        return self.faces[style.face].cap_height * style.size_pt * MM_PER_PT

    def ascent(self, style: TypeStyle) -> float:
        """How far letters with strokes upward reach above the baseline, in mm."""
        return self.faces[style.face].ascent * style.size_pt * MM_PER_PT

    def descent(self, style: TypeStyle) -> float:
        """How far letters reach below the baseline, in mm, positive."""
        return self.faces[style.face].descent * style.size_pt * MM_PER_PT

    def _plain_runs(self, text: str, face: FaceName) -> Iterator[Run]:
        advances = self.faces[face].advances
        if all(char in advances for char in text):
            if text:
                yield Run(face, text)
            return
        current: FaceName = face
        held = ""
        for char, able in self._drawn(text, face):
            wanted = able or face
            if wanted != current and held:
                yield Run(current, held)
                held = ""
            current = wanted
            held += char if able else SUBSTITUTE
        if held:
            yield Run(current, held)

    def _drawn(self, text: str, face: FaceName) -> Iterator[tuple[str, FaceName | None]]:
        """Each character to draw and the face that has it; None where none has."""
        choice: tuple[FaceName, ...] = (face, "bold")
        for char in unicodedata.normalize("NFC", text):
            for shown in (char, _plain(char)):
                able = [name for name in choice if shown in self.faces[name].advances]
                if able or not shown:
                    break
            if able:
                yield shown, able[0]
            elif shown:
                yield char, None


def _plain(char: str) -> str:
    """What stands for a character that the eye takes for another; "" for an invisible one."""
    if char in _PLAIN:
        return _PLAIN[char]
    kind = unicodedata.category(char)
    if kind == "Zs" or char in "\t\n\r\v\f":
        return " "
    # Format and control characters and the marks that choose a variant never show of themselves.
    is_unseen = kind in ("Cf", "Cc") or "\ufe00" <= char <= "\ufe0f"
    return "" if is_unseen else char


def load_faces() -> Faces:
    """Reads and parses each font file once (about 3 ms a face)."""
    folder = _folder()
    return Faces(
        MappingProxyType(
            {
                name: _face(folder.joinpath(file).read_bytes(), file.removesuffix(".ttf"))
                for name, file in FILES.items()
            }
        )
    )


def font_files() -> dict[str, bytes]:
    """The bytes of each font file, by its name."""
    return {file: _folder().joinpath(file).read_bytes() for file in sorted(FILES.values())}


def _folder() -> Traversable:
    try:
        return resources.files("booklet.fonts")
    except ModuleNotFoundError:
        return Path(__file__).resolve().parents[2] / "fonts"


def _face(data: bytes, name: str) -> Face:
    stream = io.BytesIO(data)
    # The PDF library names embedded streams after the file that they came from.
    stream.name = f"{name}.ttf"
    font = TTFont(name, stream, asciiReadable=False)
    face = font.face
    advances = {
        chr(code): width / 1000
        for code, width in face.charWidths.items()
        if face.charToGlyph.get(code)
    }
    figure = _glyph_box(face, "1")
    return Face(
        font,
        MappingProxyType(advances),
        face.capHeight / 1000,
        _glyph_box(face, "l")[1],
        -_glyph_box(face, "p")[0],
        figure[1] - _glyph_box(face, "¹")[1],
        figure[0] - _glyph_box(face, "₁")[0],
    )


def _glyph_box(face: TTFontFace, char: str) -> tuple[float, float]:
    """Lowest and highest point of a glyph as shares of the type size ("glyf" table header)."""
    glyph = face.charToGlyph[ord(char)]
    at = face.get_table_pos("glyf")[0] + face.glyphPos[glyph]
    _, low, _, high = struct.unpack(">4h", face.get_chunk(at + 2, 8))
    return low / face.unitsPerEm, high / face.unitsPerEm

"""What a booklet's PDF holds, as a recipe for `bare_reportlab.py`: `recipe.py PDF RECIPE`.

In: a PDF. Out: JSON: font files by name, then pages with the size, paths and texts of each, in
points, as pdfium reads them. It runs as a process of its own: a process starts with the peak memory
of the one that starts it, so the one that measures must stay small.
"""

from __future__ import annotations

import ctypes
import json
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pypdfium2  # type: ignore[import-untyped]
import pypdfium2.raw as pdfium  # type: ignore[import-untyped]

FONTS = Path(__file__).resolve().parents[2] / "fonts"


def read_recipe(pdf: Path) -> dict[str, Any]:
    """What a bare script has to draw: font files by name, and each page's paths and texts."""
    document = pypdfium2.PdfDocument(pdf)
    pages = [_page(document[number]) for number in range(len(document))]
    used = {text[0] for page in pages for text in page["texts"]}
    fonts = {path.stem: str(path) for path in sorted(FONTS.glob("*.ttf"))}
    return {"fonts": {name: fonts[name] for name in sorted(used)}, "pages": pages}


def _page(page: Any) -> dict[str, Any]:
    words = page.get_textpage()
    paths: list[Any] = []
    texts: list[Any] = []
    # Drawings that are clipped lie on the page like all others; nothing is nested in forms.
    for item in page.get_objects():
        if item.type == pdfium.FPDF_PAGEOBJ_PATH:
            fill, stroke = ctypes.c_int(), ctypes.c_int()
            pdfium.FPDFPath_GetDrawMode(item.raw, fill, stroke)
            paths.append((int(bool(stroke.value)), int(bool(fill.value)), list(_commands(item))))
        elif item.type == pdfium.FPDF_PAGEOBJ_TEXT:
            texts.append(_text(item, words))
    return {"size": page.get_size(), "paths": paths, "texts": texts}


def _commands(item: Any) -> Iterator[tuple[str | float, ...]]:
    """A path's commands in points: M and L with one point, C with three, Z."""
    curve: list[float] = []
    for number in range(pdfium.FPDFPath_CountSegments(item.raw)):
        segment = pdfium.FPDFPath_GetPathSegment(item.raw, number)
        x, y = ctypes.c_float(), ctypes.c_float()
        pdfium.FPDFPathSegment_GetPoint(segment, x, y)
        kind = pdfium.FPDFPathSegment_GetType(segment)
        if kind == pdfium.FPDF_SEGMENT_BEZIERTO:
            curve += (x.value, y.value)
            if len(curve) == 6:
                yield ("C", *curve)
                curve = []
        else:
            yield ("M" if kind == pdfium.FPDF_SEGMENT_MOVETO else "L", x.value, y.value)
        if pdfium.FPDFPathSegment_GetClose(segment):
            yield ("Z",)


def _text(item: Any, words: Any) -> tuple[str, float, float, float, str]:
    """Font file's name, size in points, place and letters of a text object."""
    font = pdfium.FPDFTextObj_GetFont(item.raw)
    name = ctypes.create_string_buffer(200)
    pdfium.FPDFFont_GetBaseFontName(font, name, len(name))
    size = ctypes.c_float()
    pdfium.FPDFTextObj_GetFontSize(item.raw, size)
    length = pdfium.FPDFTextObj_GetText(item.raw, words.raw, None, 0)
    letters = ctypes.create_string_buffer(length * 2)
    pdfium.FPDFTextObj_GetText(
        item.raw, words.raw, ctypes.cast(letters, ctypes.POINTER(ctypes.c_ushort)), length
    )
    matrix = pdfium.FS_MATRIX()
    pdfium.FPDFPageObj_GetMatrix(item.raw, matrix)
    # A subset's name has six letters and a plus sign before the font's own.
    face = name.value.decode("ascii").rpartition("+")[2]
    text = letters.raw.decode("utf-16-le").rstrip("\0")
    return face, size.value, matrix.e, matrix.f, text


if __name__ == "__main__":
    Path(sys.argv[2]).write_text(json.dumps(read_recipe(Path(sys.argv[1]))), "utf-8")

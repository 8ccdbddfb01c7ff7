"""Imposition: reading pages two-up on sheets that are folded once and nested (saddle stitching).

In: the bytes of a PDF whose pages are half a sheet each, the thickness of a leaf. Out: the bytes of
the sheets, landscape, front and back by turns, both upright: they are printed on both sides and
flipped on the short edge. Pages keep their size; they are only moved.

The order n, 1, 2, n-1, n-2, 3, ... is that of the Ubuntu 18.04 Desktop Guide, "Print a booklet".
A sheet further in is pushed out at the open edge by the thickness of every sheet round it; its
pages are moved towards the fold by as much (published rule: creep grows by one caliper a sheet).
"""

from __future__ import annotations

import hashlib
import io
from dataclasses import dataclass
from typing import Final

from pypdf import PdfReader, PdfWriter
from pypdf.generic import (
    ArrayObject,
    ByteStringObject,
    DictionaryObject,
    NameObject,
    StreamObject,
    TextStringObject,
)

from booklet.pdf.brush import PT_PER_MM
from booklet.pdf.metadata import OWN_DATA
from booklet.pdf.overlay import form_of

OFFICE_PAPER: Final = 0.1
"""Thickness of a sheet of 80 gsm paper in mm (common practice, no source)."""


@dataclass(frozen=True)
class Side:
    """One side of a sheet: the pages at left and right, counted from 1."""

    left: int
    right: int


def sides(pages: int) -> list[Side]:
    """Front and back of each sheet, the outermost first. Raises ValueError unless 4 divides."""
    if pages % 4 or pages <= 0:
        raise ValueError(f"{pages} pages do not fill folded sheets")
    order: list[Side] = []
    for sheet in range(pages // 4):
        first, last = 2 * sheet + 1, pages - 2 * sheet
        order += [Side(last, first), Side(first + 1, last - 1)]
    return order


def imposed(data: bytes, leaf: float = OFFICE_PAPER) -> bytes:
    """The sheets; `leaf` is the thickness of one in mm, 0 for no creep."""
    reader = PdfReader(io.BytesIO(data))
    writer = PdfWriter()
    writer.pdf_header = reader.pdf_header
    forms = [form_of(page, writer) for page in reader.pages]
    box = reader.pages[0].mediabox
    width, height = float(box.width), float(box.height)
    for index, side in enumerate(sides(len(forms))):
        sheet = writer.add_blank_page(2 * width, height)
        shift = (index // 2) * leaf * PT_PER_MM
        placed = {"/Left": (side.left, shift), "/Right": (side.right, width - shift)}
        code = "".join(f"q 1 0 0 1 {x:.4f} 0 cm {name} Do Q\n" for name, (_, x) in placed.items())
        stream = StreamObject()
        stream.set_data(code.encode())
        sheet[NameObject("/Contents")] = writer._add_object(stream)
        shown = {NameObject(name): forms[page - 1] for name, (page, _) in placed.items()}
        resources = DictionaryObject({NameObject("/XObject"): DictionaryObject(shown)})
        sheet[NameObject("/Resources")] = resources
    _describe(writer, reader, data, leaf)
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


def _describe(writer: PdfWriter, reader: PdfReader, data: bytes, leaf: float) -> None:
    """What the file says of itself, and how viewers should print it."""
    writer.add_metadata(reader.metadata or {})
    root = writer.root_object
    root[NameObject("/Lang")] = TextStringObject(str(reader.root_object.get("/Lang", "en")))
    wanted = {"/PrintScaling": "/None", "/Duplex": "/DuplexFlipShortEdge"}
    preferences = {NameObject(key): NameObject(value) for key, value in wanted.items()}
    root[NameObject("/ViewerPreferences")] = DictionaryObject(preferences)
    private = DictionaryObject({NameObject("/Edition"): TextStringObject("booklet to fold")})
    own = DictionaryObject({NameObject("/Private"): private})
    modified = reader.metadata.get("/ModDate", "") if reader.metadata else ""
    own[NameObject("/LastModified")] = TextStringObject(str(modified))
    root[NameObject("/PieceInfo")] = DictionaryObject({NameObject(f"/{OWN_DATA}"): own})
    digest = hashlib.md5(data + repr(leaf).encode(), usedforsecurity=False).digest()
    writer._ID = ArrayObject((ByteStringObject(digest), ByteStringObject(digest)))

"""A personal copy: a name, an order number and a date on every page and in the file's data.

In: the bytes of a PDF of ours, what to write. Out: the bytes of the copy. What was drawn on a page
is not touched, so templates stay at full size to the last digit; the words stand in the room that
the footer leaves.
"""

from __future__ import annotations

import datetime
import hashlib
import io
import logging
import unicodedata
from dataclasses import dataclass
from typing import Final

from pypdf import PdfReader, PdfWriter
from pypdf.generic import (
    ArrayObject,
    ByteStringObject,
    DictionaryObject,
    IndirectObject,
    NameObject,
    TextStringObject,
)

from booklet.draw.typeface import MM_PER_PT, Faces
from booklet.pages import type as scale
from booklet.pages.frame import FOOTER, footer_room
from booklet.pages.grid import Paper
from booklet.pages.page import Document, Element, Line, Page, Role
from booklet.pdf.canvas import pages_and_tree
from booklet.pdf.metadata import OWN_DATA
from booklet.pdf.overlay import draw_over, form_of

STAMPED: Final = ("pattern", "handout")
"""Editions whose footers have room for a name."""
LONGEST: Final = 80
MOST_PAGES: Final = 2000
"""Pages that are stamped; templates of a project take up to 600."""
_REASONS: Final = {
    "Cc": "a control character",
    "Cf": "an invisible character that steers text",
    "Cs": "half a character",
    "Co": "a character without a meaning of its own",
    "Cn": "a character that does not exist",
    "Zl": "a line break",
    "Zp": "a line break",
    "Mn": "a combining mark",
    "Mc": "a combining mark",
    "Me": "a combining mark",
}
_FROM_THE_RIGHT: Final = ("R", "AL", "AN")


class Refused(ValueError):
    """A PDF that is not stamped, or words that cannot be printed; the message says why."""


@dataclass(frozen=True)
class Copy:
    """Whom a copy is for, the number of the order ("" for none), and the day."""

    name: str
    order: str
    date: datetime.date


def printable(words: str, what: str, faces: Faces) -> str:
    """The words as they are printed, composed and trimmed; raises Refused where they cannot be."""
    # Every kind of space counts as one, so that a name of hard spaces is as empty as it looks.
    plain = "".join(" " if unicodedata.category(char) == "Zs" else char for char in words)
    parts = unicodedata.normalize("NFC", plain).split(" ")
    shown = " ".join(part for part in parts if part)
    if not shown:
        raise Refused(f"{what} is empty")
    if len(shown) > LONGEST:
        raise Refused(f"{what} has {len(shown)} letters, more than {LONGEST}")
    for char in shown:
        named = f"U+{ord(char):04X}"
        kind = unicodedata.category(char)
        if kind in _REASONS:
            raise Refused(f"{what} holds {_REASONS[kind]} ({named})")
        if unicodedata.bidirectional(char) in _FROM_THE_RIGHT:
            raise Refused(
                f"{what} holds writing from right to left ({named}), which booklet cannot set: "
                "write it in Latin letters"
            )
    missing = sorted(faces.missing(shown))
    if missing:
        raise Refused(f"{what} holds {', '.join(missing)}, which booklet's type does not have")
    return shown


def stamped(data: bytes, copy: Copy, faces: Faces) -> bytes:
    """The copy. Raises Refused for what is no PDF of ours, is locked or is a copy already."""
    try:
        return _stamped(data, copy, faces)
    except Refused:
        raise
    except Exception as error:
        # A file that says it is ours and is not: the library fails in more ways than it names.
        raise Refused("it is damaged, or another program changed it") from error


def _stamped(data: bytes, copy: Copy, faces: Faces) -> bytes:
    reader = _opened(data)
    private = _own_data(reader.root_object)
    if "/CopyFor" in private:
        raise Refused(f"it is a copy already, for {private['/CopyFor']}: stamp the original")
    edition = str(private.get("/Edition", ""))
    if edition not in STAMPED:
        named = edition if isinstance(private.get("/Edition"), TextStringObject) else ""
        raise Refused(f"it is a {named or 'file without an edition'}: stamp a pattern instead")
    if not reader.pages:
        raise Refused("it has no page")
    if not reader.pdf_header.startswith("%PDF-"):
        raise Refused("something stands before its first line")
    writer = PdfWriter(clone_from=reader)
    writer.pdf_header = reader.pdf_header
    title = str(reader.metadata.title or "") if reader.metadata else ""
    sizes = {_size(page.mediabox) for page in writer.pages}
    forms = _forms(sizes, title, copy, faces, writer)
    for page in writer.pages:
        draw_over(page, forms[_size(page.mediabox)], writer)
    _note(writer, copy, data)
    stream = io.BytesIO()
    writer.write(stream)
    return stream.getvalue()


def _opened(data: bytes) -> PdfReader:
    # Whatever is wrong with the file is told in a sentence of ours, not in the library's log.
    logging.getLogger("pypdf").setLevel(logging.CRITICAL)
    try:
        reader = PdfReader(io.BytesIO(data))
        if reader.is_encrypted:
            raise Refused("it is locked with a password: stamp the original")
        if len(reader.pages) > MOST_PAGES:
            raise Refused(f"it has more than {MOST_PAGES} pages")
    except Refused:
        raise
    except Exception as error:
        # A damaged or hostile file makes the library fail in more ways than it names.
        raise Refused("it is no PDF that can be read") from error
    return reader


def copy_of(data: bytes) -> tuple[str, str] | None:
    """Name and order number of a copy; None for any other file."""
    try:
        private = _own_data(_opened(data).root_object)
    except Exception:
        # Refused, or whatever the library raises for a damaged file: no copy of ours.
        return None
    if "/CopyFor" not in private:
        return None
    return str(private["/CopyFor"]), str(private.get("/OrderNumber", ""))


def _own_data(catalogue: DictionaryObject) -> DictionaryObject:
    """What booklet noted in the file when it was made."""
    entry: object = catalogue
    for key in ("/PieceInfo", f"/{OWN_DATA}", "/Private"):
        entry = entry.get(key) if isinstance(entry, DictionaryObject) else None
        entry = entry.get_object() if isinstance(entry, IndirectObject) else entry
    if not isinstance(entry, DictionaryObject):
        raise Refused("booklet did not make it")
    return entry


def _size(box: ArrayObject) -> tuple[float, float]:
    x0, y0, x1, y1 = (float(value) for value in box)
    return round(x1 - x0, 3), round(y1 - y0, 3)


def _forms(
    sizes: set[tuple[float, float]], title: str, copy: Copy, faces: Faces, writer: PdfWriter
) -> dict[tuple[float, float], IndirectObject]:
    """The stamp for each size of page, as forms of the writer."""
    ordered = sorted(sizes)
    pages = [
        _stamp_page(Paper("", w * MM_PER_PT, h * MM_PER_PT), title, copy, faces) for w, h in ordered
    ]
    document = Document("", "", "", "en", "#000000", tuple(pages))
    when = datetime.datetime.combine(copy.date, datetime.time(), datetime.UTC)
    # Type as archives ask for it: the original may say that it keeps their rules.
    data, _ = pages_and_tree(document, faces, date=when)
    reader = PdfReader(io.BytesIO(data))
    return {size: form_of(page, writer) for size, page in zip(ordered, reader.pages, strict=True)}


def _stamp_page(paper: Paper, title: str, copy: Copy, faces: Faces) -> Page:
    order = f" · order {copy.order}" if copy.order else ""
    rest = f"{copy.name}{order} · {copy.date.isoformat()}"
    left, right = footer_room(title, paper, faces)
    for words in (f"Personal copy for {rest}", f"For {rest}"):
        if faces.width(words, scale.SMALL) <= right - left:
            line = Line((left + right) / 2, FOOTER, words, scale.SMALL, "middle", "grey")
            return Page(paper.width, paper.height, (Element(Role("decoration"), (line,)),))
    raise Refused("name and order number are too long for the footer: shorten one of them")


def _note(writer: PdfWriter, copy: Copy, original: bytes) -> None:
    """Writes the copy's data into the information dictionary and beside the edition."""
    entries = {"/CopyFor": copy.name, "/CopyDate": copy.date.isoformat()}
    if copy.order:
        entries["/OrderNumber"] = copy.order
    # Title, author and dates stay: the file's other metadata say the same of them.
    writer.add_metadata(entries)
    private = _own_data(writer.root_object)
    for key, value in entries.items():
        private[NameObject(key)] = TextStringObject(value)
    # The first half of a file's ID stays, the second follows its contents (14.4).
    first = writer._ID[0] if writer._ID else ByteStringObject(b"")
    seed = original + repr(copy).encode()
    second = hashlib.md5(seed, usedforsecurity=False).digest()
    writer._ID = ArrayObject((first, ByteStringObject(second)))

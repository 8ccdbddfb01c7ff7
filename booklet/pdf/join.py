"""Sections become one file, written as they come: what was written is not kept in memory.

In: sections with what is drawn over their pages, bookmarks, titles. Out: a PDF on a stream. Only
the places of objects, the pages' numbers and the bookmarks are held until the end.
"""

from __future__ import annotations

import hashlib
import io
from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from typing import BinaryIO, Final

from pypdf.generic import TextStringObject

from booklet.pdf.layers import NAMES
from booklet.pdf.metadata import OWN_DATA, PROGRAM
from booklet.pdf.section import Parts, Piece, Section, SectionPage

CATALOGUE, PAGES, INFO, BEGIN, END = 1, 2, 3, 4, 5
FIRST_LAYER: Final = 6
OVERLAY: Final = "/BookletOverlay"


@dataclass(frozen=True)
class Bookmark:
    """A bookmark: title, level (0 outermost), page counted from 0 in the whole file."""

    title: str
    level: int
    page: int


class Joiner:
    """Writes a PDF section by section."""

    def __init__(self, file: BinaryIO) -> None:
        self._file = file
        self._at = 0
        self._digest = hashlib.md5(usedforsecurity=False)
        self._places: dict[int, int] = {}
        self._next = FIRST_LAYER + len(NAMES)
        self._pages: list[int] = []
        self._write(b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n")
        self._stream(BEGIN, b"", b"q\n")
        # Content and what is drawn over it never touch each other's state (8.4.2).
        self._stream(END, b"", f"\nQ\nq\n/Artifact BMC\n{OVERLAY} Do\nEMC\nQ\n".encode())

    @property
    def pages(self) -> int:
        """How many pages the file has so far."""
        return len(self._pages)

    def add(self, section: Section, over: Section) -> None:
        """The section's pages, each with the page of `over` drawn on it."""
        base = self._pieces(section)
        over_base = self._pieces(over)
        for page, drawn in zip(section.pages, over.pages, strict=True):
            form = self._form(drawn, over, over_base)
            number = self._new()
            self._pages.append(number)
            forms = "".join(
                f"{name} {_text(parts, base)} " for name, parts in page.forms.items()
            )
            contents = " ".join(f"{base + index} 0 R" for index in page.contents)
            self._object(
                number,
                f"<</Type /Page /Parent {PAGES} 0 R /MediaBox [0 0 {page.width} {page.height}]\n"
                f"/Resources <<{_text(page.resources, base)}"
                f"/XObject <<{forms}{OVERLAY} {form} 0 R>>>>\n"
                f"/Contents [{BEGIN} 0 R {contents} {END} 0 R]>>",
            )

    def finish(self, title: str, language: str, stamp: str, bookmarks: Sequence[Bookmark]) -> None:
        """Layers, pages, bookmarks, catalogue and the table of places."""
        layers = []
        for index, name in enumerate(NAMES.values()):
            self._object(FIRST_LAYER + index, f"<</Type /OCG /Name ({name})>>")
            layers.append(f"{FIRST_LAYER + index} 0 R")
        groups = f"[{' '.join(layers)}]"
        shown = f"<</Name (Template layers) /BaseState /ON /ON {groups} /Order {groups}>>"
        kids = " ".join(f"{number} 0 R" for number in self._pages)
        self._object(PAGES, f"<</Type /Pages /Count {len(self._pages)} /Kids [{kids}]>>")
        outline = self._outline(bookmarks)
        self._object(
            INFO,
            f"<</Title {_string(title)} /Creator {_string(PROGRAM)} /Producer {_string(PROGRAM)} "
            f"/CreationDate ({stamp}) /ModDate ({stamp})>>",
        )
        private = f"<</LastModified ({stamp}) /Private <</Edition (binder of projects)>>>>"
        self._object(
            CATALOGUE,
            f"<</Type /Catalog /Pages {PAGES} 0 R /Lang {_string(language)} "
            f"/PageMode /UseOutlines /Outlines {outline} 0 R "
            f"/ViewerPreferences <</DisplayDocTitle true /PrintScaling /None>> "
            f"/OCProperties <</OCGs {groups} /D {shown}>> "
            f"/PieceInfo <</{OWN_DATA} {private}>>>>",
        )
        self._table()

    def _table(self) -> None:
        start, count = self._at, self._next
        code = self._digest.hexdigest()
        self._write(f"xref\n0 {count}\n0000000000 65535 f \n".encode())
        for number in range(1, count):
            self._write(f"{self._places[number]:010d} 00000 n \n".encode())
        self._write(
            f"trailer\n<</Size {count} /Root {CATALOGUE} 0 R /Info {INFO} 0 R "
            f"/ID [<{code}> <{code}>]>>\nstartxref\n{start}\n%%EOF\n".encode()
        )

    def _outline(self, bookmarks: Sequence[Bookmark]) -> int:
        """The tree of bookmarks (12.3.3); returns the number of its root."""
        root = self._new()
        numbers = [self._new() for _ in bookmarks]
        parents: list[int] = []
        children: dict[int, list[int]] = {root: []}
        path = [root]
        for mark, number in zip(bookmarks, numbers, strict=True):
            del path[mark.level + 1 :]
            parents.append(path[-1])
            children[path[-1]].append(number)
            children[number] = []
            path.append(number)
        for mark, number, parent in zip(bookmarks, numbers, parents, strict=True):
            beside = children[parent]
            index = bisect_left(beside, number)
            before = f" /Prev {beside[index - 1]} 0 R" if index else ""
            after = f" /Next {beside[index + 1]} 0 R" if index + 1 < len(beside) else ""
            within = self._within(children[number], -1)
            target = self._pages[mark.page]
            self._object(
                number,
                f"<</Title {_string(mark.title)} /Parent {parent} 0 R{before}{after}{within} "
                f"/Dest [{target} 0 R /Fit]>>",
            )
        self._object(root, f"<</Type /Outlines{self._within(children[root], 1)}>>")
        return root

    @staticmethod
    def _within(inside: Sequence[int], way: int) -> str:
        """First, last and count of the bookmarks inside one; a negative count: closed."""
        if not inside:
            return ""
        return f" /First {inside[0]} 0 R /Last {inside[-1]} 0 R /Count {way * len(inside)}"

    def _pieces(self, section: Section) -> int:
        base = self._next
        self._next += len(section.pieces)
        for index, piece in enumerate(section.pieces):
            self._piece(base + index, piece, base)
        return base

    def _piece(self, number: int, piece: Piece, base: int) -> None:
        text = _text(piece.parts, base)
        if piece.stream is None:
            self._object(number, text)
        else:
            self._stream(number, text.encode("latin-1"), piece.stream)

    def _form(self, page: SectionPage, section: Section, base: int) -> int:
        """A page of a section as a form XObject (8.10)."""
        number = self._new()
        content = section.pieces[page.contents[0]]
        head = (
            f"/Type /XObject /Subtype /Form /BBox [0 0 {page.width} {page.height}]\n"
            f"/Resources <<{_text(page.resources, base)}>>\n{_text(content.parts, base)}"
        )
        self._stream(number, head.encode("latin-1"), content.stream or b"")
        return number

    def _new(self) -> int:
        self._next += 1
        return self._next - 1

    def _stream(self, number: int, head: bytes, data: bytes) -> None:
        self._places[number] = self._at
        self._write(b"%d 0 obj\n<<%b/Length %d>>\nstream\n" % (number, head, len(data)))
        self._write(data)
        self._write(b"\nendstream\nendobj\n")

    def _object(self, number: int, text: str) -> None:
        self._places[number] = self._at
        self._write(f"{number} 0 obj\n{text}\nendobj\n".encode("latin-1"))

    def _write(self, data: bytes) -> None:
        self._file.write(data)
        self._digest.update(data)
        self._at += len(data)


def _text(parts: Parts, base: int) -> str:
    """Parts as text, references numbered from `base`; below 0 they mean a layer."""
    return "".join(
        part
        if isinstance(part, str)
        else f"{base + part if part >= 0 else FIRST_LAYER - 1 - part} 0 R"
        for part in parts
    )


def _string(words: str) -> str:
    """A text string (7.9.2.2), escaped."""
    stream = io.BytesIO()
    TextStringObject(words).write_to_stream(stream)
    return stream.getvalue().decode("latin-1")

"""What a PDF says of itself: title, author, dates, language, how to show and print it, bookmarks.

In: a `Document` and a date. Out: entries in the PDF's information dictionary and catalogue.
Everything that could differ between two runs (dates, trailer ID) follows from the document and
the given date alone.
"""

from __future__ import annotations

import hashlib
from datetime import UTC, datetime
from typing import Any, Final

from reportlab.pdfbase.pdfdoc import PDFDictionary, PDFObject, PDFString
from reportlab.pdfgen.canvas import Canvas

from booklet import __version__
from booklet.pages.page import Document

PROGRAM: Final = f"booklet {__version__}"
OWN_DATA: Final = "Booklet"
"""Under this name the catalogue's page-piece dictionary (ISO 32000-1, 14.5) holds our own data."""


def set_metadata(canvas: Canvas, document: Document, date: datetime) -> None:
    """Fills in the entries; a `date` without a zone is read as UTC."""
    stamp = pdf_date(date)
    canvas.setTitle(_clean(document.title))
    canvas.setAuthor(_clean(document.designer))
    canvas.setSubject(_clean(document.subject))
    canvas.setCreator(PROGRAM)
    canvas.setProducer(PROGRAM)
    canvas.setDateFormatter(lambda *_: stamp)
    # Show the title in the window, and never offer to shrink a full-size template.
    canvas.setViewerPreference("DisplayDocTitle", "true")
    canvas.setViewerPreference("PrintScaling", "None")
    private = PDFDictionary({"Edition": PDFString(document.edition)})
    own = PDFDictionary({"LastModified": PDFString(stamp), "Private": private})
    add_to_catalogue(canvas, "PieceInfo", PDFDictionary({OWN_DATA: own}))
    # The library seeds this hash with a clock or an environment variable; here only `date` counts.
    seed = "\0".join((PROGRAM, document.language, stamp))
    digest = hashlib.md5(seed.encode(), usedforsecurity=False)
    canvas._doc.signature = digest  # type: ignore[attr-defined]


def add_fingerprint(canvas: Canvas) -> None:
    """Lets the page just drawn count for the trailer ID; call it before the page is closed."""
    operators = "\n".join(canvas._code)  # type: ignore[attr-defined]
    canvas._doc.updateSignature(operators)  # type: ignore[attr-defined]


def add_bookmark(canvas: Canvas, key: str, title: str, level: int, before: int) -> int:
    """A bookmark to the current page; returns its level, at most one deeper than `before`.

    The library knows a title by its `key`: two of one key would both have the later title.
    """
    deep = max(0, min(level, before + 1))
    canvas.bookmarkPage(key)
    canvas.addOutlineEntry(_clean(title), key, deep)
    return deep


def pdf_date(date: datetime) -> str:
    """PDF Reference 1.7, section 3.8.3 "Dates" (from memory): D:YYYYMMDDHHmmSSZ."""
    universal = date.astimezone(UTC) if date.tzinfo else date
    return universal.strftime("D:%Y%m%d%H%M%SZ")


def _clean(text: str) -> str:
    """Text that any encoding takes: halves of broken character pairs become question marks."""
    return text.encode("utf-8", "replace").decode("utf-8")


def add_to_catalogue(canvas: Canvas, name: str, value: PDFObject) -> None:
    """Puts an entry into the PDF's catalogue that the library has no name for."""
    catalogue: Any = canvas._doc.Catalog  # type: ignore[attr-defined]
    catalogue.__NoDefault__ = [*catalogue.__NoDefault__, name]
    setattr(catalogue, name, value)

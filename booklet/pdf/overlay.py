"""One page drawn on another: pages of ours become form XObjects, placed without any scaling.

In: pages as pypdf reads them. Out: changed pages in a pypdf writer. The content streams that a page
has are never parsed or written anew: what was drawn stays as it was, byte for byte, between a `q`
and a `Q` (ISO 32000-1, 8.4.2), and the form is drawn behind them.
"""

from __future__ import annotations

from typing import Final

from pypdf import PageObject, PdfWriter
from pypdf.generic import (
    ArrayObject,
    DictionaryObject,
    IndirectObject,
    NameObject,
    NumberObject,
    PdfObject,
    StreamObject,
)

OVERLAY: Final = "/BookletOverlay"


def form_of(page: PageObject, writer: PdfWriter) -> IndirectObject:
    """The page's drawing as a form XObject of the writer, its box the page's (8.10)."""
    form = StreamObject()
    contents = page.get_contents()
    form.set_data(b"" if contents is None else contents.get_data())
    form.update(
        {
            NameObject("/Type"): NameObject("/XObject"),
            NameObject("/Subtype"): NameObject("/Form"),
            NameObject("/FormType"): NumberObject(1),
            NameObject("/BBox"): ArrayObject(page.mediabox),
            NameObject("/Resources"): page["/Resources"].clone(writer),
        }
    )
    return writer._add_object(form.flate_encode())


def draw_over(page: PageObject, form: IndirectObject, writer: PdfWriter) -> None:
    """Draws the form over a page of the writer, in the page's own coordinates."""
    resources = _entries(page.get("/Resources"))
    forms = _entries(resources.get("/XObject"))
    forms[NameObject(OVERLAY)] = form
    resources[NameObject("/XObject")] = forms
    page[NameObject("/Resources")] = resources
    held = page.raw_get("/Contents")
    streams = list(held.get_object()) if isinstance(held.get_object(), ArrayObject) else [held]
    before = _stream(b"q\n", writer)
    # No part of the text: readers of tagged files pass it over (14.8.2.2).
    drawn = f"\nQ\nq\n/Artifact BMC\n{OVERLAY} Do\nEMC\nQ\n"
    after = _stream(drawn.encode(), writer)
    page[NameObject("/Contents")] = ArrayObject([before, *streams, after])


def _entries(held: PdfObject | None) -> DictionaryObject:
    """A dictionary of the same entries that may be changed."""
    found = None if held is None else held.get_object()
    return DictionaryObject(found) if isinstance(found, DictionaryObject) else DictionaryObject()


def _stream(data: bytes, writer: PdfWriter) -> IndirectObject:
    stream = StreamObject()
    stream.set_data(data)
    return writer._add_object(stream)

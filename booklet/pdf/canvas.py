"""Documents become PDF pages: the walk over pages, elements, inks and marks.

In: a `Document` and the faces. Out: the bytes of a PDF.

Each element passes through a tagger on its way, whatever its inks are: the one place that knows
what a mark on the page means to a reader (`tags.py`).
"""

from __future__ import annotations

import io
from collections.abc import Iterable
from datetime import datetime

from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.pdfdoc import PDFZCompress
from reportlab.pdfgen.canvas import Canvas

from booklet.draw.linestyle import LINE_STYLES, LineStyle
from booklet.draw.mark import Area, Clip, Label, Mark, Stroke
from booklet.draw.paint import GREYS, Rgb, paint, readable
from booklet.draw.typeface import Faces, TypeStyle
from booklet.flat.path import rectangle, segment
from booklet.pages.page import Box, Colour, Document, Ink, Line, Page, Photo, Picture, Rule
from booklet.pages.type import STYLES
from booklet.pdf.archival import close_streams, make_archival
from booklet.pdf.brush import PAGE, PT_PER_MM, Brush, Frame
from booklet.pdf.layers import Layers, runs
from booklet.pdf.metadata import PROGRAM, add_bookmark, add_fingerprint, set_metadata
from booklet.pdf.tags import Node, Tagger


def pdf_bytes(
    document: Document,
    faces: Faces,
    *,
    date: datetime,
    grey: bool = False,
    plain: bool = False,
) -> bytes:
    """The document as a PDF; the same arguments give the same bytes.

    With `grey`, colours become the greys of the same luminance; with `plain`, the file carries no
    structure tree and nothing for archives. Raises KeyError for a line or type style that does not
    exist and ValueError for an unknown paint: mistakes of the program.
    """
    canvas, tagger = _drawn(document, faces, date, grey, plain)
    if tagger is not None:
        tagger.finish()
        make_archival(canvas, document, date, PROGRAM)
    data: bytes = canvas.getpdfdata()  # type: ignore[no-untyped-call]
    return data


def pages_and_tree(
    document: Document, faces: Faces, *, date: datetime, grey: bool = False
) -> tuple[bytes, Node]:
    """Pages with their marks, for another file, and apart from them the tree that they belong to.

    The PDF is a vessel only: it has no tree, and nothing for archives but streams that close.
    """
    canvas, tagger = _drawn(document, faces, date, grey, plain=False)
    close_streams(canvas)
    data: bytes = canvas.getpdfdata()  # type: ignore[no-untyped-call]
    return data, tagger.tree() if tagger is not None else Node("Document")


def _drawn(
    document: Document, faces: Faces, date: datetime, grey: bool, plain: bool
) -> tuple[Canvas, Tagger | None]:
    """A canvas whose pages are all closed, and what was marked on them."""
    for face in faces.faces.values():
        pdfmetrics.registerFont(face.font)
    canvas = Canvas(
        io.BytesIO(),
        pageCompression=0,
        invariant=1,
        # Without a font of ours here the file would name a standard font that is not embedded.
        initialFontName=faces.faces["text"].font.fontName,  # type: ignore[arg-type]
        pdfVersion=(1, 7),
        lang=document.language,
    )
    # By itself the library would spell compressed streams in ASCII, a quarter longer.
    canvas._doc.defaultStreamFilters = [PDFZCompress]  # type: ignore[attr-defined]
    set_metadata(canvas, document, date)
    tagger = None if plain else Tagger(canvas)
    painter = Painter(canvas, faces, document.accent, grey, tagger)
    level = -1
    for number, page in enumerate(document.pages):
        k = page.zoom * PT_PER_MM
        canvas.setPageSize((page.width * k, page.height * k))
        for place, words in enumerate(page.bookmarks):
            key = f"page{number}.{place}"
            level = add_bookmark(canvas, key, words, page.bookmark_level, level)
        if page.zoom == 1:
            painter.page(page)
        else:
            canvas.saveState()
            canvas.scale(page.zoom, page.zoom)
            painter.page(page)
            canvas.restoreState()
        add_fingerprint(canvas)
        canvas.showPage()
        painter.layers.end_page()
    painter.layers.end_file()
    return canvas, tagger


class Painter:
    """Draws pages one after another through a brush."""

    def __init__(
        self, canvas: Canvas, faces: Faces, accent: str, grey: bool, tagger: Tagger | None
    ) -> None:
        self.layers = Layers(canvas)
        self._canvas, self._grey, self._zoom = canvas, grey, 1.0
        self._brush = Brush(canvas, faces, grey)
        self._accent = accent
        self._tagger = tagger

    def page(self, page: Page) -> None:
        """Draws one page."""
        self._brush.new_page()
        self._zoom = page.zoom
        if self._tagger is not None:
            self._tagger.begin_page(page.zoom)
        for element in page.elements:
            if self._tagger is not None:
                self._tagger.begin(element)
            last = len(element.inks) - 1
            for index, ink in enumerate(element.inks):
                self._ink(ink, index < last)
            if self._tagger is not None:
                self._tagger.end()

    def _ink(self, ink: Ink, has_next: bool) -> None:
        if isinstance(ink, Line):
            at = PAGE.point((ink.x, ink.y))
            colour = text_colour(ink.style, ink.colour, self._accent)
            # ISO 32000-1, 14.8.2.5 (from memory): a tagged PDF spells the break between words, so
            # that the last word of a line does not run into the next.
            gap = " " if has_next else ""
            self._brush.text(at, ink.text, ink.style, ink.anchor, colour, gap=gap)
        elif isinstance(ink, Picture):
            x0, y0, _, _ = ink.drawing.box
            frame = Frame(ink.scale, ink.x - ink.scale * x0, ink.y - ink.scale * y0)
            self._marks(ink.drawing.marks, frame, ink.layered)
        elif isinstance(ink, Rule):
            style = LINE_STYLES[ink.style]
            line = segment((ink.x0, ink.y0), (ink.x1, ink.y1))
            self._brush.stroke(line, style, self._rule_colour(style, ink.colour))
        elif isinstance(ink, Photo):
            self._photo(ink)
        else:
            self._box(ink)

    def _photo(self, photo: Photo) -> None:
        from booklet.pdf.photo import draw_photo  # loads Pillow, so only when there is one

        size = photo.w * PT_PER_MM, photo.h * PT_PER_MM
        at = PAGE.point((photo.x, photo.y))
        draw_photo(self._canvas, photo.file, at, size, self._zoom, self._grey)

    def _box(self, box: Box) -> None:
        style = LINE_STYLES["medium"]
        outline = rectangle(box.x, box.y, box.w, box.h)
        self._brush.stroke(outline, style, self._line_colour(style))

    def _marks(self, marks: Iterable[Mark], frame: Frame, layered: bool) -> None:
        for layer, group in runs(marks):
            if layered and layer is not None:
                self.layers.begin(layer)
            for mark in group:
                self._mark(mark, frame, layered)
            if layered and layer is not None:
                self.layers.end()

    def _mark(self, mark: Mark, frame: Frame, layered: bool) -> None:
        if isinstance(mark, Stroke):
            style = LINE_STYLES[mark.style]
            self._brush.stroke(mark.path, style, self._line_colour(style), frame)
        elif isinstance(mark, Area):
            self._brush.area(mark.path, paint(mark.fill, self._accent), frame)
        elif isinstance(mark, Label):
            type_style = STYLES[mark.style]
            colour = _level(type_style.grey)
            at = frame.point(mark.at)
            self._brush.text(at, mark.text, type_style, mark.anchor, colour, mark.angle)
        else:
            self._clip(mark, frame, layered)

    def _clip(self, clip: Clip, frame: Frame, layered: bool) -> None:
        self._brush.begin_clip(clip.path, frame)
        self._marks(clip.marks, frame, layered)
        self._brush.end_clip()

    def _line_colour(self, style: LineStyle) -> Rgb:
        return paint("accent", self._accent) if style.accent else _level(style.grey)

    def _rule_colour(self, style: LineStyle, colour: Colour) -> Rgb:
        return self._line_colour(style) if colour == "ink" else paint(colour, self._accent)


def text_colour(style: TypeStyle, colour: Colour, accent: str) -> Rgb:
    """What a line of text is set in: black, a grey, or the accent as dark as reading asks for."""
    if colour == "ink":
        return _level(style.grey)
    if colour == "grey":
        return _level(max(style.grey, GREYS["grey"]))
    return readable(paint(colour, accent)) if colour == "accent" else paint(colour, accent)


def _level(grey: float) -> Rgb:
    return (grey, grey, grey)

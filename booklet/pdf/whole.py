"""A file that is put together from sections: what belongs to all of it.

In: sections, and what the file says of itself. Out: their objects on a stream, the layers that they
share, the structure tree, metadata and catalogue. Where pages go is decided by whoever puts the
file together: `join.py` for binders, `impose.py` for sheets to fold.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import BinaryIO

from booklet.draw.mark import LAYERS
from booklet.pages.page import About
from booklet.pdf.archival import xmp
from booklet.pdf.colour_profile import NAME, srgb_profile
from booklet.pdf.metadata import OWN_DATA, PROGRAM, pdf_date
from booklet.pdf.objects import Objects, text_string
from booklet.pdf.section import LAYER_REFS, Parts, Piece, Section, SectionPage
from booklet.pdf.tag_objects import Spot, TagWriter


class Whole:
    """Writes one file; `tagged` if it has a structure tree, and then what archives ask for."""

    def __init__(self, file: BinaryIO, tagged: bool) -> None:
        self.objects = Objects(file)
        self._catalogue = self.objects.new()
        self.pages = self.objects.new()
        self._info = self.objects.new()
        self._tags = TagWriter(self.objects) if tagged else None
        self._layers: dict[int, int] = {}

    def pieces(self, section: Section) -> int:
        """Writes everything that the section's pages use; returns the number of the first piece."""
        base = self.objects.new(len(section.pieces))
        for index, piece in enumerate(section.pieces):
            self._piece(base + index, piece, base)
        return base

    def tree(
        self, section: Section, spots: Sequence[Spot], language: str, deeper: int = 0
    ) -> list[str]:
        """Writes the section's tree; returns for each page, or form, the entry that leads to it."""
        if self._tags is None or section.tree is None:
            return [""] * len(spots)
        first = self._tags.add(section.tree, spots, language, deeper)
        return [f" /StructParents {first + at}" for at in range(len(spots))]

    def text(self, parts: Parts, base: int) -> str:
        """Parts as text, references numbered from `base`; below 0 they mean a layer."""
        return "".join(
            part
            if isinstance(part, str)
            else f"{base + part if part >= 0 else self._layer(part)} 0 R"
            for part in parts
        )

    def form(
        self, number: int, page: SectionPage, section: Section, base: int, more: str = ""
    ) -> None:
        """A page of a section as a form XObject (8.10); `more` are further entries."""
        content = section.pieces[page.contents[0]]
        head = (
            f"/Type /XObject /Subtype /Form /BBox [0 0 {page.width} {page.height}]{more}\n"
            f"/Resources <<{self.text(page.resources, base)}{self.forms(page, base)}>>\n"
            f"{self.text(content.parts, base)}"
        )
        self.objects.stream(number, head.encode("latin-1"), content.stream or b"")

    def forms(self, page: SectionPage, base: int, more: Mapping[str, int] | None = None) -> str:
        """The resource of forms and images of a page, `more` of them by name and number."""
        entries = [f"{name} {self.text(parts, base)}" for name, parts in page.forms.items()]
        entries += [f"{name} {number} 0 R" for name, number in (more or {}).items()]
        return f"/XObject <<{' '.join(entries)}>>" if entries else ""

    def finish(
        self, about: About, date: datetime, pages: Sequence[int], printing: str, more: str = ""
    ) -> None:
        """Everything else: `printing` are further viewer preferences, `more` catalogue entries."""
        stamp = pdf_date(date)
        kids = " ".join(f"{number} 0 R" for number in pages)
        self.objects.object(self.pages, f"<</Type /Pages /Count {len(pages)} /Kids [{kids}]>>")
        named = (("Author", about.designer), ("Subject", about.subject))
        told = "".join(f"/{key} {text_string(words)} " for key, words in named if words)
        self.objects.object(
            self._info,
            f"<</Title {text_string(about.title)} {told}/Creator {text_string(PROGRAM)} "
            f"/Producer {text_string(PROGRAM)} /CreationDate ({stamp}) /ModDate ({stamp})>>",
        )
        private = f"/Private <</Edition {text_string(about.edition)}>>"
        entries = (
            f"/Lang {text_string(about.language)} "
            f"/ViewerPreferences <</DisplayDocTitle true /PrintScaling /None{printing}>> "
            f"/PieceInfo <</{OWN_DATA} <</LastModified ({stamp}) {private}>>>>"
        )
        entries += self._optional() + self._archive(about, date) + more
        self.objects.object(
            self._catalogue, f"<</Type /Catalog /Pages {self.pages} 0 R {entries}>>"
        )
        self.objects.finish(self._catalogue, self._info)

    def _layer(self, ref: int) -> int:
        if ref not in self._layers:
            self._layers[ref] = self.objects.new()
        return self._layers[ref]

    def _optional(self) -> str:
        """The layers in the order of templates, each written once (8.11)."""
        names = {LAYER_REFS[name]: name for name in LAYERS.values()}
        used = [(self._layers[ref], name) for ref, name in names.items() if ref in self._layers]
        if not used:
            return ""
        for number, name in used:
            self.objects.object(number, f"<</Type /OCG /Name ({name})>>")
        groups = f"[{' '.join(f'{number} 0 R' for number, _ in used)}]"
        shown = f"<</Name (Template layers) /BaseState /ON /ON {groups} /Order {groups}>>"
        return f" /OCProperties <</OCGs {groups} /D {shown}>>"

    def _archive(self, about: About, date: datetime) -> str:
        """Tree, metadata and output intent; nothing in a plain file."""
        if self._tags is None:
            return ""
        self._tags.finish()
        packet, profile = self.objects.new(), self.objects.new()
        head = b"/Type /Metadata /Subtype /XML "
        self.objects.stream(packet, head, xmp(about, date, PROGRAM))
        self.objects.stream(profile, b"/N 3 ", srgb_profile())
        name = text_string(NAME)
        intent = (
            f"<</Type /OutputIntent /S /GTS_PDFA1 /OutputConditionIdentifier {name} "
            f"/Info {name} /DestOutputProfile {profile} 0 R>>"
        )
        return (
            f" /StructTreeRoot {self._tags.root} 0 R /MarkInfo <</Marked true>> "
            f"/Metadata {packet} 0 R /OutputIntents [{intent}]"
        )

    def _piece(self, number: int, piece: Piece, base: int) -> None:
        text = self.text(piece.parts, base)
        if piece.stream is None:
            self.objects.object(number, text)
        else:
            self.objects.stream(number, text.encode("latin-1"), piece.stream)

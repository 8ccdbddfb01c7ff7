"""A section: the pages of one PDF of ours, ready to be put into a larger file.

In: the bytes of a PDF and the tree of its marks. Out: a frozen `Section` whose objects refer to
each other by index, and its bytes for a cache. A reference is an integer between pieces of text: 0
and up an object of the section, below 0 one of the template's layers, which the whole file shares.
"""

from __future__ import annotations

import io
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final, TypeAlias

from pypdf import PdfReader
from pypdf.generic import (
    ArrayObject,
    DictionaryObject,
    IndirectObject,
    NullObject,
    PdfObject,
    StreamObject,
)

from booklet.draw.mark import LAYERS
from booklet.pages.page import Role
from booklet.pdf.tags import Node, Tagged

Parts: TypeAlias = list[str | int]
LAYER_REFS: Final = {name: -1 - index for index, name in enumerate(LAYERS.values())}
"""What stands for each layer's group, by the name that viewers show."""


@dataclass(frozen=True)
class Piece:
    """One object: its text with references, and a stream's bytes as they are in the file.

    The text of a stream's dictionary lacks its brackets and its length.
    """

    parts: Parts
    stream: bytes | None = None


@dataclass(frozen=True)
class SectionPage:
    """A page: size in points, resources but its forms, forms by name, streams by index."""

    width: float
    height: float
    resources: Parts
    forms: Mapping[str, Parts]
    contents: Sequence[int]


@dataclass(frozen=True)
class Section:
    """Pages and everything that they use; the tree of their marks, None where they have none."""

    pieces: Sequence[Piece]
    pages: Sequence[SectionPage]
    tree: Node | None = None


def section_of(data: bytes, tree: Node | None = None) -> Section:
    """The pages of a PDF and what they use; nothing else of it."""
    reader = PdfReader(io.BytesIO(data))
    gatherer = _Gatherer()
    pages = [gatherer.page(page) for page in reader.pages]
    return Section([piece for piece in gatherer.pieces if piece is not None], pages, tree)


class _Gatherer:
    """Follows references and numbers what it finds, in the order of finding."""

    def __init__(self) -> None:
        self.pieces: list[Piece | None] = []
        self._known: dict[int, int] = {}

    def page(self, page: DictionaryObject) -> SectionPage:
        """One page with all that it uses."""
        box = [float(value) for value in _array(page["/MediaBox"])]
        resources = _dictionary(page["/Resources"])
        forms = _dictionary(resources.get("/XObject"))
        rest = {key: resources.raw_get(key) for key in resources if key != "/XObject"}
        held = page.raw_get("/Contents")
        streams = held.get_object()
        refs = list(streams) if isinstance(streams, ArrayObject) else [held]
        return SectionPage(
            box[2] - box[0],
            box[3] - box[1],
            self._entries(rest),
            {key: self._parts(forms.raw_get(key)) for key in forms},
            [self._index(ref) for ref in refs],
        )

    def _index(self, ref: PdfObject) -> int:
        if not isinstance(ref, IndirectObject):
            raise TypeError("a stream is always an object of its own")
        found = ref.get_object()
        if isinstance(found, DictionaryObject) and found.get("/Type") == "/OCG":
            return LAYER_REFS[str(found["/Name"])]
        if ref.idnum not in self._known:
            index = self._known[ref.idnum] = len(self.pieces)
            self.pieces.append(None)
            self.pieces[index] = self._piece(found)
        return self._known[ref.idnum]

    def _piece(self, found: PdfObject | None) -> Piece:
        if isinstance(found, StreamObject):
            entries = {key: found.raw_get(key) for key in found if key != "/Length"}
            return Piece(self._entries(entries), found._data)
        return Piece(self._parts(found))

    def _parts(self, value: PdfObject | None) -> Parts:
        if isinstance(value, IndirectObject):
            return [self._index(value)]
        if isinstance(value, DictionaryObject):
            return ["<<", *self._entries({key: value.raw_get(key) for key in value}), ">>"]
        if isinstance(value, ArrayObject):
            parts: Parts = ["["]
            for item in value:
                parts += [*self._parts(item), " "]
            return [*parts, "]"]
        stream = io.BytesIO()
        (value if value is not None else NullObject()).write_to_stream(stream)
        return [stream.getvalue().decode("latin-1")]

    def _entries(self, entries: Mapping[Any, PdfObject]) -> Parts:
        parts: Parts = []
        for key, value in entries.items():
            parts += [f"{key} ", *self._parts(value), "\n"]
        return parts


def _array(value: PdfObject) -> ArrayObject:
    found = value.get_object()
    return found if isinstance(found, ArrayObject) else ArrayObject()


def _dictionary(value: PdfObject | None) -> DictionaryObject:
    found = None if value is None else value.get_object()
    return found if isinstance(found, DictionaryObject) else DictionaryObject()


def to_bytes(section: Section) -> bytes:
    """The section for a cache: a line of JSON, then the streams end to end."""
    pieces = [
        [piece.parts, -1 if piece.stream is None else len(piece.stream)] for piece in section.pieces
    ]
    pages = [
        [page.width, page.height, page.resources, dict(page.forms), list(page.contents)]
        for page in section.pages
    ]
    tree = None if section.tree is None else _packed(section.tree)
    head = json.dumps([pieces, pages, tree], separators=(",", ":")).encode("ascii")
    streams = (piece.stream for piece in section.pieces if piece.stream is not None)
    return head + b"\n" + b"".join(streams)


def from_bytes(data: bytes) -> Section:
    """The section that `to_bytes` wrote; raises ValueError for other bytes."""
    end = data.index(b"\n")
    pieces, pages, tree = json.loads(data[:end])
    at = end + 1
    held: list[Piece] = []
    for parts, length in pieces:
        stream = None
        if length >= 0:
            stream = data[at : at + length]
            at += length
        held.append(Piece(parts, stream))
    found = None if tree is None else _unpacked(tree)
    return Section(held, [SectionPage(*page) for page in pages], found)


def _packed(node: Node) -> list[Any]:
    """A node as lists: type, leaf, children. Of a leaf's role its kind and words are kept."""
    leaf = node.leaf
    held = leaf and [leaf.page, leaf.mark, leaf.role.kind, leaf.role.alt, leaf.box]
    return [node.kind, held, [_packed(child) for child in node.children]]


def _unpacked(held: list[Any]) -> Node:
    kind, leaf, children = held
    tagged = None
    if leaf is not None:
        page, mark, role, alt, box = leaf
        tagged = Tagged(page, mark, Role(role, alt=alt), tuple(box) if box else None)
    return Node(kind, tagged, [_unpacked(child) for child in children])

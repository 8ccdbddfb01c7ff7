"""The structure tree of a PDF: what every mark on a page is, in reading order.

In: the elements of the pages as they are drawn. Out: marked content in the page streams, and the
objects that the catalogue's StructTreeRoot leads to.

Source of the rules: ISO 32000-1, 14.6 to 14.8 (marked content, logical structure, tagged PDF) and
ISO 14289-1:2014, 7.1 to 7.7, by their clause numbers (read in the published rule files of a
validator; the texts themselves from memory).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

from reportlab.pdfbase.pdfdoc import (
    PDFArray,
    PDFDictionary,
    PDFName,
    PDFObject,
    PDFString,
)
from reportlab.pdfgen.canvas import Canvas

from booklet.pages.page import Element, Photo, Picture, Role
from booklet.pdf.brush import PT_PER_MM

LAST_HEADING: Final = 6
"""The structure types of headings go from H1 to H6 (ISO 32000-1, 14.8.4.3)."""


@dataclass(frozen=True)
class Tagged:
    """One element on a page: its role, the place of its marks, and its box in points.

    `mark` numbers the marked content of the page; None for what has no ink (an empty table cell).
    """

    page: int
    mark: int | None
    role: Role
    box: tuple[float, float, float, float] | None


class Entry(PDFObject):
    """A dictionary object of objects and ready names: the tree has one for each of its elements.

    Writes what the library's own writes, in a third of the time.
    """

    def __init__(self, values: dict[str, PDFObject | str]) -> None:
        self.values = values

    def format(self, document: Any) -> bytes:
        """The object's bytes."""
        parts = [
            b"/%s %s" % (name.encode(), _bytes(self.values[name], document))
            for name in sorted(self.values)
        ]
        return b"<<\n" + _broken(parts, 6) + b"\n>>"


class Kids(PDFObject):
    """An array of objects and of numbers of marks."""

    def __init__(self, items: Sequence[PDFObject | int]) -> None:
        self._items = items

    def format(self, document: Any) -> bytes:
        """The object's bytes."""
        return b"[ " + _broken([_bytes(item, document) for item in self._items], 10) + b" ]"


def _bytes(value: PDFObject | str | int, document: Any) -> bytes:
    if isinstance(value, PDFObject):
        data: bytes = value.format(document)  # type: ignore[attr-defined]
        return data
    return str(value).encode()


def _broken(parts: list[bytes], each: int) -> bytes:
    """Parts with spaces between them, and a line break after each so many."""
    groups = [b" ".join(parts[at : at + each]) for at in range(0, len(parts), each)]
    return b" \n  ".join(groups)


@dataclass
class Node:
    """A structure element while the tree grows: its type, children and what belongs to it."""

    kind: str
    leaf: Tagged | None = None
    children: list[Node] = field(default_factory=list)

    def add(self, kind: str, leaf: Tagged | None = None) -> Node:
        """A new last child."""
        child = Node(kind, leaf)
        self.children.append(child)
        return child


class Tagger:
    """Opens and closes marked content on a canvas and remembers what was marked."""

    def __init__(self, canvas: Canvas) -> None:
        self._canvas = canvas
        self._page = -1
        self._marks = 0
        self._k = PT_PER_MM
        self._tagged: list[Tagged] = []

    def begin_page(self, zoom: float = 1.0) -> None:
        """The marks of a page are numbered from 0; it is drawn `zoom` times as large."""
        self._page += 1
        self._marks = 0
        self._k = zoom * PT_PER_MM

    def begin(self, element: Element) -> None:
        """What is drawn from here on belongs to the element."""
        role = element.role
        if role.kind == "decoration":
            self._write("/Artifact BMC")
            return
        if not element.inks:
            self._tagged.append(Tagged(self._page, None, role, None))
            self._write("/Artifact BMC")
            return
        kind = _content_tag(role)
        self._write(f"/{kind} <</MCID {self._marks}>> BDC")
        self._tagged.append(Tagged(self._page, self._marks, role, _box(element, self._k)))
        self._marks += 1

    def end(self) -> None:
        """The element ends."""
        self._write("EMC")

    def finish(self) -> None:
        """Hangs the tree into the document; call it when every page is closed."""
        add_tree(self._canvas._doc, self.tree())  # type: ignore[attr-defined]

    def tree(self) -> Node:
        """The tree of what was marked so far."""
        return structure(self._tagged)

    def _write(self, operator: str) -> None:
        self._canvas._code.append(operator)  # type: ignore[attr-defined]


def _content_tag(role: Role) -> str:
    """The tag in the page's stream; what counts is the tree's type."""
    kinds = {"figure": "Figure", "table_header": "TH", "table_cell": "TD", "list_item": "LBody"}
    return kinds.get(role.kind, "P")


def _box(element: Element, k: float) -> tuple[float, float, float, float] | None:
    """The box round the pictures of an element, in points (`k` to a mm); None for none."""
    boxes = []
    for ink in element.inks:
        if isinstance(ink, Picture):
            x0, y0, x1, y1 = ink.drawing.box
            wide, high = ink.scale * (x1 - x0), ink.scale * (y1 - y0)
            boxes.append((ink.x, ink.y, ink.x + wide, ink.y + high))
        elif isinstance(ink, Photo):
            boxes.append((ink.x, ink.y, ink.x + ink.w, ink.y + ink.h))
    if not boxes:
        return None
    return (
        min(box[0] for box in boxes) * k,
        min(box[1] for box in boxes) * k,
        max(box[2] for box in boxes) * k,
        max(box[3] for box in boxes) * k,
    )


def structure(tagged: Sequence[Tagged]) -> Node:
    """The tree: one Document with headings, paragraphs, lists, tables and figures in order.

    Neighbouring items of one group share a list, neighbouring cells of one group a table and a row.
    The levels of headings begin at 1 and never skip one on the way down (ISO 14289-1, 7.4.2).
    """
    top = Node("Document")
    levels = list(heading_levels([item.role for item in tagged]))
    before: Role | None = None
    for item, level in zip(tagged, levels, strict=True):
        role = item.role
        if level:
            top.add(f"H{level}", item)
        elif role.kind == "list_item":
            same = before is not None and (before.kind, before.group) == (role.kind, role.group)
            items = top.children[-1] if same else top.add("L")
            items.add("LI").add("LBody", item)
        elif role.kind in ("table_header", "table_cell"):
            _add_cell(top, item, before)
        elif role.kind == "figure":
            top.add("Figure", item)
        else:
            top.add("P", item)
        before = role
    return top


def _add_cell(top: Node, item: Tagged, before: Role | None) -> None:
    role = item.role
    inside = before is not None and before.kind in ("table_header", "table_cell")
    old = before.group if before is not None and inside else ()
    is_new_head = role.kind == "table_header" and before is not None and before.kind == "table_cell"
    table = top.children[-1] if old[:1] == role.group[:1] and old and not is_new_head else None
    if table is None:
        table = top.add("Table")
        old = ()
    row = table.children[-1] if old == role.group and table.children else table.add("TR")
    row.add("TH" if role.kind == "table_header" else "TD", item)


def heading_levels(roles: Sequence[Role]) -> Iterator[int]:
    """For each role its level as a heading, 0 where it is none.

    A document with a title has it as its only H1; its headings stand below it.
    """
    titled = any(role.kind == "title" for role in roles)
    last = 0
    for role in roles:
        if role.kind == "title":
            last = 1
        elif role.kind == "heading":
            last = min(role.level + titled, last + 1, LAST_HEADING)
        else:
            yield 0
            continue
        yield last


def add_tree(document: Any, top: Node) -> None:
    """Writes the tree as objects of the document (ISO 32000-1, tables 322 to 324)."""
    pages: list[Any] = document.Pages.pages
    parents: list[list[PDFObject]] = [[] for _ in pages]
    root = PDFDictionary({"Type": PDFName("StructTreeRoot")})
    handle = document.Reference(root)
    root["K"] = PDFArray([_element(document, top, handle, pages, parents)])
    numbers: list[object] = []
    for number, (page, owners) in enumerate(zip(pages, parents, strict=True)):
        page.__NoDefault__ = [*page.__NoDefault__, "StructParents", "Tabs"]
        page.StructParents = number
        page.Tabs = PDFName("S")
        numbers += [number, document.Reference(PDFArray(owners))]
    root["ParentTree"] = document.Reference(PDFDictionary({"Nums": PDFArray(numbers)}))
    root["ParentTreeNextKey"] = len(pages)
    document.Catalog.StructTreeRoot = root
    document.Catalog.MarkInfo = PDFDictionary({"Marked": "true"})


def _element(
    document: Any,
    node: Node,
    parent: PDFObject,
    pages: Sequence[Any],
    parents: list[list[PDFObject]],
) -> PDFObject:
    entry = Entry({"P": parent, "S": f"/{node.kind}", "Type": "/StructElem"})
    handle: PDFObject = document.Reference(entry)
    kids: list[PDFObject | int] = [
        _element(document, child, handle, pages, parents) for child in node.children
    ]
    leaf = node.leaf
    if leaf is not None:
        entry.values["Pg"] = document.Reference(pages[leaf.page])
        if leaf.mark is not None:
            kids.append(leaf.mark)
            parents[leaf.page].append(handle)
        if node.kind == "Figure":
            entry.values["Alt"] = PDFString(leaf.role.alt or "A drawing.")
            if leaf.box is not None:
                layout = {"O": PDFName("Layout"), "BBox": PDFArray(list(leaf.box))}
                entry.values["A"] = PDFDictionary(layout)
        if node.kind == "TH":
            entry.values["A"] = "<<\n/O /Table /Scope /Column\n>>"
    entry.values["K"] = Kids(kids)
    return handle

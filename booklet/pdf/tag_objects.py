"""The structure tree of a file that is put together: the trees of its sections, one behind another.

In: the tree of each section and where its pages went. Out: structure elements as objects, and the
parent tree that leads back from every mark (ISO 32000-1, 14.7.4). The marks in the pages' drawings
stay as they are: only the keys of the parent tree are given anew.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from booklet.pdf.objects import Objects, text_string
from booklet.pdf.tags import LAST_HEADING, Node, Tagged


@dataclass(frozen=True)
class Spot:
    """Where a section's page is drawn: the number of a page's object.

    Where a form draws it: the form's number, and how far it was moved to the right, in points.
    """

    page: int
    form: int | None = None
    moved: float = 0.0


class TagWriter:
    """Writes trees below one Document element."""

    def __init__(self, objects: Objects) -> None:
        self._objects = objects
        self.root = objects.new()
        self._document = objects.new()
        self._owners = objects.new()
        self._sections: list[int] = []
        self._rows: list[int] = []

    def add(self, tree: Node, spots: Sequence[Spot], language: str, deeper: int) -> int:
        """Writes a section's tree; returns the parent tree's key of its first page.

        Headings go so many levels `deeper`: a file has one title.
        """
        key = len(self._rows)
        rows: list[dict[int, int]] = [{} for _ in spots]
        section = self._objects.new()
        kids = [self._element(child, section, spots, rows, deeper) for child in tree.children]
        self._objects.object(
            section,
            f"<</Type /StructElem /S /Sect /P {self._document} 0 R "
            f"/Lang {text_string(language)} /K {_refs(kids)}>>",
        )
        self._sections.append(section)
        for row in rows:
            number = self._objects.new()
            self._objects.object(number, _refs([row[mark] for mark in sorted(row)]))
            self._rows.append(number)
        return key

    def finish(self) -> None:
        """The root, the Document element and the parent tree."""
        self._objects.object(
            self.root,
            f"<</Type /StructTreeRoot /K [{self._document} 0 R] "
            f"/ParentTree {self._owners} 0 R /ParentTreeNextKey {len(self._rows)}>>",
        )
        self._objects.object(
            self._document,
            f"<</Type /StructElem /S /Document /P {self.root} 0 R /K {_refs(self._sections)}>>",
        )
        rows = " ".join(f"{key} {number} 0 R" for key, number in enumerate(self._rows))
        self._objects.object(self._owners, f"<</Nums [{rows}]>>")

    def _element(
        self,
        node: Node,
        parent: int,
        spots: Sequence[Spot],
        rows: list[dict[int, int]],
        deeper: int,
    ) -> int:
        number = self._objects.new()
        kids = [
            f"{self._element(child, number, spots, rows, deeper)} 0 R" for child in node.children
        ]
        text = f"<</Type /StructElem /S /{_kind(node.kind, deeper)} /P {parent} 0 R"
        if node.leaf is not None:
            spot = spots[node.leaf.page]
            text += f" /Pg {spot.page} 0 R{_about(node.kind, node.leaf, spot)}"
            if node.leaf.mark is not None:
                rows[node.leaf.page][node.leaf.mark] = number
                kids.append(_mark(node.leaf.mark, spot))
        self._objects.object(number, f"{text} /K [{' '.join(kids)}]>>")
        return number


def _kind(kind: str, deeper: int) -> str:
    if kind[0] == "H" and kind[1:].isdigit():
        return f"H{min(LAST_HEADING, int(kind[1:]) + deeper)}"
    return kind


def _mark(mark: int, spot: Spot) -> str:
    """A mark of a page by its number; one of a form by a reference (table 324)."""
    if spot.form is None:
        return str(mark)
    return f"<</Type /MCR /Pg {spot.page} 0 R /Stm {spot.form} 0 R /MCID {mark}>>"


def _about(kind: str, leaf: Tagged, spot: Spot) -> str:
    """Words and box of a figure, the scope of a header."""
    if kind == "TH":
        return " /A <</O /Table /Scope /Column>>"
    if kind != "Figure":
        return ""
    text = f" /Alt {text_string(leaf.role.alt or 'A drawing.')}"
    if leaf.box is None:
        return text
    x0, y0, x1, y1 = leaf.box
    box = f"{x0 + spot.moved:.4f} {y0:.4f} {x1 + spot.moved:.4f} {y1:.4f}"
    return f"{text} /A <</O /Layout /BBox [{box}]>>"


def _refs(numbers: Sequence[int]) -> str:
    return f"[{' '.join(f'{number} 0 R' for number in numbers)}]"

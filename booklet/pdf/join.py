"""Sections become one file, written as they come: what was written is not kept in memory.

In: sections with what is drawn over their pages, bookmarks, titles. Out: a PDF on a stream. Only
the places of objects, the pages' numbers and the bookmarks are held until the end.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import BinaryIO, Final

from booklet.pages.page import About
from booklet.pdf.objects import text_string
from booklet.pdf.section import Section
from booklet.pdf.tag_objects import Spot
from booklet.pdf.whole import Whole

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
        self._whole = Whole(file, tagged=True)
        self._objects = self._whole.objects
        self._pages: list[int] = []
        self._begin, self._end = self._objects.new(), self._objects.new()
        self._objects.stream(self._begin, b"", b"q\n")
        # Content and what is drawn over it never touch each other's state (8.4.2).
        over = f"\nQ\nq\n/Artifact BMC\n{OVERLAY} Do\nEMC\nQ\n"
        self._objects.stream(self._end, b"", over.encode())

    @property
    def pages(self) -> int:
        """How many pages the file has so far."""
        return len(self._pages)

    def add(self, section: Section, over: Section, language: str, deeper: int) -> None:
        """The section's pages, each with the page of `over` drawn on it.

        Its words are in a `language`; its headings go so many levels `deeper` than they say.
        """
        base, over_base = self._whole.pieces(section), self._whole.pieces(over)
        first = self._objects.new(len(section.pages))
        spots = [Spot(first + at) for at in range(len(section.pages))]
        keys = self._whole.tree(section, spots, language, deeper)
        for at, (page, drawn) in enumerate(zip(section.pages, over.pages, strict=True)):
            form = self._objects.new()
            self._whole.form(form, drawn, over, over_base)
            forms = self._whole.forms(page, base, {OVERLAY: form})
            contents = " ".join(f"{base + index} 0 R" for index in page.contents)
            self._objects.object(
                first + at,
                f"<</Type /Page /Parent {self._whole.pages} 0 R "
                f"/MediaBox [0 0 {page.width} {page.height}]{keys[at]} /Tabs /S\n"
                f"/Resources <<{self._whole.text(page.resources, base)}{forms}>>\n"
                f"/Contents [{self._begin} 0 R {contents} {self._end} 0 R]>>",
            )
            self._pages.append(first + at)

    def finish(self, about: About, date: datetime, bookmarks: Sequence[Bookmark]) -> None:
        """Bookmarks, and what belongs to the whole file."""
        outline = f" /PageMode /UseOutlines /Outlines {self._outline(bookmarks)} 0 R"
        self._whole.finish(about, date, self._pages, "", outline)

    def _outline(self, bookmarks: Sequence[Bookmark]) -> int:
        """The tree of bookmarks (12.3.3); returns the number of its root."""
        root = self._objects.new()
        numbers = [self._objects.new() for _ in bookmarks]
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
            self._objects.object(
                number,
                f"<</Title {text_string(mark.title)} /Parent {parent} 0 R{before}{after}{within} "
                f"/Dest [{target} 0 R /Fit]>>",
            )
        self._objects.object(root, f"<</Type /Outlines{self._within(children[root], 1)}>>")
        return root

    @staticmethod
    def _within(inside: Sequence[int], way: int) -> str:
        """First, last and count of the bookmarks inside one; a negative count: closed."""
        if not inside:
            return ""
        return f" /First {inside[0]} 0 R /Last {inside[-1]} 0 R /Count {way * len(inside)}"

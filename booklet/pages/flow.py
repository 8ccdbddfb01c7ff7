"""Sets words from the top of a page downward, and turns the page when it is full.

In: text, styles and drawings. Out: pages with their elements in reading order. The composer is the
one place that knows how far down the page the next line stands.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence

from booklet.draw.mark import Drawing
from booklet.draw.typeface import MM_PER_PT, Faces, TypeStyle
from booklet.pages import type as scale
from booklet.pages.grid import BASELINE, Paper
from booklet.pages.page import Box, Colour, Element, Ink, Line, Page, Picture, Role, Rule

SECTION = 9.0
"""White space in mm before a section that begins below another one."""
UNBROKEN = 6
"""Lines of a paragraph that always stay together."""
_SPACE = re.compile(r"[^\S\u00a0]+")
_BREAK = re.compile(r" (?!×)(?<!× )(?!(?<=[\d¼-¾⅐-⅞₀-₉] )(?:in|mm|cm|ft|m)\b)")
"""Where a line may end: not round the sign of a size, not between a number and its unit."""
_SIGN = re.compile(r"(?<=×) ")
"""Where one may end too if a whole size fits no line."""

EVENED = (scale.COVER, scale.TITLE, scale.NARROW_TITLE, scale.LEAD)
"""Styles of few and large words, whose lines share them."""
LAST = 0.3
LEAST = 0.6
"""The share of the width that their last line should fill, and that the longest always fills."""
SLIGHTLY = 0.01
"""Millimetres by which lines are made narrower to hand a word on."""


def wrap(text: str, style: TypeStyle, width: float, faces: Faces) -> list[str]:
    """Words in lines of at most `width` mm; a word longer than a line is broken.

    A number stays with its unit and the sides of a size stay together where a line holds them; a
    no-break space keeps what it stands between in any case.
    """
    lines: list[str] = []
    line = ""
    for word in _words(text, style, width, faces):
        trial = f"{line} {word}" if line else word
        if faces.width(trial, style) <= width:
            line = trial
            continue
        if line:
            lines.append(line)
        while faces.width(word, style) > width and len(word) > 1:
            keep = _fitting(word, style, width, faces)
            lines.append(word[:keep])
            word = word[keep:]
        line = word
    if line:
        lines.append(line)
    return lines


def evened(text: str, style: TypeStyle, width: float, faces: Faces) -> list[str]:
    """As many lines as `wrap` makes, the last one no lone word where the lines can share theirs."""
    lines = wrap(text, style, width, faces)
    narrow = width
    while len(lines) > 1 and faces.width(lines[-1], style) < LAST * width:
        narrow = max(faces.width(line, style) for line in lines) - SLIGHTLY
        if narrow < LEAST * width:
            break
        trial = wrap(text, style, narrow, faces)
        if len(trial) > len(lines) or " ".join(trial) != " ".join(lines):
            break  # a line more, or a word broken
        lines = trial
    return lines


def _words(text: str, style: TypeStyle, width: float, faces: Faces) -> Iterator[str]:
    """What a line is not broken within, in order; a long size is broken behind its signs."""

    def narrow(group: str, breaks: Sequence[re.Pattern[str]]) -> Iterator[str]:
        if not breaks or " " not in group or faces.width(group, style) <= width:
            yield group
            return
        for part in breaks[0].split(group):
            yield from narrow(part, breaks[1:])

    plain = _SPACE.sub(" ", text.strip())
    for group in _BREAK.split(plain) if plain else ():
        yield from narrow(group, (_SIGN, _SPACE))


def _fitting(word: str, style: TypeStyle, width: float, faces: Faces) -> int:
    low, high = 1, len(word)
    while low < high:
        middle = (low + high + 1) // 2
        if faces.width(word[:middle], style) <= width:
            low = middle
        else:
            high = middle - 1
    return low


def leading(style: TypeStyle) -> float:
    """The distance between baselines of a style, in mm."""
    return style.leading_pt * MM_PER_PT


def clipped(text: str, style: TypeStyle, width: float, faces: Faces) -> str:
    """The text on one line, shortened with an ellipsis where it is too long."""
    lines = wrap(text, style, width, faces)
    if len(lines) <= 1:
        return lines[0] if lines else ""
    return wrap(text, style, width - faces.width(" …", style), faces)[0] + " …"


KEPT = 25.0
KEPT_ROWS = 4
"""Millimetres and rows of a table that stay with its header."""


class Composer:
    """Builds pages from top to bottom. `y` is where the next thing may begin."""

    def __init__(self, paper: Paper, faces: Faces, bookmark: str | None = None) -> None:
        self.paper = paper
        self.faces = faces
        self.y = paper.top
        self._bookmark = bookmark
        self._further: list[str] = []
        self._begun = False
        self._elements: list[Element] = []
        self._done: list[Page] = []

    def pages(self) -> list[Page]:
        """The pages set so far; the composer is done with."""
        self._finish()
        return self._done

    @property
    def finished(self) -> int:
        """How many pages are finished."""
        return len(self._done)

    def turn(self) -> None:
        """Go on at the top of a new page."""
        self._finish()
        self.y = self.paper.top

    def begin(self, bookmark: str, room: float) -> None:
        """Begin a section: below the one before if `room` mm are left there, else on a new page."""
        self._begun = True
        if not self._elements:
            self._bookmark = self._bookmark or bookmark
        elif self.has_below(room):
            self.y -= SECTION
            self._further.append(bookmark)
        else:
            self.turn()
            self._bookmark = bookmark

    def has_below(self, room: float) -> bool:
        """Whether a section of `room` mm goes below the one before it on this page."""
        return bool(self._elements) and self.y - SECTION - room >= self.paper.bottom

    def need(self, height: float) -> bool:
        """Turn the page unless `height` mm are left on it; says whether it did."""
        if self.y - height >= self.paper.bottom or self.y == self.paper.top:
            return False
        self.turn()
        return True

    def skip(self, lines: float = 1.0) -> None:
        """Leave white space, in text lines."""
        self.y -= lines * BASELINE

    def add(self, role: Role, *inks: Ink) -> None:
        """Put inks that were placed by hand onto the page."""
        self._elements.append(Element(role, inks))

    def title(self, text: str) -> None:
        """A page's title with the accent rule above it."""
        paper = self.paper
        rule = Rule(paper.left, self.y, paper.left + 24, self.y, "accent", "accent")
        self.add(Role("decoration"), rule)
        self.y -= 3.0
        style = scale.TITLE if paper.columns > 1 else scale.NARROW_TITLE
        # Where a section begins there is room for it, be it less than that.
        self.words(text, style, Role("heading", 1), keep=0.0 if self._begun else 60.0)
        self._begun = False
        self.skip(0.8)

    def heading(self, text: str, keep: float = 24.0) -> None:
        """A heading that stays with at least `keep` mm of what follows."""
        self.need(keep + leading(scale.HEADING))
        self.words(text, scale.HEADING, Role("heading", 2))
        self.y -= 1.2

    def words(
        self,
        text: str,
        style: TypeStyle = scale.TEXT,
        role: Role | None = None,
        x: float | None = None,
        width: float | None = None,
        colour: Colour = "ink",
        keep: float = 0.0,
    ) -> None:
        """A paragraph; a short one moves to the next page as a whole, a long one breaks."""
        x = self.paper.left if x is None else x
        width = self.paper.right - x if width is None else width
        lines = (evened if style in EVENED else wrap)(text, style, width, self.faces)
        step = leading(style)
        role = role or Role("paragraph")
        while lines:
            whole = len(lines) <= UNBROKEN
            self.need(step * (len(lines) if whole else UNBROKEN) + (keep if whole else 0.0))
            fit = len(lines) if whole else max(1, int((self.y - self.paper.bottom) / step))
            self.add(role, *self.set(lines[:fit], style, x, self.y, colour))
            self.y -= step * len(lines[:fit])
            lines = lines[fit:]

    def set(
        self, lines: Sequence[str], style: TypeStyle, x: float, top: float, colour: Colour = "ink"
    ) -> list[Line]:
        """Lines below `top`, the first one's capitals hanging from it with half the leading."""
        step = leading(style)
        first = top - step / 2 - self.faces.cap_height(style) / 2
        return [
            Line(x, first - index * step, line, style, "start", colour)
            for index, line in enumerate(lines)
        ]

    def tick(self, text: str, detail: str = "", group: str = "list") -> None:
        """A line of a checklist: a square to tick, words, and a detail below in small type."""
        x = self.paper.left
        inner = x + 7.0
        width = self.paper.right - inner
        lines = wrap(text, scale.TEXT, width, self.faces)
        small = wrap(detail, scale.SMALL, width, self.faces) if detail else []
        height = leading(scale.TEXT) * len(lines) + leading(scale.SMALL) * len(small)
        self.need(height)
        inks: list[Ink] = [Box(x, self.y - 4.1, 3.2, 3.2)]
        inks += self.set(lines, scale.TEXT, inner, self.y)
        below = self.y - leading(scale.TEXT) * len(lines)
        inks += self.set(small, scale.SMALL, inner, below, "grey")
        self.add(Role("list_item", group=(group,)), *inks)
        self.y -= height + 1.0

    def table(
        self,
        head: Sequence[str],
        rows: Sequence[Sequence[str]],
        widths: Sequence[float],
        right: Sequence[int] = (),
        x: float | None = None,
        name: str = "table",
    ) -> None:
        """A table with hairlines between rows; columns listed in `right` line up at the right.

        Where it goes on over a page its header stands there again, as decoration: readers of the
        tags have it already.
        """
        x = self.paper.left if x is None else x
        # A header stays with some rows, or with all where they are few.
        self.need(min(KEPT, self.table_height(head, rows[:KEPT_ROWS], widths)))
        header = Role("table_header", group=(name, "head"))
        self._row(head, widths, right, x, header, scale.SMALL_STRONG)
        for index, row in enumerate(rows):
            # The last row does not go over alone.
            stay = rows[index : index + 2] if index == len(rows) - 2 else [row]
            if self.need(sum(self._row_height(one, widths, scale.TEXT) for one in stay)):
                self._row(head, widths, right, x, Role("decoration"), scale.SMALL_STRONG)
            cell = Role("table_cell", group=(name, str(index)))
            self._row(row, widths, right, x, cell, scale.TEXT)

    def table_height(
        self, head: Sequence[str], rows: Sequence[Sequence[str]], widths: Sequence[float]
    ) -> float:
        """What a table takes on a page, in mm."""
        styled = [(head, scale.SMALL_STRONG), *((row, scale.TEXT) for row in rows)]
        return sum(self._row_height(cells, widths, style) for cells, style in styled)

    def _row_height(self, cells: Sequence[str], widths: Sequence[float], style: TypeStyle) -> float:
        wrapped = [
            wrap(cell, style, width - 3.0, self.faces)
            for cell, width in zip(cells, widths, strict=True)
        ]
        return leading(style) * max(1, *map(len, wrapped)) + 1.4

    def _row(
        self,
        cells: Sequence[str],
        widths: Sequence[float],
        right: Sequence[int],
        x: float,
        role: Role,
        style: TypeStyle,
    ) -> None:
        wrapped = [
            wrap(cell, style, width - 3.0, self.faces)
            for cell, width in zip(cells, widths, strict=True)
        ]
        height = self._row_height(cells, widths, style)
        self.need(height)
        left = x
        for index, (lines, width) in enumerate(zip(wrapped, widths, strict=True)):
            set_lines = self.set(lines, style, left, self.y - 0.7)
            if index in right:
                set_lines = [
                    Line(left + width - 3.0, line.y, line.text, style, "end") for line in set_lines
                ]
            self.add(role, *set_lines)
            left += width
        self.y -= height
        weight = "hair" if role.kind == "table_cell" else "medium"
        self.add(Role("decoration"), Rule(x, self.y, x + sum(widths), self.y, weight, "grey"))

    def figure(self, drawing: Drawing, x: float, top: float) -> None:
        """A drawing with the upper left corner of its box at (x, top)."""
        _, y0, _, y1 = drawing.box
        self.add(Role("figure", alt=drawing.alt), Picture(x, top - (y1 - y0), drawing))

    def _finish(self) -> None:
        if self._elements:
            paper, elements = self.paper, tuple(self._elements)
            further = tuple(self._further)
            self._done.append(
                Page(
                    paper.width,
                    paper.height,
                    elements,
                    self._bookmark,
                    zoom=paper.zoom,
                    further=further,
                )
            )
            self._bookmark, self._further, self._elements = None, [], []


def tiles_needed(length: float, window: float, overlap: float) -> int:
    """How many windows cover a length when neighbours share `overlap` mm."""
    return max(1, math.ceil((length - overlap) / (window - overlap) - 1e-9))

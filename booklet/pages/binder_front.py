"""What stands before and behind the projects of a binder, and over each page: cover, contents,
what is not in it, indexes, log; footers and section tabs.

In: an `Entry` for each project, in order. Out: pages. A binder's projects are sorted by what they
are called; sections follow the first letter.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Final

from booklet.draw.mark import Area, Drawing
from booklet.draw.typeface import Faces
from booklet.flat.path import rectangle
from booklet.pages import type as scale
from booklet.pages.binder import drilled
from booklet.pages.flow import Composer, clipped
from booklet.pages.frame import FOOTER
from booklet.pages.grid import SAFE, TAB, Paper, bound
from booklet.pages.page import Element, Line, Page, Picture, Role, Rule
from booklet.pages.project_sheet import log_lines

LOG_HEAD: Final = ("Project", "Made for", "Date", "Notes")


@dataclass(frozen=True)
class Facts:
    """What a binder lists of a project; `pages` is how many its section has."""

    title: str
    designer: str
    pages: int
    forms: tuple[str, ...]
    holds: tuple[str, ...]
    stocks: tuple[str, ...]
    sheets: tuple[str, ...]
    bookmarks: tuple[tuple[str, int], ...]
    language: str = "en"


@dataclass(frozen=True)
class Entry:
    """A project in the binder: what it is called there, and its first page's number."""

    label: str
    first: int
    facts: Facts

    @property
    def letter(self) -> str:
        """The letter of its section: the first one without accents; # for figures and signs."""
        first = unicodedata.normalize("NFD", self.label)[:1].upper()
        return first if first.isalpha() else "#"


INDEXES: Final[tuple[tuple[str, Callable[[Facts], tuple[str, ...]]], ...]] = (
    ("By form", lambda facts: facts.forms),
    ("By what it holds", lambda facts: facts.holds),
    ("By stock", lambda facts: facts.stocks),
    ("By sheet size", lambda facts: facts.sheets),
)


def front_pages(
    title: str,
    entries: Sequence[Entry],
    failed: Sequence[tuple[str, str]],
    paper: Paper,
    faces: Faces,
) -> list[Page]:
    """Cover, contents, and the projects that did not pass with the first reason."""
    frame = bound(paper)
    pages = [*_cover(title, entries, frame, faces), *_contents(entries, frame, faces)]
    if failed:
        pages += _failed(failed, frame, faces)
    numbers = [_roman(number) for number in range(1, len(pages) + 1)]
    return [
        _dressed(page, title, number if at else "", frame, faces)
        for at, (page, number) in enumerate(zip(pages, numbers, strict=True))
    ]


def back_pages(
    title: str, entries: Sequence[Entry], first: int, paper: Paper, faces: Faces
) -> list[Page]:
    """Indexes, and a page to write down for whom what was made; `first` is its page number."""
    frame = bound(paper)
    sheet = Composer(frame, faces, "Indexes")
    sheet.title("Indexes")
    for heading, words in INDEXES:
        _index(heading, words, entries, sheet)
    log = Composer(frame, faces, "Log")
    log.title("What was made")
    log_lines(log, LOG_HEAD, (0.32, 0.24, 0.14, 0.3))
    pages = [*sheet.pages(), *log.pages()]
    return [
        _dressed(page, title, str(number), frame, faces) for number, page in enumerate(pages, first)
    ]


def furniture(entry: Entry, letters: Sequence[str], paper: Paper, faces: Faces) -> list[Page]:
    """For each page of a project what is drawn over it: footer, and the tab of its section."""
    frame = bound(paper)
    room = frame.measure - 20
    label = clipped(entry.label, scale.SMALL, room, faces)
    tab = _tab(entry.letter, letters, frame, faces)
    pages = []
    for number in range(entry.first, entry.first + entry.facts.pages):
        footer = Element(Role("decoration"), _footer(label, str(number), frame))
        pages.append(Page(frame.width, frame.height, (footer, *tab)))
    return pages


def _tab(letter: str, letters: Sequence[str], paper: Paper, faces: Faces) -> list[Element]:
    """A grey tab with the letter, in the place of its section down the right edge."""
    top, bottom = paper.height - 20.0, 20.0
    high = min(14.0, (top - bottom) / len(letters))
    x = paper.width - SAFE - TAB
    y = top - high * (letters.index(letter) + 1)
    area = Area(rectangle(x, y + 0.6, TAB, high - 1.2), "shade2")
    drawing = Drawing((area,), (0.0, 0.0, paper.width, paper.height), "")
    base = y + high / 2 - faces.cap_height(scale.STRONG) / 2
    words = Line(x + TAB / 2, base, letter, scale.STRONG, "middle")
    return [Element(Role("decoration"), (Picture(0.0, 0.0, drawing), words))]


def _footer(label: str, number: str, paper: Paper) -> tuple[Line, ...]:
    left = Line(paper.left, FOOTER, label, scale.SMALL, "start", "grey")
    return (left, Line(paper.right, FOOTER, number, scale.SMALL, "end", "grey"))


def _dressed(page: Page, title: str, number: str, paper: Paper, faces: Faces) -> Page:
    """A page of the binder itself, with its footer if it has a number, and its drill marks."""
    if number:
        label = clipped(title, scale.SMALL, paper.measure - 20, faces)
        footer = Element(Role("decoration"), _footer(label, number, paper))
        page = replace(page, elements=(*page.elements, footer))
    return drilled(page, paper)


def _cover(title: str, entries: Sequence[Entry], paper: Paper, faces: Faces) -> list[Page]:
    sheet = Composer(paper, faces, "Cover")
    rule = Rule(paper.left, paper.top, paper.left + 36, paper.top, "accent", "accent")
    sheet.add(Role("decoration"), rule)
    sheet.y -= 5
    sheet.words(title, scale.COVER, Role("title", 1))
    sheet.skip()
    many = f"{len(entries)} projects" if len(entries) != 1 else "One project"
    sheet.words(f"{many}, each with its sheet, score chart, template and steps.", scale.LEAD)
    sheet.skip(2)
    designers = sorted({e.facts.designer for e in entries if e.facts.designer}, key=str.casefold)
    if designers:
        sheet.words("Designs by " + ", ".join(designers[:12]) + ".", scale.TEXT, colour="grey")
    y = paper.bottom + 8
    sheet.add(
        Role("paragraph"),
        *sheet.set(["This binder belongs to"], scale.SMALL, paper.left, y + 12, "grey"),
        Rule(paper.left, y, paper.right, y, "hair", "grey"),
    )
    return sheet.pages()


def _contents(entries: Sequence[Entry], paper: Paper, faces: Faces) -> list[Page]:
    sheet = Composer(paper, faces, "Contents")
    sheet.title("Contents")
    widths = (paper.measure * 0.5, paper.measure * 0.5 - 16.0, 16.0)
    rows = []
    for entry in entries:
        label = clipped(entry.label, scale.TEXT, widths[0] - 3, faces)
        holds = clipped(", ".join(entry.facts.holds), scale.TEXT, widths[1] - 3, faces)
        rows.append((label, holds, str(entry.first)))
    sheet.table(("Project", "Holds", "Page"), rows, widths, right=(2,), name="contents")
    return sheet.pages()


def _failed(failed: Sequence[tuple[str, str]], paper: Paper, faces: Faces) -> list[Page]:
    sheet = Composer(paper, faces, "Not in this binder")
    sheet.title("Not in this binder")
    sheet.words("These files did not pass the checks. Mend them, and bind again.", scale.LEAD)
    sheet.skip()
    widths = (paper.measure * 0.35, paper.measure * 0.65)
    sheet.table(("File", "First reason"), failed, widths, name="failed")
    return sheet.pages()


def _index(
    heading: str,
    words: Callable[[Facts], tuple[str, ...]],
    entries: Sequence[Entry],
    sheet: Composer,
) -> None:
    """Terms, and the projects with their pages."""
    found: dict[str, list[str]] = {}
    for entry in entries:
        for term in dict.fromkeys(words(entry.facts)):
            found.setdefault(term, []).append(f"{entry.label} {entry.first}")
    if not found:
        return
    sheet.heading(heading)
    rows = [(term, ", ".join(found[term])) for term in sorted(found, key=str.casefold)]
    measure = sheet.paper.measure
    name = heading.removeprefix("By ").capitalize()
    sheet.table((name, "Projects"), rows, (measure * 0.35, measure * 0.65), name=heading)
    sheet.skip()


def _roman(number: int) -> str:
    """Small Roman figures, as pages before a book's first chapter have them."""
    text = ""
    for value, figure in (
        (100, "c"), (90, "xc"), (50, "l"), (40, "xl"), (10, "x"), (9, "ix"), (5, "v"), (4, "iv"),
        (1, "i"),
    ):  # fmt: skip
        times, number = divmod(number, value)
        text += figure * times
    return text

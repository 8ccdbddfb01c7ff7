"""Pages as values: what stands where, and what it is.

In: composed lines, pictures and rules from the page modules. Out: a frozen `Document` that the PDF
stage draws. Places are millimetres from the page's lower left corner, x right, y up. Every ink
belongs to an element with a role, so that reading order and kind are never lost.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal, TypeAlias

from booklet.draw.mark import Anchor, Drawing
from booklet.draw.typeface import TypeStyle

Kind = Literal[
    "title",
    "heading",
    "paragraph",
    "list_item",
    "table_header",
    "table_cell",
    "figure",
    "caption",
    "decoration",
]
Colour = Literal["ink", "grey", "accent", "white"]


@dataclass(frozen=True)
class Role:
    """What an element is.

    `level` is a heading's depth (1 first). `group` names what it belongs to from the outside in
    (a table and its row, a list). `alt` says what a figure shows.
    """

    kind: Kind
    level: int = 0
    group: tuple[str, ...] = ()
    alt: str = ""


@dataclass(frozen=True)
class Line:
    """One line of text; (x, y) is the baseline point that the anchor names."""

    x: float
    y: float
    text: str
    style: TypeStyle
    anchor: Anchor = "start"
    colour: Colour = "ink"


@dataclass(frozen=True)
class Picture:
    """A drawing whose box has its lower left corner at (x, y), its geometry scaled by `scale`.

    A `layered` drawing is a full-size template: a viewer can switch its layers off.
    """

    x: float
    y: float
    drawing: Drawing
    scale: float = 1.0
    layered: bool = False


@dataclass(frozen=True)
class Rule:
    """A straight line in a named line style."""

    x0: float
    y0: float
    x1: float
    y1: float
    style: str = "hair"
    colour: Colour = "ink"


@dataclass(frozen=True)
class Box:
    """An empty square or rectangle to tick, lower left corner at (x, y)."""

    x: float
    y: float
    w: float
    h: float


@dataclass(frozen=True)
class Photo:
    """The picture in a file, w by h mm, lower left corner at (x, y)."""

    x: float
    y: float
    w: float
    h: float
    file: Path


Ink: TypeAlias = Line | Picture | Rule | Box | Photo


@dataclass(frozen=True)
class Element:
    """Inks that are one thing to a reader."""

    role: Role
    inks: tuple[Ink, ...]


@dataclass(frozen=True)
class Page:
    """A page of width by height mm, its elements in reading order, and its bookmark if any.

    `further` are the bookmarks of sections that begin farther down. `headed` is False where a
    full-size template needs the room of the header. The whole page is drawn `zoom` times as large,
    its paper too.
    """

    width: float
    height: float
    elements: tuple[Element, ...]
    bookmark: str | None = None
    bookmark_level: int = 0
    headed: bool = True
    zoom: float = 1.0
    further: tuple[str, ...] = ()

    @property
    def bookmarks(self) -> tuple[str, ...]:
        """All bookmarks of the page, from the top down."""
        return (self.bookmark, *self.further) if self.bookmark is not None else self.further


@dataclass(frozen=True)
class About:
    """What a file says of itself: `language` is a tag such as "en".

    `edition` says what it was made for.
    """

    title: str
    designer: str
    subject: str
    language: str
    edition: str = field(default="handout", kw_only=True)


@dataclass(frozen=True)
class Document(About):
    """A whole booklet; `accent` is "#rrggbb"."""

    accent: str
    pages: tuple[Page, ...]

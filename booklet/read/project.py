"""[project] and the whole file as one value.

In: the raw tables of a file. Out: the frozen values `ProjectTable` and `Project`, everything as
written with its place; the measure stage gives the lengths their meaning.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

from booklet.problem import Place
from booklet.read.closure import Closure
from booklet.read.contents import Contents
from booklet.read.course import Course
from booklet.read.limit import Limit
from booklet.read.look import Look
from booklet.read.mat import Mat
from booklet.read.nest import Nest
from booklet.read.number import length, whole
from booklet.read.piece import UNITS, Piece
from booklet.read.raw import Length
from booklet.read.safety import Safety
from booklet.read.size import Size
from booklet.read.step import Step
from booklet.read.stock import Stock
from booklet.read.supply import Supply
from booklet.read.table import Key, Kind, Table
from booklet.read.text import choice, paragraph, shaped, title


@dataclass(frozen=True, kw_only=True)
class ProjectTable:
    """[project]: what the project is called and how its numbers are read."""

    title: str
    designer: str = ""
    summary: str = ""
    units: str = "in"
    ruler: Length | None = None
    level: str = ""
    minutes: int | None = None
    version: str = ""
    licence: str = ""
    currency: str | None = None
    language: str = "en"
    size_name: str = ""
    place: Place


@dataclass(frozen=True, kw_only=True)
class Project:
    """All tables of one file; `file` is its name as given, `folder` where pictures lie."""

    file: str
    folder: Path
    project: ProjectTable
    measures: dict[str, Length] = field(default_factory=dict)
    limits: tuple[Limit, ...] = ()
    contents: tuple[Contents, ...] = ()
    stocks: tuple[Stock, ...] = ()
    pieces: tuple[Piece, ...] = ()
    mats: tuple[Mat, ...] = ()
    closures: tuple[Closure, ...] = ()
    nests: tuple[Nest, ...] = ()
    supplies: tuple[Supply, ...] = ()
    steps: tuple[Step, ...] = ()
    steps_of_forms: bool = False  # the steps are those of forms, the maker wrote none
    course: Course | None = None
    safety: Safety = field(default_factory=Safety)
    sizes: tuple[Size, ...] = ()
    look: Look = field(default_factory=Look)
    source: str = ""


TITLE = Key("title", "what the project is called", title, required=True)
DESIGNER = Key("designer", "who designed it", title)
SUMMARY = Key("summary", "what it is, in a sentence", paragraph)
UNITS_KEY = Key("units", "the unit of bare numbers", choice(*UNITS))
RULER = Key("ruler", "the smallest mark of the maker's ruler", length)
LEVEL = Key("level", "how much practice it takes", title)
MINUTES = Key("minutes", "how long it takes", whole(1, lambda limits: limits.minutes))
VERSION = Key("version", "the version of the project", title)
LICENCE = Key("licence", "what a reader may do with it", paragraph)
CURRENCY = Key(
    "currency",
    "the currency of every price, in three letters",
    shaped(r"[A-Z]{3}", "a currency in three capital letters", "USD"),
)
LANGUAGE = Key(
    "language",
    "the language of its texts",
    # The shape of a language tag: RFC 5646, section 2.1, without rare subtags.
    shaped(r"[a-z]{2,3}(-[A-Za-z0-9]{2,8}){0,3}", "a language code", "en"),
)

SIZE_NAME = Key("size_name", "what the size as written is called, beside [[size]]", title)


def _build(table: Table) -> ProjectTable:
    return ProjectTable(
        # A missing title is reported; the later stages go on without it.
        title=table.get_or(TITLE, ""),
        designer=table.get_or(DESIGNER, ""),
        summary=table.get_or(SUMMARY, ""),
        units=table.get_or(UNITS_KEY, "in"),
        ruler=table.get(RULER),
        level=table.get_or(LEVEL, ""),
        minutes=table.get(MINUTES),
        version=table.get_or(VERSION, ""),
        licence=table.get_or(LICENCE, ""),
        currency=table.get(CURRENCY),
        language=table.get_or(LANGUAGE, "en"),
        size_name=table.get_or(SIZE_NAME, ""),
        place=table.place,
    )


PROJECT = Kind(
    "project",
    (
        TITLE,
        DESIGNER,
        SUMMARY,
        UNITS_KEY,
        RULER,
        LEVEL,
        MINUTES,
        VERSION,
        LICENCE,
        CURRENCY,
        LANGUAGE,
        SIZE_NAME,
    ),
    _build,
)

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
from booklet.read.look import Look
from booklet.read.mat import Mat
from booklet.read.nest import Nest
from booklet.read.piece import Piece
from booklet.read.raw import Length
from booklet.read.safety import Safety
from booklet.read.size import Size
from booklet.read.step import Step
from booklet.read.stock import Stock
from booklet.read.supply import Supply


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
    place: Place


@dataclass(frozen=True, kw_only=True)
class Project:
    """All tables of one file; `file` is its name as given, `folder` where pictures lie."""

    file: str
    folder: Path
    project: ProjectTable
    measures: dict[str, Length] = field(default_factory=dict)
    contents: tuple[Contents, ...] = ()
    stocks: tuple[Stock, ...] = ()
    pieces: tuple[Piece, ...] = ()
    mats: tuple[Mat, ...] = ()
    closures: tuple[Closure, ...] = ()
    nests: tuple[Nest, ...] = ()
    supplies: tuple[Supply, ...] = ()
    steps: tuple[Step, ...] = ()
    course: Course | None = None
    safety: Safety = field(default_factory=Safety)
    sizes: tuple[Size, ...] = ()
    look: Look = field(default_factory=Look)
    source: str = ""

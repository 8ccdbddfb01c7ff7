"""Reads a project file: the way from bytes to a `Project`.

In: the path of a TOML 1.0 file in UTF-8. Out: the `Project` as written, and every problem of the
file at once; None where there is no TOML to read. Nothing is raised for a bad file.
"""

from __future__ import annotations

import stat
import tomllib
from collections.abc import Mapping
from decimal import Decimal
from pathlib import Path

from booklet.limits import Limits
from booklet.problem import Place, Problem
from booklet.read import keys
from booklet.read.damage import without_damage
from booklet.read.look import Look
from booklet.read.places import Scan, scan
from booklet.read.project import Project, ProjectTable
from booklet.read.references import check_references
from booklet.read.safety import Safety
from booklet.read.spot import Reading, Spot, cropped
from booklet.read.syntax import stop_problem, syntax_problem
from booklet.read.table import Kind, Table, table


def read_project(path: Path, found: list[Problem], limits: Limits | None = None) -> Project | None:
    """The project in a file, as written. A picture is looked for beside the file."""
    limits = limits or Limits()
    text = _text(path, found, limits)
    if text is None:
        return None
    scanned = scan(text, str(path), limits)
    data = _tables(text, scanned, found)
    if data is None:
        return None
    reading = Reading(scanned.places, path.parent, limits, [])
    project = _project(Spot(reading, ()), data, path, text)
    problems = sorted(reading.found, key=_by_place)
    found += problems[: limits.problems]
    if reading.full:
        found.append(
            Problem(
                "too-many-problems",
                f"There are more than {limits.problems} problems",
                Place(str(path), 1, 1),
                "Mend these first, then check again.",
            )
        )
    return without_damage(project, reading)


def _by_place(problem: Problem) -> tuple[int, int]:
    return (problem.place.line, problem.place.column) if problem.place else (0, 0)


def _text(path: Path, found: list[Problem], limits: Limits) -> str | None:
    """The text of the file with newlines as line ends, without a byte order mark."""
    name = cropped(str(path))
    try:
        if not stat.S_ISREG(path.stat().st_mode):
            found.append(
                Problem("file-unreadable", f"{name} is no ordinary file", None, "Name a file.")
            )
            return None
        with path.open("rb") as file:
            content = file.read(limits.file_bytes + 1)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "its name cannot be used"
        found.append(
            Problem(
                "file-unreadable",
                f"{name} cannot be read: {reason}",
                None,
                "Check the name and whether you may read the file.",
            )
        )
        return None
    if len(content) > limits.file_bytes:
        found.append(
            Problem(
                "file-too-large",
                f"{name} has more than {limits.file_bytes} bytes",
                None,
                "Name a project file; pictures lie beside it and are named in it.",
            )
        )
        return None
    return _decoded(path, content, found)


def _decoded(path: Path, content: bytes, found: list[Problem]) -> str | None:
    """The text of bytes in UTF-8; what is not UTF-8 is blamed on its first byte."""
    try:
        text = content.decode("utf-8")
    except UnicodeDecodeError as error:
        before = content[: error.start]
        line_start = before.rfind(b"\n") + 1
        place = Place(
            str(path),
            before.count(b"\n") + 1,
            len(before[line_start:].decode("utf-8").lstrip("\ufeff")) + 1,
        )
        found.append(
            Problem(
                "not-utf8",
                f"The byte 0x{content[error.start]:02x} is not UTF-8 text",
                place,
                "Save the file with the encoding UTF-8.",
            )
        )
        return None
    return text.removeprefix("\ufeff").replace("\r\n", "\n")


def _decimal(written: str) -> Decimal:
    """A number with its digits kept; one beyond any exponent counts as infinite."""
    try:
        return Decimal(written)
    except ArithmeticError:
        return Decimal("inf")


def _tables(text: str, scanned: Scan, found: list[Problem]) -> dict[str, object] | None:
    """The raw tables, or None after the reason was reported."""
    stop = scanned.stop
    if stop is not None and stop.reason != "syntax":
        found.append(stop_problem(stop, scanned.places))
        return None
    try:
        return tomllib.loads(text, parse_float=_decimal)
    except (ValueError, RecursionError) as error:
        found.append(syntax_problem(error, text, scanned))
        return None


def _project(root: Spot, data: Mapping[str, object], path: Path, text: str) -> Project:
    """The project that the raw tables describe, with every problem reported."""
    start = Place(str(path), 1, 1)

    def build(tables: Table) -> Project:
        project = Project(
            file=str(path),
            folder=path.parent,
            project=tables.get_or(keys.PROJECT_TABLE, ProjectTable(title="", place=start)),
            measures=tables.get_or(keys.MEASURES, {}),
            limits=tables.get_or(keys.LIMITS, ()),
            contents=tables.get_or(keys.CONTENTS_TABLES, ()),
            stocks=tables.get_or(keys.STOCKS, ()),
            pieces=tables.get_or(keys.PIECES, ()),
            mats=tables.get_or(keys.MATS, ()),
            closures=tables.get_or(keys.CLOSURES, ()),
            nests=tables.get_or(keys.NESTS, ()),
            supplies=tables.get_or(keys.SUPPLIES, ()),
            steps=tables.get_or(keys.STEPS, ()),
            course=tables.get(keys.COURSE_TABLE),
            safety=tables.get_or(keys.SAFETY_TABLE, Safety()),
            sizes=tables.get_or(keys.SIZES, ()),
            look=tables.get_or(keys.LOOK_TABLE, Look()),
            source=text,
        )
        check_references(root, data, project)
        return project

    project = table(Kind("", keys.FILE_KEYS, build))(root, data)
    assert project is not None  # data is a table, and build needs no key
    return project

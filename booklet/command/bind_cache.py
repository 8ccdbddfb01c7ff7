"""The parts of a binder, kept by what they are made from.

In: a project file and settings. Out: an entry on disk: facts on the first line, then the section.
An entry's name is the hash of everything that it depends on: the program's own files and fonts,
the libraries, the project, the pictures that it names, paper, colours and units. An entry that is
damaged or half written counts as missing; entries that a run did not use are taken away.
"""

from __future__ import annotations

import contextlib
import functools
import hashlib
import json
import sys
import tomllib
import zlib
from collections.abc import Collection
from dataclasses import asdict, dataclass
from importlib.metadata import version
from pathlib import Path
from typing import Any

from booklet.draw.typeface import font_files
from booklet.limits import Limits
from booklet.pages.binder_front import Facts
from booklet.pdf.write import write_file

SUFFIX = ".section"
LIBRARIES = ("reportlab", "pypdf", "pillow", "shapely", "numpy", "highspy")
"""Whose work is in a section's bytes."""


@dataclass(frozen=True)
class Settings:
    """What all parts of a binder share; units and ruler None where each project decides."""

    paper: str
    grey: bool
    units: str | None = None
    ruler: str | None = None


@functools.cache
def program() -> str:
    """The hash of what makes pages: code, data, fonts, and the versions of the libraries."""
    root = Path(__file__).resolve().parents[1]
    digest = hashlib.sha256()
    for path in sorted(root.rglob("*")):
        if path.suffix in (".py", ".toml"):
            digest.update(path.relative_to(root).as_posix().encode() + b"\0" + path.read_bytes())
    for name, data in font_files().items():
        digest.update(name.encode() + b"\0" + data)
    used = [f"{name} {version(name)}" for name in LIBRARIES]
    digest.update(f"{sys.version} {zlib.ZLIB_RUNTIME_VERSION} {used}".encode())
    return digest.hexdigest()


def key_of(project: Path, settings: Settings) -> str:
    """The name of the entry for a project as it is now. Raises OSError where it cannot be read."""
    digest = hashlib.sha256(f"{program()} {settings}".encode())
    limits = Limits()
    with project.open("rb") as file:
        data = file.read(limits.file_bytes + 1)
    digest.update(project.name.encode("utf-8", "surrogateescape") + b"\0" + data)
    for name in sorted(_pictures(data, limits)):
        with contextlib.suppress(OSError, ValueError, RuntimeError):
            path = (project.parent / name).resolve()
            inside = path.is_relative_to(project.parent.resolve()) and path.is_file()
            if inside and path.stat().st_size <= limits.picture_bytes:
                digest.update(name.encode() + b"\0" + path.read_bytes())
    return digest.hexdigest()


def _pictures(data: bytes, limits: Limits) -> set[str]:
    """The pictures that a project names; none where it is no project."""
    try:
        tables = tomllib.loads(data.decode("utf-8"))
    except (ValueError, RecursionError):
        return set()
    look, steps = tables.get("look"), tables.get("step")
    shown = [step for step in steps if isinstance(step, dict)] if isinstance(steps, list) else []
    named = [step.get("photo") for step in shown[: limits.tables]]
    named += [look.get("cover")] if isinstance(look, dict) else []
    return {name for name in named if isinstance(name, str) and len(name) < 1000}


def store(folder: Path, key: str, facts: Facts | str, section: bytes) -> None:
    """Writes an entry; `facts` is a sentence where the project did not pass."""
    told = {"failed": facts} if isinstance(facts, str) else asdict(facts)
    head = json.dumps(told, sort_keys=True).encode() + b"\n"
    digest = hashlib.sha256(head + section).hexdigest().encode()
    write_file(digest + b"\n" + head + section, folder / f"{key}{SUFFIX}")


def facts_of(folder: Path, key: str) -> Facts | str | None:
    """The facts of an entry, or the sentence of one that did not pass; None for none."""
    try:
        with (folder / f"{key}{SUFFIX}").open("rb") as file:
            digest = file.readline().strip().decode()
            head = file.readline()
            rest = hashlib.sha256(head)
            while block := file.read(1 << 20):
                rest.update(block)
        if rest.hexdigest() != digest:
            return None
        told = json.loads(head)
        return str(told["failed"]) if "failed" in told else _read_facts(told)
    except (OSError, ValueError, KeyError, TypeError):
        # Also an entry with a right sum that another program wrote.
        return None


def _read_facts(told: dict[str, Any]) -> Facts:
    lists = {name: tuple(told[name]) for name in ("forms", "holds", "stocks", "sheets")}
    marks = tuple((str(title), int(page)) for title, page in told["bookmarks"])
    title, designer, pages = told["title"], told["designer"], told["pages"]
    return Facts(title, designer, pages, bookmarks=marks, language=told["language"], **lists)


def section_bytes(folder: Path, key: str) -> bytes:
    """The section of an entry. Raises OSError where it has gone."""
    data = (folder / f"{key}{SUFFIX}").read_bytes()
    return data.split(b"\n", 2)[2]


def tidy(folder: Path, used: Collection[str]) -> None:
    """Takes away the entries that were not used."""
    for path in folder.glob(f"*{SUFFIX}"):
        if path.stem not in used:
            with contextlib.suppress(OSError):
                path.unlink()

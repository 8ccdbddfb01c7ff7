"""Characters that would print as a white square: told before anything is printed.

In: a project, its file and a way to load the faces. Out: a problem for each text with characters
that no face has, at the line where the first of them stands.
"""

from __future__ import annotations

import dataclasses
import pathlib
from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING

from booklet.problem import Place, Problem, Written
from booklet.read.project import Project

if TYPE_CHECKING:
    from booklet.draw.typeface import Faces

USUAL = "\u024f"
"""The last character of the Latin blocks, which every face covers: no need to load one for them."""
UNPRINTED = frozenset({"file", "folder", "photo", "id"})
SHOWN = 8
"""Characters that a message lists."""


def missing_glyphs(
    project: Project, path: pathlib.Path, load: Callable[[], Faces]
) -> list[Problem]:
    """The problems; the faces are loaded only where a text has unusual characters."""
    texts = [(text, place) for text, place in _texts(project, None) if max(text) > USUAL]
    if not texts:
        return []
    faces = load()
    lines = path.read_text("utf-8").splitlines()
    problems: list[Problem] = []
    for text, place in texts:
        missing = sorted(faces.missing(text), key=text.find)
        if not missing:
            continue
        named = " ".join(f"{char} (U+{ord(char):04X})" for char in missing[:SHOWN])
        more = f" and {len(missing) - SHOWN} more" if len(missing) > SHOWN else ""
        problems.append(
            Problem(
                "glyph-missing",
                f"no face of the booklet has {named}{more}: each prints as a white square",
                _exact(place, missing[0], lines),
                "write it in Latin, Greek or Cyrillic letters, or leave it out",
            )
        )
    return list(dict.fromkeys(problems))


def _texts(value: object, place: Place | None) -> Iterator[tuple[str, Place]]:
    """Every text of the project, with its own place or that of its table."""
    if isinstance(value, str):
        # What has no place was not written in the file as it stands.
        if value and place is not None:
            yield value, place
    elif isinstance(value, Written):
        yield from _texts(value.value, value.place)
    elif isinstance(value, dict):
        for inner in value.values():
            yield from _texts(inner, place)
    elif isinstance(value, tuple | list):
        for inner in value:
            yield from _texts(inner, place)
    elif dataclasses.is_dataclass(value) and not isinstance(value, Place | type):
        own = getattr(value, "place", place)
        for field in dataclasses.fields(value):
            if field.name not in UNPRINTED:
                yield from _texts(getattr(value, field.name), own)


def _exact(place: Place, char: str, lines: list[str]) -> Place:
    """The place of the first such character from there on; as it was where it is escaped."""
    for number, line in enumerate(lines[place.line - 1 :], place.line):
        column = line.find(char, place.column - 1 if number == place.line else 0)
        if column >= 0:
            return Place(place.file, number, column + 1)
    return place

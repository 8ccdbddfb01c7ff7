"""A problem is a value: a code, a place in the file, what is wrong and what to do.

In: codes and sentences from every stage. Out: frozen `Problem` values that `command/show.py`
renders as text and `report.py` as JSON. The catalogue of codes (severity, meaning) is the data
file `problems.toml` beside this module.
"""

from __future__ import annotations

import functools
import tomllib
from dataclasses import dataclass
from importlib import resources
from typing import Generic, Literal, TypeVar

Severity = Literal["error", "warning", "note"]
T = TypeVar("T")
T_co = TypeVar("T_co", covariant=True)


@dataclass(frozen=True, order=True)
class Place:
    """Where something stands: a file name as the user gave it, line and column counted from 1."""

    file: str
    line: int
    column: int


@dataclass(frozen=True)
class Written(Generic[T_co]):
    """A value as written in the file, with its place."""

    value: T_co
    place: Place


@dataclass(frozen=True)
class CodeEntry:
    """One row of the catalogue."""

    code: str
    severity: Severity
    meaning: str


@functools.cache
def catalogue() -> dict[str, CodeEntry]:
    """All problem codes by name, read once from `problems.toml`."""
    text = resources.files("booklet").joinpath("problems.toml").read_text("utf-8")
    return {
        code: CodeEntry(code, row["severity"], row["meaning"])
        for code, row in tomllib.loads(text).items()
    }


@dataclass(frozen=True)
class Problem:
    """Something wrong or worth knowing.

    `code` is a key of the catalogue, `message` says what is wrong and shows the offending value,
    `help` says what to do. `place` is None only where no line can be blamed (an unreadable file).
    """

    code: str
    message: str
    place: Place | None = None
    help: str = ""

    @property
    def severity(self) -> Severity:
        """The severity that the catalogue gives to this code."""
        return catalogue()[self.code].severity

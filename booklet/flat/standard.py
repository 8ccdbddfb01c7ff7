"""Booklet's own table of the sizes of common contents.

In: a name as written in `standard = "..."`. Out: (wide, tall, deep) in mm, exact, or the names
nearest to one that the table lacks. The table, with a source for each row, is
`standard_sizes.toml` beside this module.
"""

from __future__ import annotations

import difflib
import functools
import tomllib
from dataclasses import dataclass
from fractions import Fraction
from importlib import resources

from booklet.measure.units import UNITS

Size = tuple[Fraction, Fraction, Fraction]


@dataclass(frozen=True)
class StandardSize:
    """One row: `size` is (wide, tall, deep) in mm; `check` says how the source was seen.

    One that is `upright` must not lie on its side: its tall stays up.
    """

    id: str
    name: str
    plural: str
    size: Size
    also: tuple[str, ...]
    source: str
    check: str
    upright: bool = False

    def named(self, count: int) -> str:
        """What so many of it are called."""
        return self.name if count == 1 else self.plural


@functools.cache
def standard_sizes() -> dict[str, StandardSize]:
    """All rows by id, in the order of the table."""
    text = resources.files("booklet.flat").joinpath("standard_sizes.toml").read_text("utf-8")
    rows: dict[str, StandardSize] = {}
    for key, row in tomllib.loads(text).items():
        unit = UNITS[row["unit"]]
        wide, tall, deep = (Fraction(side) * unit for side in row["size"])
        rows[key] = StandardSize(
            id=key,
            name=row["name"],
            plural=row.get("plural") or _several(row["name"]),
            size=(wide, tall, deep),
            also=tuple(row["also"]),
            source=row["source"],
            check=row["check"],
            upright=row.get("upright", False),
        )
    return rows


@functools.cache
def _by_name() -> dict[str, StandardSize]:
    rows = standard_sizes().values()
    return {name: row for row in rows for name in (row.id, *row.also)}


def standard_size(name: str) -> Size | None:
    """(wide, tall, deep) in mm of a standard size, or None for an unknown name.

    Capitals do not matter, and a blank or an underscore stands for a hyphen: "ID_1" is "id-1".
    """
    row = _by_name().get(_plain(name))
    return None if row is None else row.size


def standard_row(name: str) -> StandardSize | None:
    """The whole row of a standard size, with its readable name and source; None if unknown."""
    return _by_name().get(_plain(name))


def nearest_names(name: str) -> tuple[str, ...]:
    """Up to three names of the table that look like `name`, the likeliest first; may be empty."""
    return tuple(difflib.get_close_matches(_plain(name)[:64], list(_by_name()), n=3, cutoff=0.5))


def _several(name: str) -> str:
    """A name with an s behind the thing itself: "100 euro notes, second series"."""
    at = min(index for mark in (", ", " (", "$") if (index := (name + "$").find(mark)) >= 0)
    return f"{name[:at]}s{name[at:]}"


def _plain(name: str) -> str:
    return "-".join(name.casefold().replace("_", " ").replace("-", " ").replace("/", " ").split())

"""One spot of the file while it is read: a key path and how to report a problem there.

In: the index of places and the list that collects problems. Out: `Spot`, which every check of a
value is given, and `shown`, which makes any value fit to be printed in a message.
"""

from __future__ import annotations

import datetime
import unicodedata
from dataclasses import dataclass, field
from decimal import Decimal
from pathlib import Path as FilePath

from booklet.limits import Limits
from booklet.problem import Place, Problem
from booklet.read.places import Path, Places

# Problems after which the table they stand in is still what its author meant.
_WHOLE = frozenset({"unknown-key", "unknown-table", "photo-coarse"})
# Letters of a value that a message shows.
_SHOWN = 60


@dataclass(frozen=True)
class Reading:
    """What holds for a whole file; `found` collects its problems.

    `damaged` collects the paths at which something known could not be read.
    """

    places: Places
    folder: FilePath
    limits: Limits
    found: list[Problem]
    damaged: list[Path] = field(default_factory=list)
    # Width and height of each picture file that was read: one that is named often is read once.
    pixels: dict[FilePath, tuple[int, int]] = field(default_factory=dict)

    @property
    def full(self) -> bool:
        """Whether so many problems were found that more would help nobody."""
        return len(self.found) > self.limits.problems


@dataclass(frozen=True)
class Spot:
    """A key path of the file that is read."""

    reading: Reading
    path: Path

    @property
    def limits(self) -> Limits:
        """The bounds for this file."""
        return self.reading.limits

    @property
    def place(self) -> Place:
        """Where the value stands."""
        return self.reading.places.value(self.path)

    @property
    def key_place(self) -> Place:
        """Where the key stands."""
        return self.reading.places.key(self.path)

    @property
    def label(self) -> str:
        """What a message calls this spot: the last name, and the number in a list from 1."""
        names = [part for part in self.path if isinstance(part, str)]
        name = shown_name(names[-1]) if names else "the file"
        last = self.path[-1] if self.path else ""
        return f"{name} (number {last + 1})" if isinstance(last, int) else name

    def at(self, *parts: str | int) -> Spot:
        """The spot further in."""
        return Spot(self.reading, self.path + parts)

    def report(self, code: str, message: str, help_: str, *, key: bool = False) -> None:
        """Add a problem at the value, or at the key."""
        if code not in _WHOLE and self.path:
            self.reading.damaged.append(self.path)
        if not self.reading.full:
            place = self.key_place if key else self.place
            self.reading.found.append(Problem(code, message, place, help_))


def is_control(letter: str) -> bool:
    """Whether a character cannot be printed or changes how the text round it reads.

    Unicode general categories Cc (control), Cs (surrogate), Cn (noncharacter, unassigned), Zl and
    Zp (line and paragraph separator), and the bidirectional controls of Unicode annex 9.
    """
    return (
        unicodedata.category(letter) in {"Cc", "Cs", "Cn", "Zl", "Zp"}
        or letter in "\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"
    )


def cropped(text: str) -> str:
    """The start of a text, with what cannot be printed written as its code."""
    safe = "".join(
        f"\\u{ord(letter):04x}" if is_control(letter) else letter for letter in text[:_SHOWN]
    )
    return safe + ("..." if len(text) > _SHOWN else "")


def shown_name(name: str) -> str:
    """A key or name for a message."""
    return cropped(name) or '""'


def shown(raw: object) -> str:
    """A value for a message, as TOML writes it."""
    if isinstance(raw, bool):
        return "true" if raw else "false"
    if isinstance(raw, str):
        return f'"{cropped(raw)}"'
    if isinstance(raw, int | datetime.date | datetime.time):
        return cropped(str(raw))
    if isinstance(raw, Decimal):
        return cropped(str(raw).lower().replace("infinity", "inf"))
    if isinstance(raw, list):
        return f"a list of {len(raw)}"
    return "a table"


def kind_of(raw: object) -> str:
    """What kind of TOML value this is, in plain words."""
    kinds: tuple[tuple[type | tuple[type, ...], str], ...] = (
        (bool, "true or false"),
        (str, "text"),
        ((int, Decimal), "a number"),
        ((datetime.date, datetime.time), "a date or time"),
        (list, "a list"),
    )
    return next((words for kind, words in kinds if isinstance(raw, kind)), "a table")


def wrong_type(spot: Spot, raw: object, wanted: str, example: str) -> None:
    """Report a value of another kind than wanted."""
    value = shown(raw)
    kind = kind_of(raw)
    text = f"{spot.label} is {value}, not {wanted}"
    if not value.startswith("a ") and kind not in wanted:
        text = f"{spot.label} = {value} is {kind}, not {wanted}"
    spot.report("wrong-type", text, f"Write {wanted}, such as {example}.")

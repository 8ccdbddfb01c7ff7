"""Tables of the language: which keys one has, and how a raw table becomes a value.

In: a `Kind`, which is a tuple of keys and a small function, and a raw table. Out: what the
function builds, or None; every unknown, missing or wrong key is reported before it runs.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Generic, TypeAlias, TypeVar, cast

from booklet.limits import Limits
from booklet.problem import Place
from booklet.read.nearest import did_you_mean
from booklet.read.spot import Spot, kind_of, shown_name, wrong_type
from booklet.read.text import bad_id, is_id

T = TypeVar("T")
T_co = TypeVar("T_co", covariant=True)

Check: TypeAlias = Callable[[Spot, object], T | None]


@dataclass(frozen=True)
class Key(Generic[T_co]):
    """A key of a table: its name, what its value is in plain words, and how that is read."""

    name: str
    meaning: str
    check: Check[T_co]
    required: bool = False


@dataclass(frozen=True)
class Kind(Generic[T_co]):
    """A kind of table: the name in brackets, its keys, and what is built from the values."""

    name: str
    keys: tuple[Key[Any], ...]
    build: Callable[[Table], T_co]


class Incomplete(Exception):
    """A table lacks a value that it cannot do without; the reason is reported already."""


@dataclass(frozen=True)
class Table:
    """The checked values of one table, by key."""

    spot: Spot
    values: Mapping[str, object]
    written: frozenset[str]  # every key in the file, also those whose value is wrong

    @property
    def place(self) -> Place:
        """Where the table starts."""
        return self.spot.place

    def get(self, key: Key[T]) -> T | None:
        """The value of a key, or None where it is absent or wrong."""
        return cast("T | None", self.values.get(key.name))

    def get_or(self, key: Key[T], default: T) -> T:
        """The value of a key, or a default."""
        found = self.get(key)
        return default if found is None else found

    def need(self, key: Key[T]) -> T:
        """The value of a key; raises `Incomplete` where there is none."""
        found = self.get(key)
        if found is None:
            raise Incomplete(key.name)
        return found

    def place_of(self, key: Key[Any]) -> Place | None:
        """Where the value of a key stands, or None where it is absent."""
        return self.spot.at(key.name).place if key.name in self.written else None

    def only_one_of(self, *keys: Key[Any]) -> None:
        """Report keys that exclude one another."""
        both = [key.name for key in keys if key.name in self.written]
        for name in both[1:]:
            self.spot.at(name).report(
                "conflicting-keys",
                f'"{name}" and "{both[0]}" exclude one another',
                f"Delete {name} or {both[0]}.",
                key=True,
            )

    def needs_too(self, key: Key[Any], *others: Key[Any]) -> None:
        """Report keys that must stand beside `key` and do not."""
        for other in others:
            if key.name in self.written and other.name not in self.written:
                self.spot.at(key.name).report(
                    "missing-key",
                    f'"{key.name}" needs "{other.name}" beside it',
                    f"Add {other.name}: {other.meaning}.",
                    key=True,
                )


def table(kind: Kind[T]) -> Check[T]:
    """A check that reads one table."""

    def check(spot: Spot, raw: object) -> T | None:
        if not isinstance(raw, dict):
            wrong_type(spot, raw, "a table", f"[{kind.name}]")
            return None
        values = _values(spot, raw, kind)
        try:
            return kind.build(Table(spot, values, frozenset(raw)))
        except Incomplete:
            return None

    return check


def tables(
    kind: Kind[T], bound: Callable[[Limits], int] = lambda limits: limits.tables
) -> Check[tuple[T, ...]]:
    """A check that reads a list of tables, [[name]]."""
    single = table(kind)

    def check(spot: Spot, raw: object) -> tuple[T, ...] | None:
        if not isinstance(raw, list):
            wrong_type(spot, raw, "a list of tables", f"[[{kind.name}]]")
            return None
        if too_many(spot, len(raw), bound(spot.limits)):
            return None
        found = (single(spot.at(number), element) for number, element in enumerate(raw))
        return tuple(value for value in found if value is not None)

    return check


def by_name(
    item: Check[T], example: str, bound: Callable[[Limits], int], pair: bool = False
) -> Check[dict[str, T]]:
    """A check that reads a table whose keys the maker chooses; with `pair` also "a|b"."""

    def check(spot: Spot, raw: object) -> dict[str, T] | None:
        if not isinstance(raw, dict):
            wrong_type(spot, raw, "a table of names", example)
            return None
        if too_many(spot, len(raw), bound(spot.limits)):
            return None
        found = {}
        for name, value in raw.items():
            parts = name.split("|") if pair and name.count("|") == 1 else [name]
            for part in parts:
                if not is_id(part, spot.limits.name):
                    bad_id(spot.at(name), part, key=True)
                    break
            read = item(spot.at(name), value)
            if read is not None:
                found[name] = read
        return found

    return check


def too_many(spot: Spot, count: int, bound: int) -> bool:
    """Report a list or table with more entries than the bound."""
    if count > bound:
        spot.report(
            "too-many",
            f"{spot.label} has {count} entries, more than {bound}",
            "Split the project into several files.",
        )
    return count > bound


def _values(spot: Spot, raw: dict[str, object], kind: Kind[Any]) -> dict[str, object]:
    """Check every key of a raw table and report those that are unknown or missing."""
    known = {key.name: key for key in kind.keys}
    values: dict[str, object] = {}
    for name, value in raw.items():
        if spot.reading.full:
            break
        key = known.get(name)
        if key is None:
            _unknown(spot.at(name), name, value, kind)
            continue
        found = key.check(spot.at(name), value)
        if found == "" and key.required:
            spot.at(name).report("empty-text", f"{name} is empty", f"Write {key.meaning}.")
        if found is not None:
            values[name] = found
    for key in kind.keys:
        if key.required and key.name not in raw:
            where = f"[{kind.name}]" if kind.name else "the file"
            spot.report(
                "missing-key", f'{where} has no "{key.name}"', f"Add {key.name}: {key.meaning}."
            )
    return values


def _unknown(spot: Spot, name: str, value: object, kind: Kind[Any]) -> None:
    """Report a key that this kind of table does not have."""
    names = tuple(key.name for key in kind.keys)
    if kind.name:
        message = f'[{kind.name}] has no key "{shown_name(name)}"'
        spot.report("unknown-key", message, did_you_mean(name, names), key=True)
    elif isinstance(value, dict | list):
        message = f'There is no table "{shown_name(name)}"'
        spot.report("unknown-table", message, did_you_mean(name, names), key=True)
    else:
        message = f'"{shown_name(name)}" ({kind_of(value)}) stands above every table'
        spot.report("unknown-key", message, "Move it below a header such as [project].", key=True)

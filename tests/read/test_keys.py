"""The language as data."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any
from unittest.mock import MagicMock

import pytest

from booklet.read.keys import KINDS, TABLES
from booklet.read.table import Kind, Table


class Asked(Mapping[str, Any]):
    """Values that stand for any, and no photo; notes what a table's function asks for."""

    def __init__(self) -> None:
        self.names: set[str] = set()

    def __getitem__(self, name: str) -> Any:
        self.names.add(name)
        if name in ("photo", "cover"):
            raise KeyError(name)
        return MagicMock()

    def __iter__(self) -> Iterator[str]:
        return iter(self.names)

    def __len__(self) -> int:
        return len(self.names)


def test_every_table_is_listed_with_its_keys() -> None:
    """The tables of the language, and a key of each kind."""
    assert {"project", "measures", "piece", "piece.panel", "class"} <= set(TABLES)
    assert [key.name for key in TABLES["piece.join"]] == ["tab", "to", "with"]


def test_keys_are_unique_and_say_what_they_mean() -> None:
    """No table has a key twice, and each key has a meaning that fits into a sentence."""
    for keys in TABLES.values():
        names = [key.name for key in keys]
        assert len(names) == len(set(names))
        assert all(key.meaning and not key.meaning.endswith(".") for key in keys)


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.name)
def test_no_key_is_checked_and_then_forgotten(kind: Kind[Any]) -> None:
    """What a maker may write in a table is asked for where its value is built."""
    asked = Asked()
    kind.build(Table(MagicMock(), asked, frozenset()))
    assert asked.names == {key.name for key in kind.keys}

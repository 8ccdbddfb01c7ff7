"""The language as data."""

from __future__ import annotations

from booklet.read.keys import TABLES


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

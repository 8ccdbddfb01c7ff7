"""The README lists exactly the keys that the reader knows."""

from __future__ import annotations

import re
from pathlib import Path

from booklet.read.keys import TABLES

README = (Path(__file__).resolve().parents[2] / "README.md").read_text("utf-8")


def test_the_reference_has_the_keys_of_the_reader() -> None:
    """Table by table, in the same order."""
    reference, _, _ = README.partition("### Problem codes")
    chapters = re.split(r"^#### ", reference, flags=re.MULTILINE)[1:]
    told = [re.findall(r"^\| `([^`]+)` \|", chapter, re.MULTILINE) for chapter in chapters]
    assert told == [[key.name for key in keys] for keys in TABLES.values()]

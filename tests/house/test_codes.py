"""Problem codes: each one that the program uses is in the catalogue, and each has a meaning."""

from __future__ import annotations

import re
from pathlib import Path

from booklet.problem import catalogue

ROOT = Path(__file__).resolve().parents[2] / "booklet"


def test_every_code_in_the_program_is_catalogued() -> None:
    """A code without a row would have no severity."""
    used: set[str] = set()
    for path in ROOT.rglob("*.py"):
        used |= set(re.findall(r'Problem\(\s*"([a-z-]+)"', path.read_text("utf-8")))
    assert used
    assert used <= set(catalogue())


def test_every_row_says_what_it_means() -> None:
    """A severity of the three, and a plain sentence."""
    for entry in catalogue().values():
        assert entry.severity in ("error", "warning", "note")
        assert entry.meaning.endswith(".")

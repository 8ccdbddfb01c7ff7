"""The README names the words that keys choose from; without them a newcomer has to guess."""

from __future__ import annotations

import tomllib
from pathlib import Path

from booklet.draw.mark import LAYERS
from booklet.read import closure, piece, supply

ROOT = Path(__file__).resolve().parents[2]
README = (ROOT / "README.md").read_text("utf-8")


def test_the_reference_names_every_choice() -> None:
    """Kinds, shapes, units and grades; of the sheets the ones that are no ISO range."""
    reference = README.partition("## Language reference")[2]
    papers = tomllib.loads((ROOT / "booklet" / "stock" / "papers.toml").read_text("utf-8"))
    sheets = [name for name in papers["sheet"] if name[0] not in "ab"]
    chosen = [*closure.KINDS, *supply.KINDS, *piece.SHAPES, *piece.UNITS, *sheets]
    missing = [word for word in (*chosen, *papers["grade"]) if f"`{word}`" not in reference]
    assert missing == []


def test_the_editions_name_the_layers() -> None:
    """In the order of a viewer's list."""
    assert f"Full-size pages have layers ({', '.join(LAYERS)})" in README

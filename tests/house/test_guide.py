"""The guide for contributors leads to places that are there."""

from __future__ import annotations

import re
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
GUIDE = (ROOT / "DEVELOPERS.md").read_text("utf-8")
FOLDERS = [ROOT / "booklet", ROOT / "tests"]
FILES = [path for folder in FOLDERS for path in folder.rglob("*") if path.is_file()]
FILE = r"[\w/]+\.(?:py|toml)"
NAME = r"[A-Za-z_]\w*"


def named(file: str) -> list[Path]:
    """The files that are meant: the guide names one by the end of its way."""
    return [path for path in FILES if f"/{path.as_posix()}".endswith(f"/{file}")]


def defined(name: str, path: Path) -> bool:
    """Whether a function, class or value of that name stands in a module, or a key in a table."""
    module = rf"^\s*(?:(?:def|class) {name}\b|{name}\b\s*[:=])"
    sought = module if path.suffix == ".py" else rf"\b{name} = "
    return re.search(sought, path.read_text("utf-8"), re.MULTILINE) is not None


def test_every_file_that_the_guide_names_is_there() -> None:
    """By the end of its way, as in `fold/prove.py`."""
    told = set(re.findall(rf"`({FILE})`", GUIDE))
    assert len(told) > 100
    assert [file for file in sorted(told) if not named(file)] == []


def test_every_name_stands_in_the_file_that_the_guide_says() -> None:
    """As in "`fold/prove.py` `prove`", or "`KINDS` in `read/closure.py`"."""
    behind = re.findall(rf"`({FILE})`\s+`({NAME})`", GUIDE)
    before = re.findall(rf"`({NAME})`\s+(?:in|of)\s+`({FILE})`", GUIDE)
    pairs = {*behind, *((file, name) for name, file in before)}
    assert len(pairs) > 30
    lost = [
        (file, name)
        for file, name in sorted(pairs)
        if not any(defined(name, path) for path in named(file))
    ]
    assert lost == []

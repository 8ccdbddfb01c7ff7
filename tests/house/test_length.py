"""Lengths that can be read: files, functions, and what a function takes by position."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
LINES = 400
"""Of a file; one that is longer holds two things."""
FUNCTION = 60
"""Lines of a function."""
TAKEN = 8
"""Arguments by position, `self` included; what is handed on in such trains is one value."""


def modules() -> Iterator[tuple[Path, str]]:
    """The program's own files with their text."""
    for path in sorted((ROOT / "booklet").rglob("*.py")):
        yield path, path.read_text("utf-8")


def test_no_file_is_too_long_to_be_read_at_once() -> None:
    """A file that grows beyond is divided, not excused."""
    long = {path.name: text.count("\n") for path, text in modules() if text.count("\n") > LINES}
    assert not long


def test_functions_are_short_and_take_few_arguments() -> None:
    """Counted from `def` to the last line."""
    seen = 0
    wrong: list[str] = []
    for path, text in modules():
        for node in ast.walk(ast.parse(text)):
            if isinstance(node, ast.FunctionDef):
                seen += 1
                lines = (node.end_lineno or node.lineno) - node.lineno + 1
                taken = len(node.args.posonlyargs) + len(node.args.args)
                if lines > FUNCTION or taken > TAKEN:
                    wrong.append(f"{path.name} {node.name}: {lines} lines, {taken} arguments")
    assert seen > 1000
    assert not wrong


def test_every_module_begins_with_what_comes_in_and_goes_out() -> None:
    """Packages and the entry point say what they are in a sentence."""
    silent = []
    for path, text in modules():
        words = ast.get_docstring(ast.parse(text)) or ""
        told = "In: " in words and ("Out: " in words or "Out:\n" in words)
        if not words or (not told and not path.name.startswith("__")):
            silent.append(path.name)
    assert not silent

"""The direction of the stages: a stage imports only from those before it."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2] / "booklet"
STAGES = ("read", "measure", "flat", "fold", "stock", "draw", "pages", "pdf", "command")
FILES = sorted(ROOT.rglob("*.py"))


def imported(path: Path) -> set[str]:
    """Every booklet module that a file imports, also inside functions."""
    names: set[str] = set()
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            names.add(node.module)
            names |= {f"{node.module}.{alias.name}" for alias in node.names}
    return {name for name in names if name.split(".")[0] == "booklet"}


def stage(module: str) -> str | None:
    """The stage that a module belongs to."""
    parts = module.split(".")
    return parts[1] if len(parts) > 1 and parts[1] in STAGES else None


@pytest.mark.parametrize("path", FILES, ids=lambda p: str(p.relative_to(ROOT)))
def test_a_stage_imports_only_from_earlier_ones(path: Path) -> None:
    """No import against the direction, hidden or not."""
    own = path.relative_to(ROOT).parts[0]
    if own not in STAGES:
        return
    later = STAGES[STAGES.index(own) + 1 :]
    wrong = {name for name in imported(path) if stage(name) in later}
    assert not wrong


def test_the_stages_stand_before_pages_and_commands() -> None:
    """`stages` and `report` load no page, no PDF and no command, so that check stays light."""
    for name in ("stages", "report"):
        loaded = {stage(module) for module in imported(ROOT / f"{name}.py")}
        assert not loaded & {"draw", "pages", "pdf", "command"}


def test_the_way_down_is_free_of_the_way_up() -> None:
    """Files below all stages import none of them."""
    for name in ("problem", "limits"):
        assert not {stage(module) for module in imported(ROOT / f"{name}.py")} - {None}

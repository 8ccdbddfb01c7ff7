"""What several tests share: the demo projects, and projects written as text."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.folding import Flat, flat_project

DEMOS = sorted((Path(__file__).resolve().parents[1] / "projects").glob("*/*.toml"))


@pytest.fixture(params=DEMOS, ids=lambda path: path.stem)
def demo(request: pytest.FixtureRequest) -> Path:
    """Each demo project in turn."""
    path: Path = request.param
    return path


@pytest.fixture
def flat(tmp_path: Path) -> Callable[[str], Flat]:
    """Make the patterns of a project from its tables, see `flat_project`."""
    return lambda text: flat_project(text, tmp_path)

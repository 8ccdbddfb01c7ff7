"""What several tests share: the demo projects and a way to write a project file."""

from __future__ import annotations

from pathlib import Path

import pytest

DEMOS = sorted((Path(__file__).resolve().parents[1] / "projects").glob("*/*.toml"))


@pytest.fixture(params=DEMOS, ids=lambda path: path.stem)
def demo(request: pytest.FixtureRequest) -> Path:
    """Each demo project in turn."""
    path: Path = request.param
    return path

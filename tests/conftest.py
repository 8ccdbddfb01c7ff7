"""What several tests share: the demo projects, and projects written as text."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.folding import Flat, flat_project
from tests.made import Workshop

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


@pytest.fixture(scope="session")
def workshop(tmp_path_factory: pytest.TempPathFactory) -> Workshop:
    """Where editions are made for this run, by all its processes together."""
    folder = tmp_path_factory.getbasetemp()
    # Each process of a run on several has a folder of its own below that of the run.
    parallel = "PYTEST_XDIST_WORKER" in os.environ
    return Workshop((folder.parent if parallel else folder) / "workshop")

"""The fixture `made`: files of every kind."""

from __future__ import annotations

import os

import pytest

from tests.published.made import WANTED, Made, Wanted, Workshop, opened


@pytest.fixture(scope="session")
def workshop(tmp_path_factory: pytest.TempPathFactory) -> Workshop:
    """Where editions are made for this run, by all its processes together."""
    folder = tmp_path_factory.getbasetemp()
    # Each process of a run on several has a folder of its own below that of the run.
    parallel = "PYTEST_XDIST_WORKER" in os.environ
    return Workshop((folder.parent if parallel else folder) / "workshop")


@pytest.fixture(scope="session", params=WANTED, ids=str)
def made(request: pytest.FixtureRequest, workshop: Workshop) -> Made:
    """One file of each kind, opened."""
    wanted: Wanted = request.param
    return opened(wanted.path(workshop))

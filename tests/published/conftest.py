"""The fixture `made`: files of every kind."""

from __future__ import annotations

import pytest

from tests.made import WANTED, Made, Wanted, Workshop, opened


@pytest.fixture(scope="session", params=WANTED, ids=str)
def made(request: pytest.FixtureRequest, workshop: Workshop) -> Made:
    """One file of each kind, opened."""
    wanted: Wanted = request.param
    return opened(wanted.path(workshop))

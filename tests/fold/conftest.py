"""The fixture `flat`: a project's text becomes its patterns."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.folding import Flat, flat_project


@pytest.fixture
def flat(tmp_path: Path) -> Callable[[str], Flat]:
    """Make the patterns of a project from its tables, see `flat_project`."""
    return lambda text: flat_project(text, tmp_path)

"""Projects and scopes in memory for the tests of the measure stage."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from booklet.measure.resolve import Scope
from booklet.measure.ruler import DEFAULT_RULER
from booklet.measure.units import INCH
from booklet.problem import Place, Written
from booklet.read.project import Project, ProjectTable
from booklet.read.raw import Length, Raw


def _written(value: Raw, line: int = 1) -> Length:
    return Written(value, Place("p.toml", line, 8))


@pytest.fixture
def written() -> Callable[..., Length]:
    """A value as written, at column 8 of a line (1 if not given)."""
    return _written


@pytest.fixture
def inches() -> Scope:
    """A project in inches, ruler 1/16 in, with wide 3 3/8 in and deep 5/8 in."""
    return Scope("in", DEFAULT_RULER["in"], {"wide": INCH * 27 / 8, "deep": INCH * 5 / 8})


@pytest.fixture
def project() -> Callable[..., Project]:
    """A project of measures alone, the first on line 1, one on each line."""

    def made(measures: Mapping[str, Raw], units: str = "in", ruler: Raw | None = None) -> Project:
        table = ProjectTable(
            title="Tag",
            units=units,
            ruler=None if ruler is None else _written(ruler, 100),
            place=Place("p.toml", 1, 1),
        )
        lines = {n: _written(raw, i) for i, (n, raw) in enumerate(measures.items(), 1)}
        return Project(file="p.toml", folder=Path(), project=table, measures=lines)

    return made

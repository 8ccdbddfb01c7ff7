"""A map of many cells stays cheap, and one of too many panels is refused."""

from __future__ import annotations

from pathlib import Path

import pytest

from booklet.limits import Limits
from booklet.stages import check_file
from tests.strategies import GridCase, pattern


def project(folder: Path, lines: list[list[str]]) -> Path:
    """A project whose map has these names, all cells a quarter inch."""
    path = folder / "lattice.toml"
    columns, rows = ["0.25"] * len(lines[0]), ["0.25"] * len(lines)
    text = '[project]\ntitle = "Lattice"\n[[piece]]\nid = "lattice"\n'
    text += f"columns = [{', '.join(columns)}]\nrows = [{', '.join(rows)}]\n"
    path.write_text(text + f"map = {[' '.join(line) for line in lines]}\n", "utf-8")
    return path


def test_a_map_beyond_the_limit_of_panels_is_refused(tmp_path: Path) -> None:
    """A lattice of 200 by 200 panels would take minutes; it is refused, with the map blamed."""
    lines = [[f"p{row}_{column}" for column in range(200)] for row in range(200)]
    _, problems = check_file(project(tmp_path, lines))
    assert [problem.code for problem in problems] == ["too-many"]
    assert problems[0].place is not None and problems[0].place.line == 7


def test_the_largest_map_is_built() -> None:
    """As many panels as the limit allows, of 40 cells each, all hang together."""
    side = Limits().lines
    sizes = (4,) * side
    lines = tuple(
        tuple(f"p{row // 8}_{column // 5}" for column in range(side)) for row in range(side)
    )
    made = pattern(GridCase(sizes, sizes, lines))
    assert len(made.panels) == Limits().panels
    assert len(made.hinges) == Limits().panels - 1


@pytest.mark.parametrize(
    ("wishes", "code"),
    [
        ("notch = 1", "notch-too-large"),  # as wide as its edge
        ("notch = 0.5\nround = 0.25", "notch-too-large"),  # its ends meet the rounds
        ("taper = 0.5", "taper-too-large"),  # comes to a point
        ("notch = 0.5\nround = 0.125", None),
        ("taper = 0.25", None),
    ],
)
def test_an_edge_keeps_some_of_its_length(tmp_path: Path, wishes: str, code: str | None) -> None:
    """The flap is an inch wide: shapes that leave sides of no length are refused."""
    path = tmp_path / "flap.toml"
    path.write_text(
        '[project]\ntitle = "Flap"\n[[piece]]\nid = "flap"\ncolumns = [1]\nrows = [1, 1]\n'
        'map = ["flap", "base"]\nroot = "base"\n[piece.folds]\nflap = 90\n'
        f"[piece.panel.flap]\n{wishes}\n",
        "utf-8",
    )
    _, problems = check_file(path)
    assert [problem.code for problem in problems] == ([code] if code else [])

"""Pieces with hundreds of problems: told in time, and summed up."""

from __future__ import annotations

import time
from pathlib import Path

from booklet.limits import Limits
from booklet.problem import Problem
from booklet.stages import check_file, summed_up


def lattice(columns: int, rows: int, folds: str = "") -> str:
    """A field of panels with scores all round each, at sizes that no ruler has."""
    wide = ", ".join(f'"{10.3 + 0.37 * i:.2f}"' for i in range(columns))
    tall = ", ".join(f'"{10.3 + 0.37 * i:.2f}"' for i in range(rows))
    lines = [" ".join(f"p{r}_{c}" for c in range(columns)) for r in range(rows)]
    shown = "".join(f'  "{line}",\n' for line in lines)
    return (
        '[project]\ntitle = "Lattice"\nunits = "mm"\nruler = "1"\n'
        '[[stock]]\nid = "card"\nname = "Card"\nsheet = [1000, 1000]\nthickness = 0.3\n'
        f'[[piece]]\nid = "lattice"\nstock = "card"\ncolumns = [{wide}]\nrows = [{tall}]\n'
        f'map = [\n{shown}]\nroot = "p0_0"\n{folds}'
    )


def test_a_thousand_panels_with_hundreds_of_faults_are_told_in_time(tmp_path: Path) -> None:
    """930 rings that do not close (30 x 31 inner corners): a few singly, the rest as a number.

    The aim is 2 s; a busy machine gets twice that.
    """
    path = tmp_path / "lattice.toml"
    path.write_text(lattice(31, 32), "utf-8")
    start = time.process_time()
    _, problems = check_file(path)
    assert time.process_time() - start < 4
    rings = [problem for problem in problems if problem.code == "ring-does-not-close"]
    most = Limits().same
    assert len(rings) == most
    assert f"and {30 * 31 - (most - 1)} more" in rings[-1].message
    assert len([problem for problem in problems if problem.code == "score-off-ruler"]) == most


def test_a_lattice_folded_flat_onto_one_panel_is_told_in_time(tmp_path: Path) -> None:
    """A thousand panels on one spot make half a million pairs of layers."""
    pairs = ", ".join(
        f"p{r}_{c} = {180 if (r + c) % 2 else -180}" for r in range(32) for c in range(31) if r + c
    )
    path = tmp_path / "lattice.toml"
    path.write_text(lattice(31, 32, f"folds = {{ {pairs} }}\n"), "utf-8")
    start = time.process_time()
    check_file(path)
    assert time.process_time() - start < 4


def test_few_problems_are_shown_as_they_are() -> None:
    """The limit itself is not summed up; one more is, and other codes stay."""
    limits = Limits(same=3)
    three = [Problem("ring-does-not-close", f"corner {i}") for i in range(3)]
    other = Problem("seam-open", "a gap")
    assert summed_up([*three, other], limits) == [*three, other]
    four = [*three, Problem("ring-does-not-close", "corner 3")]
    shown = summed_up([other, *four], limits)
    assert shown[:3] == [other, *three[:2]]
    assert len(shown) == 4 and "and 2 more" in shown[3].message

"""How the fold stage grows with the number of panels: run it by hand, it is no test.

    python -m tests.bench.fold_scaling

Prints a table for pieces of 10 to 1,000 panels: a field of trays side by side (walls on a strip of
floors), folded at once. Times are of the processor, the best of three, in milliseconds.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import numpy as np

from booklet.flat.build import build_pattern
from booklet.flat.pattern import Pattern
from booklet.fold.collide import sweep
from booklet.fold.layer import layers
from booklet.fold.plate import plates
from booklet.fold.pose import pose, pose_piece
from booklet.fold.prove import prove
from booklet.measure.resolve import Scope
from booklet.problem import Place, Problem, Written
from booklet.read.piece import Piece
from booklet.read.project import Project, ProjectTable

PLACE = Place("bench", 1, 1)
PANELS = (10, 30, 100, 300, 1000)


def strip(panels: int) -> tuple[Pattern, Piece]:
    """Floors in a row with a wall above and below each: a third of the panels are floors."""
    floors = max(1, panels // 3)
    names = [(f"up{i}", f"floor{i}", f"low{i}") for i in range(floors)]
    rows = tuple(Written(" ".join(part), PLACE) for part in zip(*names, strict=True))
    cuts = [
        Written(f"{kind}{i}|{kind}{i + 1}", PLACE)
        for i in range(floors - 1)
        for kind in ("up", "low")
    ]
    piece = Piece(
        id=Written("strip", PLACE),
        name="strip",
        columns=tuple(Written(40, PLACE) for _ in range(floors)),
        rows=tuple(Written(size, PLACE) for size in (20, 50, 20)),
        map=rows,
        cuts=tuple(cuts),
        root=Written(f"floor{floors // 2}", PLACE),
        folds={f"floor{i}": Written(0, PLACE) for i in range(floors) if i != floors // 2},
        place=PLACE,
    )
    found: list[Problem] = []
    pattern = build_pattern(piece, Scope("mm", Fraction(1)), found)
    assert pattern is not None, found
    return pattern, piece


def best(action: Callable[[], object]) -> float:
    """Milliseconds of the fastest of three runs."""
    times = []
    for _ in range(3):
        start = time.process_time()
        action()
        times.append((time.process_time() - start) * 1000)
    return min(times)


def main() -> None:
    """Print the table."""
    print(f"{'panels':>7} {'pose':>8} {'proof':>8} {'sweep':>8} {'layers':>8}")
    for wanted in PANELS:
        panels, row = measured(wanted)
        print(f"{panels:7d} " + " ".join(f"{value:8.1f}" for value in row))


def measured(wanted: int) -> tuple[int, tuple[float, float, float, float]]:
    """How many panels there are, and the times of pose, proof, sweep and layers."""
    pattern, piece = strip(wanted)
    project = Project(
        file="bench",
        folder=Path(),
        project=ProjectTable(title="Bench", units="mm", place=PLACE),
        pieces=(piece,),
    )
    scope = Scope("mm", Fraction(1))
    posed = pose_piece(pattern, 0.3)
    bones = posed.bones
    solid = plates(posed)
    moving = [[name for name in bones.names if name.startswith(("up", "low"))]]
    return len(pattern.panels), (
        best(lambda: pose(bones, bones.targets)),
        best(lambda: prove([pattern], project, scope, [])),
        best(lambda: sweep(solid, np.zeros(len(bones.names)), bones.targets)),
        best(lambda: layers(posed, moving)),
    )


if __name__ == "__main__":
    main()

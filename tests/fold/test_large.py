"""Pieces of many panels: found in time, or said that they were not searched."""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Any

from booklet.fold.prove import prove
from booklet.problem import Problem


def test_a_long_roll_is_not_searched_and_says_so(flat: Callable[[str], Any]) -> None:
    """A chain of 199 folds costs 199 sweeps of all of it: over budget, and told as a note."""
    names = " ".join(f"p{i}" for i in range(199))
    sizes = ", ".join(["10"] * 199)
    folds = "\n".join(f"p{i} = {178 if i % 2 else -178}" for i in range(1, 199))
    made = flat(
        f'[[piece]]\nid = "roll"\nstock = "card"\ncolumns = [{sizes}]\nrows = [50]\n'
        f'map = ["{names}"]\nroot = "p0"\n[piece.folds]\n{folds}\n'
    )
    found: list[Problem] = []
    start = time.process_time()
    [roll] = prove(made.patterns, made.project, made.scope, found)
    assert time.process_time() - start < 20
    assert "order-not-searched" in [problem.code for problem in found]
    assert not roll.order.proved and len(roll.order.steps) == 198

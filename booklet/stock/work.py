"""Bounds on the work of planning: steps, never seconds, so that every machine plans the same.

In: nothing. Out: the frozen value `Work`, handed to the planner as an argument.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Work:
    """Each bound with its reason."""

    # Sums of sides along one edge: letter in sixteenths has 176; the table grows with their cube.
    sums: int = 600
    # Layouts that column generation tries; a class plan takes about twenty.
    rounds: int = 400
    # Pairs of builds in all searches for one stock, then a gap is left: some ten seconds.
    total: int = 40_000_000
    # Layouts that one search hands over besides the best: fewer searches, a larger choice.
    others: int = 9
    # Pairs of builds that one search for a layout looks at: some two seconds.
    pairs: int = 10_000_000
    # The same for a layout that only serves as a suggestion.
    quick_pairs: int = 50_000
    # Sheets that are filled one after the other to find layouts for the remainder.
    greedy: int = 60
    # Layouts that are compared with each other before the choice.
    layouts: int = 5_000
    # Nodes of the choice among layouts.
    nodes: int = 2_000
    # Layouts, and nodes, of the choice of the plainest plan.
    choices: int = 60
    plain_nodes: int = 200
    # Blanks on a sheet that are arranged anew, and the pairs of builds looked at for it.
    rearranged: int = 12
    arranged_pairs: int = 200_000

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
    # Steps for one stock, whatever they are spent on, then a gap is left: some ten seconds. A step
    # is a pair of builds that a search looks at, half a microsecond; other work counts likewise.
    total: int = 12_000_000
    # Quick plans before the bound is looked at and after that, and the layouts one may have.
    first_starts: int = 4
    starts: int = 300
    started: int = 400
    # Layouts that one search hands over besides the best: fewer searches, a larger choice.
    others: int = 9
    # Pairs of builds that one search for a layout looks at: some five seconds.
    pairs: int = 10_000_000
    # The same for a layout that only serves as a suggestion.
    quick_pairs: int = 50_000
    # Sheets that are filled one after the other to find layouts for the remainder.
    greedy: int = 60
    # How often that is done with corrected values.
    passes: int = 60
    # Layouts that are listed for a proof and compared with each other before the choice.
    layouts: int = 5_000
    # Of a list that was not finished, the most valuable.
    hopeful: int = 300
    # Nodes of the choice among layouts, and the steps that a node takes for each of them.
    nodes: int = 2_000
    node_steps: int = 50
    # Layouts of the choice of the plainest plan, and its numbers in all; its nodes.
    choices: int = 60
    numbers: int = 600
    plain_nodes: int = 60
    # Blanks on a sheet that are arranged anew, and the pairs of builds looked at for it.
    rearranged: int = 12
    arranged_pairs: int = 200_000
    # The same for all layouts of a plan together.
    tidied: int = 3_000_000

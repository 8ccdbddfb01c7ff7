"""What a trimmer asks for: a margin cut off all round, and the narrowest strip that can be cut.

In: the [[stock]] tables and the scope of their lengths. Out: `Edges` by stock id, and the room that
a sheet has within its trimmed edges. Both are 0 unless the project sets them.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from booklet.measure.resolve import Scope
from booklet.problem import Problem
from booklet.read.project import Project
from booklet.stock.plan_value import Size


@dataclass(frozen=True)
class Edges:
    """In mm: `trim` is cut off on all four sides first; no strip under `strip` is cut off."""

    trim: Fraction = Fraction(0)
    strip: Fraction = Fraction(0)

    def room(self, sheet: Size) -> Size:
        """What is left of a sheet within its trimmed edges; 0 where nothing is."""
        wide, tall = (max(Fraction(0), side - 2 * self.trim) for side in sheet)
        return wide, tall


NO_EDGES = Edges()


def edges_of(project: Project, scope: Scope, found: list[Problem]) -> dict[str, Edges]:
    """The edges of every stock; a length that cannot be read is reported and counts as 0."""
    edges = {}
    for stock in project.stocks:
        trim, strip = (
            None if one is None else scope.length(one, found, positive=True, allow_zero=True)
            for one in (stock.trim, stock.strip)
        )
        edges[stock.id.value] = Edges(trim or Fraction(0), strip or Fraction(0))
    return edges

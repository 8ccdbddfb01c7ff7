"""How often to cut each of a given set of layouts: the linear and the whole-number question.

In: layouts as counts of each kind, and the demand. Out: whole numbers of sheets for each layout, or
the shadow prices of the linear question, which tell what a new layout must be worth.

Solved by HiGHS, loaded here only and only when there is something to choose: one stock with one
kind of blank never gets here. One thread, fixed seed and a bound on nodes instead of seconds, so
that the same question has the same answer.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import highspy

Counts = tuple[int, ...]

WHOLE = 1e-6
"""How far HiGHS may leave whole numbers (its own `mip_feasibility_tolerance`)."""


@dataclass(frozen=True)
class Choice:
    """Sheets of each layout, whether none is better, and the nodes that it took."""

    sheets: list[int]
    proved: bool
    nodes: int


class Prices:
    """The linear question, kept warm while layouts are added."""

    def __init__(self, demand: Sequence[int]) -> None:
        self._model = _model()
        for count in demand:
            self._model.addRow(float(count), self._model.inf, 0, [], [])

    def add(self, counts: Counts) -> None:
        """One more layout to choose from."""
        rows = [kind for kind, count in enumerate(counts) if count]
        values = [float(counts[kind]) for kind in rows]
        self._model.addCol(1.0, 0.0, self._model.inf, len(rows), rows, values)

    def solve(self) -> tuple[float, list[float]]:
        """The fewest sheets in fractions, and the price of one more of each kind."""
        self._model.run()
        sheets = self._model.getInfo().objective_function_value
        return sheets, list(self._model.getSolution().row_dual)


def fewest(
    layouts: Sequence[Counts], demand: Sequence[int], bound: int, nodes: int
) -> Choice | None:
    """Sheets of each layout so that the total is smallest.

    `bound` is a known lower bound of the total. None where nothing was found in `nodes` nodes.
    """
    model = _model()
    model.setOptionValue("mip_max_nodes", nodes)
    model.setOptionValue("mip_rel_gap", 0.0)
    # A total below the best by less than a whole sheet is of no use.
    model.setOptionValue("mip_abs_gap", 0.999)
    for count in demand:
        model.addRow(float(count), model.inf, 0, [], [])
    model.addRow(float(bound), model.inf, 0, [], [])
    for counts in layouts:
        _column(model, counts, 1.0, float(max(demand)))
    return _whole(model, layouts, demand)


def plainest(
    layouts: Sequence[Counts],
    costs: Sequence[int],
    demand: Sequence[int],
    sheets: int,
    nodes: int,
) -> list[int] | None:
    """Sheets of each layout, no more than `sheets`, with the least cost of the layouts in use."""
    model = _model()
    model.setOptionValue("mip_max_nodes", nodes)
    for count in demand:
        model.addRow(float(count), model.inf, 0, [], [])
    model.addRow(0.0, float(sheets), 0, [], [])
    useful = [_useful(counts, demand, sheets) for counts in layouts]
    for counts, most in zip(layouts, useful, strict=True):
        _column(model, counts, 0.0, most)
    for index, (cost, most) in enumerate(zip(costs, useful, strict=True)):
        model.addCol(float(cost), 0.0, 1.0, 0, [], [])
        used = len(layouts) + index
        model.changeColIntegrality(used, _integer())
        model.addRow(0.0, model.inf, 2, [index, used], [-1.0, most])
    result = _whole(model, layouts, demand)
    return None if result is None else result.sheets


def _useful(counts: Counts, demand: Sequence[int], sheets: int) -> float:
    """The most sheets of a layout that are of any use."""
    most = max((-(-d // n) for d, n in zip(demand, counts, strict=True) if n), default=0)
    return float(min(most, sheets))


def _column(model: highspy.Highs, counts: Counts, cost: float, most: float) -> None:
    """A layout to be cut a whole number of times; the row below those of the demand sums sheets."""
    rows = [kind for kind, count in enumerate(counts) if count]
    values = [*(float(counts[kind]) for kind in rows), 1.0]
    model.addCol(cost, 0.0, most, len(values), [*rows, len(counts)], values)
    model.changeColIntegrality(model.getNumCol() - 1, _integer())


def _whole(model: highspy.Highs, layouts: Sequence[Counts], demand: Sequence[int]) -> Choice | None:
    """Solve, round, and check the answer in whole numbers."""
    import highspy

    model.run()
    values = list(model.getSolution().col_value)[: len(layouts)]
    if len(values) < len(layouts):
        return None
    sheets = [round(value) for value in values]
    for kind, count in enumerate(demand):
        if sum(n * counts[kind] for n, counts in zip(sheets, layouts, strict=True)) < count:
            return None
    proved = model.getModelStatus() == highspy.HighsModelStatus.kOptimal
    return Choice(sheets, proved, max(1, int(model.getInfo().mip_node_count)))


def _model() -> highspy.Highs:
    import highspy

    class Silent(highspy.Highs):
        """HiGHS greets on stdout when callbacks are set up, before any option can be set."""

        def enableCallbacks(self) -> None:
            self.setOptionValue("output_flag", False)

    model: highspy.Highs = Silent()  # type: ignore[no-untyped-call]
    model.setOptionValue("threads", 1)
    model.setOptionValue("random_seed", 1)
    return model


def _integer() -> highspy.HighsVarType:
    import highspy

    return highspy.HighsVarType.kInteger

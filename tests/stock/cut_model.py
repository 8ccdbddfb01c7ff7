"""The fewest sheets as an integer programme that knows nothing of our planner, solved by CP-SAT.

Every rectangle that cuts can make is a state; a variable counts each cut of each rectangle, and no
rectangle is cut or handed out more often than it was made (the model of Furini, Malaguti and
Thomopulos, INFORMS Journal on Computing 28 (2016) 736-751, with whole sheets to be counted).
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from ortools.sat.python import cp_model

Item = tuple[int, int, int]


@dataclass(frozen=True)
class Answer:
    """`sheets` is None where none was found in time; `states` tells how large the model was."""

    sheets: int | None
    bound: int
    proved: bool
    states: int


def reachable(limit: int, sides: Sequence[int]) -> list[int]:
    """The sums of sides below `limit`: cuts elsewhere gain nothing (Herz 1972)."""
    found = {0}
    for side in sides:
        for start in sorted(found):
            found |= set(range(start, limit, side))
    return sorted(found - {0})


def fewest_by_cp_sat(
    sheet: tuple[int, int],
    items: Sequence[Item],
    turning: bool,
    seconds: float,
    every: bool,
    most_cuts: int | None = None,
) -> Answer:
    """Solve one instance; with `every`, cuts at each whole number, not at sums of sides alone.

    A model with more than `most_cuts` cuts is not solved; the bound is that of the area then.
    """
    ways = [[(w, h)] + ([(h, w)] if turning and w != h else []) for w, h, _ in items]
    flat = [way for one in ways for way in one]
    cuts_x = list(range(1, sheet[0])) if every else reachable(sheet[0], [w for w, _ in flat])
    cuts_y = list(range(1, sheet[1])) if every else reachable(sheet[1], [h for _, h in flat])
    model = cp_model.CpModel()
    most = sum(count for _, _, count in items)
    total = model.new_int_var(0, most, "sheets")
    made, used = defaultdict(list), defaultdict(list)
    made[sheet].append(total)
    given: list[list[cp_model.IntVar]] = [[] for _ in items]
    waiting, seen = [sheet], {sheet}
    area = sum(w * h * count for w, h, count in items)
    by_area = -(-area // (sheet[0] * sheet[1]))
    cuts = 0
    while waiting:
        w, h = waiting.pop()
        parts = [((q, h), (w - q, h)) for q in cuts_x if q < w]
        parts += [((w, q), (w, h - q)) for q in cuts_y if q < h]
        cuts += len(parts)
        if most_cuts is not None and cuts > most_cuts:
            return Answer(None, by_area, False, len(seen))
        for first, second in parts:
            cut = model.new_int_var(0, most, "")
            used[w, h].append(cut)
            for part in (first, second):
                if not any(a <= part[0] and b <= part[1] for a, b in flat):
                    continue
                made[part].append(cut)
                if part not in seen:
                    seen.add(part)
                    waiting.append(part)
        for kind, one in enumerate(ways):
            if (w, h) in one:
                hand_out = model.new_int_var(0, items[kind][2], "")
                used[w, h].append(hand_out)
                given[kind].append(hand_out)
    for state in seen:
        model.add(sum(made[state]) >= sum(used[state]))
    for (_, _, count), out in zip(items, given, strict=True):
        model.add(sum(out) >= count)
    model.add(total >= by_area)
    model.minimize(total)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_time_in_seconds = seconds
    status = solver.solve(model)
    found = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    sheets = round(solver.objective_value) if found else None
    bound = -(-round(solver.best_objective_bound * 1000) // 1000)
    return Answer(sheets, bound, status == cp_model.OPTIMAL, len(seen))

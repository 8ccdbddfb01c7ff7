"""The planner against published cutting cases, CP-SAT and the clock: run by hand, it is no test.

    python -m tests.bench.guillotine FOLDER [NAME...] [--work N] [--seconds N] [--no-cp-sat]

FOLDER holds unlimited-copies.json, limited-copies.json and fewest-sheets.json; NAME is how the
instances of interest begin. Prints instance, variant, published value, ours, whether ours is proved
(else its bound) and processor seconds; for lists of blanks also what CP-SAT says to the same
instance as an integer programme (`tests/stock/cut_model.py`, no longer than N seconds each) and the
ratio of the times. Class plans of our own come first. Exit status 1 where a value is better than
the published one or a bound rules that one out.
"""

from __future__ import annotations

import argparse
import json
import math
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import partial
from pathlib import Path
from typing import Any

from booklet.stock.blank import Blank, fits
from booklet.stock.cutting import Wanted, plan_stock
from booklet.stock.fewest import fewest_sheets
from booklet.stock.frame import best_layout, frame_of
from booklet.stock.limited import Filling, fill
from booklet.stock.outer import bounds_of
from booklet.stock.part import Part
from booklet.stock.plan_value import StockPlan
from booklet.stock.work import Work
from tests.stock.cut_model import Answer, fewest_by_cp_sat

LONG = 5
"""Published lists run to forty different blanks: five times the work that a project is given."""

FILLING = 200_000_000
"""Pairs of builds for one published sheet with limited copies."""

CUTS = 300_000
"""Cuts that a model for CP-SAT may have: with more it is minutes in the making."""

INCH = Fraction(254, 10)
ROWS = (
    ("body", "41/8", "57/8", 1),
    ("lid", "27/8", "9/2", 1),
    ("mat", "13/8", "3", 2),
    ("back", "5/2", "3", 1),
    ("tag", "17/16", "33/16", 2),
    ("band", "6", "9/4", 1),
    ("square", "2", "2", 1),
    ("slip", "7/2", "5/4", 3),
)
CLASSES = (
    ("3 kinds, class of 24, letter", ("17/2", "11"), ROWS[:3], 24, 0.2),
    ("8 kinds, class of 60, letter", ("17/2", "11"), ROWS, 60, 2.0),
    ("8 kinds, class of 60, 12 x 12 in", ("12", "12"), ROWS, 60, 2.0),
)


@dataclass(frozen=True)
class Line:
    """One row of the table."""

    name: str
    variant: str
    published: int
    ours: int
    bound: int
    seconds: float
    other: str = ""

    @property
    def proved(self) -> bool:
        """Whether ours is the best there is."""
        return self.ours == self.bound

    @property
    def wrong(self) -> bool:
        """A value that is better than the published one, or a bound that rules that one out."""
        low, high = sorted((self.ours, self.bound))
        return not low <= self.published <= high

    @property
    def state(self) -> str:
        """In a word, or how far the bound is."""
        return "WRONG" if self.wrong else "yes" if self.proved else f"({self.bound})"


def usable(w: int, h: int, blank: Blank) -> Blank:
    """The blank with no more copies than the sheet's area holds, none if it does not fit."""
    most = (w * h) // (blank.w * blank.h) if fits(blank, w, h) else 0
    return Blank(blank.w, blank.h, blank.turns, min(blank.copies, most))


def timed(work: Callable[[], Any]) -> tuple[Any, float]:
    """The result and the processor's seconds."""
    start = time.process_time()
    result = work()
    return result, time.process_time() - start


def class_plans() -> Iterator[str]:
    """Time to a proved plan, as a project is planned."""
    for name, _, _, _, aim in CLASSES:
        plan, seconds = class_plan(name)
        state = "proved" if plan.proved else f"gap {plan.gap}"
        layouts = f"{len(plan.layouts)} layouts, {plan.settings} settings"
        planned = f"{plan.needed:4} sheets {state:8} {layouts:24}"
        yield f"{name:34} {planned} {seconds:6.3f} s (aim {aim})"


def class_plan(called: str) -> tuple[StockPlan, float]:
    """One of the plans, and the processor's seconds."""
    for name, sheet, rows, kits, _ in CLASSES:
        if name != called:
            continue
        wanted = [
            Wanted(n, (Fraction(w) * INCH, Fraction(h) * INCH), c, True) for n, w, h, c in rows
        ]
        size = Fraction(sheet[0]) * INCH, Fraction(sheet[1]) * INCH
        return timed(partial(plan_stock, "p", size, wanted, kits, Work()))
    raise KeyError(called)


def yields(case: dict[str, Any]) -> Iterator[Line]:
    """One sheet, any number of copies."""
    w, h = case["sheet"]
    for result in case["results"]:
        copies = result["copies"]
        if copies == "unlimited":
            blanks = [Blank(a, b, result["turning"], 10**9) for a, b in case["items"]]
            areas = [blank.w * blank.h for blank in blanks]
            # Published sheets run to thousands of units: as many sums as there are.
            (part, bound), seconds = timed(partial(yield_of_area, w, h, blanks, areas))
            ours = sum(areas[k] * n for k, n in part.counts.items())
            yield Line(case["name"], way(result), result["value"], ours, bound, seconds)
        else:
            each = copies if isinstance(copies, list) else [1] * len(case["items"])
            items = [(a, b, n) for (a, b), n in zip(case["items"], each, strict=True)]
            values = [a * b for a, b, _ in items]
            yield filled(case, result, items, values, f"{way(result)}, copies")


def yield_of_area(w: int, h: int, blanks: list[Blank], areas: list[int]) -> tuple[Part, int]:
    """Frame and table: all that a yield takes."""
    part, bound = best_layout(frame_of(w, h, blanks, 4000), areas)
    assert part is not None
    return part, bound


def fills(case: dict[str, Any]) -> Iterator[Line]:
    """One sheet, so many copies of each."""
    for result in case["results"]:
        items = [(a, b, n) for a, b, _, n in case["items"]]
        area = result["item_value"] == "area"
        values = [a * b if area else v for a, b, v, _ in case["items"]]
        yield filled(case, result, items, values, f"{way(result)}, {result['item_value']}")


def filled(
    case: dict[str, Any],
    result: dict[str, Any],
    items: list[tuple[int, int, int]],
    values: list[int],
    variant: str,
) -> Line:
    """The search with limited copies."""
    w, h = case["sheet"]
    blanks = [usable(w, h, Blank(a, b, result["turning"], n)) for a, b, n in items]

    def search() -> Any:
        bounds = bounds_of(frame_of(w, h, blanks, 4000), blanks, values)
        return fill(Filling(w, h, blanks, values, bounds), FILLING)

    found, seconds = timed(search)
    return Line(case["name"], variant, result["value"], found.value, found.bound, seconds)


@dataclass
class Race:
    """How CP-SAT does on the same lists: `both` has the ratio of the times where both prove."""

    both: list[float] = field(default_factory=list)
    ours: int = 0
    theirs: int = 0
    none: int = 0

    def enter(self, we_prove: bool, answer: Answer, ratio: float) -> None:
        """Count one list."""
        if we_prove and answer.proved:
            self.both.append(ratio)
        elif we_prove:
            self.ours += 1
        elif answer.proved:
            self.theirs += 1
        else:
            self.none += 1

    def told(self) -> str:
        """In a line."""
        mean = math.exp(sum(math.log(ratio) for ratio in self.both) / max(1, len(self.both)))
        return (
            f"CP-SAT: both prove {len(self.both)} (it takes {mean:.2g} times as long, geometric "
            f"mean), only we {self.ours}, only CP-SAT {self.theirs}, neither {self.none}"
        )


def sheets(case: dict[str, Any], work: int, limit: float, race: Race) -> Iterator[Line]:
    """A list of blanks; with a limit also CP-SAT on the same instance."""
    w, h = case["sheet"]
    own = Work()
    times = replace(own, total=own.total * work, pairs=own.pairs * work)
    for result in case["results"]:
        turns = result["turning"]
        blanks = [Blank(a, b, turns, n) for a, b, n in case["items"]]
        plan, seconds = timed(partial(fewest_sheets, w, h, blanks, times))
        other = ""
        if limit:
            start = time.process_time()
            rows = [(a, b, n) for a, b, n in case["items"]]
            answer = fewest_by_cp_sat((w, h), rows, turns, limit, every=False, most_cuts=CUTS)
            spent = time.process_time() - start
            race.enter(plan.needed == plan.bound, answer, spent / seconds)
            other = compared(answer, spent, seconds)
        known = result["fewest_sheets"]
        yield Line(case["name"], way(result), known, plan.needed, plan.bound, seconds, other)


def compared(answer: Answer, spent: float, ours: float) -> str:
    """What CP-SAT says, in how many times our time; ">" where it was stopped."""
    found = "-" if answer.sheets is None else str(answer.sheets)
    state = "proved" if answer.proved else f"bound {answer.bound}"
    more = "" if answer.proved else ">"
    return f"{found} {state}, {spent:.1f} s, {more}{spent / ours:.2g}x"


def way(result: dict[str, Any]) -> str:
    """Fixed or turned."""
    return "turned" if result["turning"] else "fixed"


def main() -> int:
    """Run what is asked for; 1 where a proved value is not the published one."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("names", nargs="*")
    parser.add_argument("--work", type=int, default=LONG, help="times the steps of a project")
    parser.add_argument("--seconds", type=float, default=60.0)
    parser.add_argument("--no-cp-sat", action="store_true")
    options = parser.parse_args()
    for text in class_plans():
        print(text, flush=True)
    race = Race()
    limit = 0.0 if options.no_cp_sat else options.seconds
    kinds: tuple[tuple[str, Callable[[dict[str, Any]], Iterator[Line]]], ...] = (
        ("unlimited-copies", yields),
        ("limited-copies", fills),
        ("fewest-sheets", lambda case: sheets(case, options.work, limit, race)),
    )
    lines: list[Line] = []
    for file, solve in kinds:
        print(f"\n{file}\n{'instance':16} {'variant':16} published     ours  proved  seconds")
        for case in json.loads((options.folder / f"{file}.json").read_text("utf-8"))["instances"]:
            if options.names and not case["name"].startswith(tuple(options.names)):
                continue
            for line in solve(case):
                lines.append(line)
                print(
                    f"{line.name:16} {line.variant:16} {line.published:9} {line.ours:8} "
                    f"{line.state:>7} {line.seconds:8.3f}  {line.other}",
                    flush=True,
                )
    same = sum(line.proved and line.ours == line.published for line in lines)
    reached = sum(line.ours == line.published for line in lines)
    print(f"\nof {len(lines)} published values {reached} reached, {same} of them proved")
    if limit:
        print(race.told())
    return int(any(line.wrong for line in lines))


if __name__ == "__main__":
    raise SystemExit(main())

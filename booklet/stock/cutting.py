"""The cutting plan of a project: its pieces and mats, for N kits, onto their stocks.

In: patterns, mats and stocks with the sizes of their sheets, and the number of kits. Out: a
`StockPlan` for each stock whose sheet is known. Cuts run from edge to edge of the part in hand and
take no width, in any number of stages.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from booklet.flat.pattern import MatLayer, Pattern
from booklet.read.project import Project
from booklet.read.stock import Stock
from booklet.stock.blank import Blank, common_unit, fits
from booklet.stock.edges import NO_EDGES, Edges
from booklet.stock.fewest import fewest_sheets, yield_of
from booklet.stock.fit import turned_for_grain
from booklet.stock.frame import step
from booklet.stock.part import Part
from booklet.stock.plan_value import Layout, Size, StockPlan
from booklet.stock.trimmer import Scale, cuts_of, placed
from booklet.stock.work import Work


@dataclass(frozen=True)
class Wanted:
    """A piece or mat to be cut: its blank in mm as it lies, and how many one project takes.

    `turns` says that it may lie turned by a quarter; `must_turn` that `size` is turned already,
    because the grain asks for it.
    """

    id: str
    size: Size
    count: int
    turns: bool
    must_turn: bool = False


def plan_stocks(
    project: Project,
    patterns: Sequence[Pattern],
    mats: Sequence[MatLayer],
    sheets: Mapping[str, Size],
    kits: int,
    edges: Mapping[str, Edges],
    work: Work | None = None,
) -> tuple[StockPlan, ...]:
    """The plan of every stock of the file, in its order; none where its sheet is not known."""
    return tuple(
        plan_stock(
            stock.id.value,
            sheets[stock.id.value],
            wanted_of(project, stock, sheets[stock.id.value], patterns, mats),
            kits,
            work or Work(),
            edges.get(stock.id.value, NO_EDGES),
        )
        for stock in project.stocks
        if stock.id.value in sheets
    )


def wanted_of(
    project: Project,
    stock: Stock,
    sheet: Size,
    patterns: Sequence[Pattern],
    mats: Sequence[MatLayer],
) -> tuple[Wanted, ...]:
    """What is cut from a stock, and how print and grain let it lie."""
    free = stock.pattern != "upright"
    asks = {p.id.value for p in project.pieces if p.grain is not None and p.grain.value == "scores"}
    found = []
    for pattern in patterns:
        if pattern.stock == stock.id.value:
            must = turned_for_grain(pattern, sheet, stock.grain) if pattern.id in asks else None
            wide, tall = pattern.blank
            size = (tall, wide) if must else (wide, tall)
            turns = free and must is None
            found.append(Wanted(pattern.id, size, pattern.count, turns, bool(must)))
    for mat in mats:
        if mat.stock == stock.id.value:
            found.append(Wanted(mat.id, mat.size, mat.count, free))
    return tuple(found)


def plan_stock(
    stock: str,
    sheet: Size,
    wanted: Sequence[Wanted],
    kits: int,
    work: Work,
    edges: Edges = NO_EDGES,
) -> StockPlan:
    """The plan of one stock; with no kits or nothing to cut it needs no sheets.

    Bounded: the work depends on the kinds of blanks and on the sums of their sides, not on `kits`.
    """
    bench = _bench(sheet, wanted, kits, edges)
    per_sheet = {one.id: bench.yields(k, work) for k, one in enumerate(wanted)}
    unplaced = tuple(one.id for one in wanted if not per_sheet[one.id])
    thin = [one.id for k, one in enumerate(wanted) if not bench.plannable(k, work)]
    plan = StockPlan(
        stock=stock,
        sheet=sheet,
        trim=edges.trim,
        kits=kits,
        per_sheet=per_sheet,
        wanted={one.id: one.count * max(0, kits) for one in wanted},
        needed=0,
        bound=0,
        proved=True,
        gap=0,
        layouts=(),
        unplaced=unplaced,
        note=f"too narrow to be cut to plan: {', '.join(thin)}" if thin else "",
    )
    kinds = [k for k, one in enumerate(wanted) if per_sheet[one.id] and bench.blanks[k].copies > 0]
    if not kinds:
        return plan
    blanks = [bench.blanks[k] for k in kinds]
    found = fewest_sheets(bench.w, bench.h, blanks, work, bench.strip)
    scale = Scale(bench.unit, tuple(wanted[k].id for k in kinds), edges.trim, bench.strip)
    must = [wanted[k].must_turn for k in kinds]
    layouts = tuple(
        _layout(sheets, part, bench.w, bench.h, scale, must) for sheets, part in found.layouts
    )
    gap = found.needed - found.bound
    return replace(
        plan,
        needed=found.needed,
        bound=found.bound,
        proved=not gap,
        gap=gap,
        layouts=layouts,
    )


@dataclass(frozen=True)
class _Bench:
    """The question in whole units: the room within the trimmed edges, and the blanks."""

    w: int
    h: int
    strip: int
    unit: Fraction
    blanks: tuple[Blank, ...]

    def plannable(self, kind: int, work: Work) -> bool:
        """Whether a blank is wide enough to be cut off, and for the steps of the tables."""
        least = max(self.strip, step(self.w, self.h, work.sums))
        return min(self.blanks[kind].w, self.blanks[kind].h) >= least

    def yields(self, kind: int, work: Work) -> int:
        """How many of one blank alone a sheet yields, whatever is wanted."""
        blank = self.blanks[kind]
        if not fits(blank, self.w, self.h) or not self.plannable(kind, work):
            return 0
        alone = replace(blank, copies=(self.w * self.h) // (blank.w * blank.h))
        part = yield_of(self.w, self.h, alone, work, self.strip)[0]
        return part.counts[0] if part is not None else 0


def _bench(sheet: Size, wanted: Sequence[Wanted], kits: int, edges: Edges) -> _Bench:
    room = edges.room(sheet)
    unit = common_unit([*room, edges.strip, *(side for one in wanted for side in one.size)])
    w, h = (math.floor(side / unit) for side in room)
    blanks = []
    for one in wanted:
        wide, tall = (max(1, math.floor(side / unit)) for side in one.size)
        blanks.append(Blank(wide, tall, one.turns, one.count * max(0, kits)))
    return _Bench(w, h, math.floor(edges.strip / unit), unit, tuple(blanks))


def _layout(
    sheets: int, part: Part, w: int, h: int, scale: Scale, must_turn: Sequence[bool]
) -> Layout:
    placements, leftovers = placed(part, w, h, scale, must_turn)
    return Layout(sheets, placements, cuts_of(part, w, h, scale), leftovers)

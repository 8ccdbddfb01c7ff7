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
from booklet.stock.fewest import fewest_sheets, yield_of
from booklet.stock.fit import turned_for_grain
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
    trim: Fraction = Fraction(0),
) -> StockPlan:
    """The plan of one stock; with no kits or nothing to cut it needs no sheets."""
    room = (sheet[0] - 2 * trim, sheet[1] - 2 * trim)
    unit = common_unit([*room, *(side for one in wanted for side in one.size)])
    w, h = (math.floor(side / unit) for side in room)
    blanks = [_blank(one, unit, kits) for one in wanted]
    per_sheet = {
        one.id: _yield(w, h, blank, work) for one, blank in zip(wanted, blanks, strict=True)
    }
    plan = StockPlan(
        stock=stock,
        sheet=sheet,
        trim=trim,
        kits=kits,
        per_sheet=per_sheet,
        wanted={one.id: one.count * max(0, kits) for one in wanted},
        needed=0,
        bound=0,
        proved=True,
        gap=0,
        layouts=(),
        unplaced=tuple(name for name, count in per_sheet.items() if not count),
    )
    kinds = [k for k, one in enumerate(wanted) if per_sheet[one.id] and blanks[k].copies > 0]
    if not kinds:
        return plan
    found = fewest_sheets(w, h, [blanks[k] for k in kinds], work)
    scale = Scale(unit, tuple(wanted[k].id for k in kinds), trim)
    must = [wanted[k].must_turn for k in kinds]
    layouts = tuple(_layout(sheets, part, w, h, scale, must) for sheets, part in found.layouts)
    gap = found.needed - found.bound
    return replace(
        plan,
        needed=found.needed,
        bound=found.bound,
        proved=not gap,
        gap=gap,
        layouts=layouts,
    )


def _blank(one: Wanted, unit: Fraction, kits: int) -> Blank:
    wide, tall = (max(1, math.floor(side / unit)) for side in one.size)
    return Blank(wide, tall, one.turns, one.count * max(0, kits))


def _yield(w: int, h: int, blank: Blank, work: Work) -> int:
    """How many of one blank alone a sheet yields."""
    if not fits(blank, w, h):
        return 0
    alone = replace(blank, copies=(w * h) // (blank.w * blank.h))
    return yield_of(w, h, alone, work)[0].counts[0]


def _layout(
    sheets: int, part: Part, w: int, h: int, scale: Scale, must_turn: Sequence[bool]
) -> Layout:
    placements, leftovers = placed(part, w, h, scale, must_turn)
    return Layout(sheets, placements, cuts_of(part, w, h, scale), leftovers)

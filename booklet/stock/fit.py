"""Does each blank fit its sheet, in the direction that print and grain allow?

In: patterns, mats, stocks with their sheet sizes. Out: problems for what does not fit, and how each
blank may lie.
"""

from __future__ import annotations

from fractions import Fraction

from booklet.flat.pattern import Pattern
from booklet.measure.rounding import Printer
from booklet.problem import Place, Problem
from booklet.read.piece import Piece
from booklet.read.stock import Stock
from booklet.stock.sheet import fits

Size = tuple[Fraction, Fraction]


def turned_for_grain(pattern: Pattern, sheet: Size, grain: str) -> bool | None:
    """Whether the piece must be turned so that its main scores run along the grain.

    None when it does not matter (no grain, or as much score length one way as the other).
    """
    upright = sum(s.span[1] - s.span[0] for s in pattern.scores if s.upright)
    level = sum(s.span[1] - s.span[0] for s in pattern.scores if s.level)
    if grain == "none" or upright == level:
        return None
    grain_upright = (sheet[1] >= sheet[0]) == (grain == "long")
    return grain_upright != (upright > level)


def check_piece(
    pattern: Pattern,
    piece: Piece,
    stock: Stock,
    sheet: Size,
    printer: Printer,
    found: list[Problem],
) -> None:
    """Report a blank that is larger than its sheet in each direction that it may lie."""
    wants = piece.grain is not None and piece.grain.value == "scores"
    must = turned_for_grain(pattern, sheet, stock.grain) if wants else None
    blank = pattern.blank
    if must:
        blank = blank[1], blank[0]
    may_turn = stock.pattern != "upright" and must is None
    check_size(f'the blank of "{pattern.id}"', blank, sheet, may_turn, piece.place, printer, found)


def check_size(
    what: str,
    size: Size,
    sheet: Size,
    may_turn: bool,
    place: Place,
    printer: Printer,
    found: list[Problem],
) -> None:
    """Report a rectangle that does not fit its sheet as it may lie."""
    if fits(size, sheet, may_turn) is not None:
        return
    way = "either way round" if may_turn else "in the only direction that print or grain allow"
    found.append(
        Problem(
            "blank-larger-than-sheet",
            f"{what} is {printer.size(size)} and does not fit its sheet of "
            f"{printer.size(sheet)}, {way}",
            place,
            "choose a larger sheet, smaller measures, or make it of two pieces",
        )
    )

"""Cuts of a plan as instructions to the person at the trimmer, counted for all sheets of a layout.

In: a layout, the names of pieces and mats, how lengths are printed. Out: short texts that the
terminal and the printed plan share, so that the two say the same.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from booklet.measure.rounding import Printer
from booklet.read.stock import Stock
from booklet.stock.plan_value import Cut, Layout, Size, StockPlan

_TURNS = {0: "", 1: "turn", 2: "turn end for end"}


@dataclass(frozen=True)
class Instruction:
    """One setting of the fence: turn, set it (mm), cut what is in hand, and what comes of it.

    `edge` is the one to lay against the fence ("" where that is clear). What then lies between
    fence and blade is named first, what is beyond the blade second.
    """

    number: int
    turn: str
    fence: Fraction
    edge: str
    cut: str
    gives: str


def instructions(
    layout: Layout, names: Mapping[str, str], printer: Printer
) -> tuple[Instruction, ...]:
    """The settings of a layout in the order of work, sizes in the project's unit."""
    befores = (None, *layout.cuts)
    return tuple(
        Instruction(
            cut.number,
            _TURNS[cut.turn],
            cut.fence,
            _edge(cut, before, printer),
            _in_hand(cut, layout.sheets),
            _outcome(cut, layout.sheets, names, printer),
        )
        for cut, before in zip(layout.cuts, befores, strict=False)
    )


def counted(count: int, word: str) -> str:
    """ "1 sheet", "12 sheets"."""
    return f"{count} {word}{'' if count == 1 else 's'}"


def plain_size(size: Size, printer: Printer) -> str:
    """Two sides in the project's unit alone: "3⅝ × 11 in", with spaces where no line breaks."""
    return f"{printer.bare(size[0])} × {printer.first(size[1])}".replace(" ", "\u00a0")


def sheets_words(plan: StockPlan) -> str:
    """How many sheets, and how sure that is."""
    words = counted(plan.needed, "sheet")
    if plan.proved:
        return f"{words}, no plan takes fewer" if plan.needed else words
    return f"{words}; at least {plan.bound} are needed, {plan.gap} not settled"


def sheet_words(stock: Stock, size: Size, printer: Printer) -> str:
    """What one sheet is called: "Letter sheet", "6 × 6 in sheet"."""
    named = stock.sheet
    if isinstance(named, tuple) or named.value[:1].isdigit():
        return f"{plain_size(size, printer)} sheet"
    return f"{named.value.replace('_', ' ').capitalize()} sheet"


def sheet_name(stock: Stock, size: Size, printer: Printer) -> str:
    """A sheet as an index of many projects calls it, whatever their units: "A4", "12 × 12 in"."""
    if isinstance(stock.sheet, tuple):
        return printer.size(size)
    named = stock.sheet.value
    if named[:1].isdigit():
        return f"{named.replace('x', ' × ')} in"
    return named.replace("_", " ").capitalize()


def lie_words(stock: Stock, size: Size, printer: Printer) -> str:
    """How the sheet must lie: where its grain runs, which way its print looks; "" if neither."""
    words = []
    if stock.grain != "none" and size[0] != size[1]:
        along = max(size) if stock.grain == "long" else min(size)
        words.append(f"the grain runs along the {printer.first(along)} side")
    if stock.pattern == "upright":
        words.append("the print has a top: keep every sheet and stack the same way up")
    return "; ".join(words)


def yield_words(count: int, sheet: str) -> str:
    """The yield line of a piece: "2 from one Letter sheet"."""
    return f"{count or 'none'} from one {sheet}"


def _edge(cut: Cut, before: Cut | None, printer: Printer) -> str:
    """The edge that lies at the fence, unless it is that of the cut before or all are alike."""
    goes_on = before is not None and before.stack == cut.stack and not cut.turn
    wide, tall = cut.size
    if goes_on or wide == tall:
        return ""
    return f"{printer.first(tall if cut.upright else wide)} edge".replace(" ", "\u00a0")


def _in_hand(cut: Cut, sheets: int) -> str:
    hand = _hand(cut, sheets)
    words = counted(hand, "sheet") if cut.number == 1 else f"stack {cut.stack} ({hand})"
    return words if cut.times == 1 else f"{words}, {cut.times} times"


def _hand(cut: Cut, sheets: int) -> int:
    """Parts in hand."""
    return cut.parts * sheets


def _outcome(cut: Cut, sheets: int, names: Mapping[str, str], printer: Printer) -> str:
    """What lies between fence and blade, then what is left beyond the blade."""
    hand = _hand(cut, sheets)
    made = cut.times * hand
    along, across = cut.size if cut.upright else (cut.size[1], cut.size[0])
    rest = along - cut.times * cut.fence
    if cut.rest == cut.gives and cut.gives:
        return _named(cut.gives, made + hand, names, _size(cut, cut.fence, across), printer)
    first = _named(cut.gives, made, names, _size(cut, cut.fence, across), printer)
    second = _named(cut.rest, hand, names, _size(cut, rest, across), printer)
    return f"{first}; {'the rest is ' if cut.rest == cut.stack else ''}{second}"


def _size(cut: Cut, along: Fraction, across: Fraction) -> Size:
    return (along, across) if cut.upright else (across, along)


def _named(name: str, count: int, names: Mapping[str, str], size: Size, printer: Printer) -> str:
    """A piece by its name; a stack by its letter and size; a leftover by its size."""
    if name in names:
        return f"{count} × {names[name]}"
    if name:
        return f"stack {name}: {count} of {plain_size(size, printer)}"
    return f"left over {plain_size(size, printer)}"

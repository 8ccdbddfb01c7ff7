"""The sheet that a stock is sold in, and whether a blank fits it.

In: a `Stock` table as read and the scope that turns its lengths into millimetres. Out: exact
(wide, tall) pairs in mm, or a problem that says which names are known.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Literal

from booklet.measure.resolve import Scope
from booklet.problem import Problem, Written
from booklet.read.nearest import nearest
from booklet.read.stock import Stock
from booklet.stock.papers import sheets

Pair = tuple[Fraction, Fraction]


def sheet_size(stock: Stock, scope: Scope, found: list[Problem]) -> Pair | None:
    """The stock's sheet as (wide, tall) in mm, as named or as given; None with a problem.

    Problems: `unknown-sheet` for a name that is not in the table; those of the scope for a length
    that cannot be read. Sides stay in the order written: a sheet is not turned here.
    """
    if isinstance(stock.sheet, tuple):
        wide = scope.length(stock.sheet[0], found, positive=True, allow_zero=False)
        tall = scope.length(stock.sheet[1], found, positive=True, allow_zero=False)
        return None if wide is None or tall is None else (wide, tall)
    return named_sheet(stock.sheet, found)


def named_sheet(written: Written[str], found: list[Problem]) -> Pair | None:
    """The size of a named sheet as (wide, tall) in mm; None with an `unknown-sheet` problem."""
    known = sheets()
    row = known.get(_plain(written.value))
    if row is not None:
        return row.size
    close = nearest(_plain(written.value), known)
    lead = f'Did you mean "{close}"? ' if close else ""
    found.append(
        Problem(
            "unknown-sheet",
            f'the sheet "{written.value}" is no size that booklet knows by name',
            written.place,
            f"{lead}Known sheets: {', '.join(known)}. "
            'For any other give both sides, as in sheet = ["9 in", "12 in"].',
        )
    )
    return None


def _plain(name: str) -> str:
    """The name as the table writes it: small letters, no blanks round the x, no unit behind."""
    text = " ".join(name.casefold().replace("×", "x").split())
    text = text.removesuffix(" in").removesuffix('"')
    left, by, right = text.partition("x")
    if by and left.strip().isdigit() and right.strip().isdigit():
        return f"{left.strip()}x{right.strip()}"
    return text.replace(" ", "_").replace("-", "_")


def fits(blank: Pair, sheet: Pair, may_turn: bool) -> Literal["as_is", "turned"] | None:
    """How a blank (wide, tall) fits on a sheet (wide, tall), compared exactly; both in mm.

    "as_is" wins where both ways fit; "turned" (by 90 degrees) only where `may_turn`; else None.
    """
    if blank[0] <= sheet[0] and blank[1] <= sheet[1]:
        return "as_is"
    if may_turn and blank[1] <= sheet[0] and blank[0] <= sheet[1]:
        return "turned"
    return None

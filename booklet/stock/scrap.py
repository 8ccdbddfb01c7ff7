"""What a leftover is good for: which pieces and mats of a project still come out of it.

In: a size as one says it ("6 x 8 in card"), a project with its patterns. Out: for each piece or mat
whether it fits, which way round, and how many; and whether a whole project does. The width is said
first; on paper with an upright print the second side is its height. The grain of a leftover is
not known, so a piece that asks for it is marked.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from booklet.flat.pattern import MatLayer, Pattern
from booklet.measure.resolve import Scope
from booklet.problem import Place, Written
from booklet.read.project import Project
from booklet.read.stock import Stock
from booklet.stock.cutting import Wanted, plan_stock, wanted_of
from booklet.stock.plan_value import Size
from booklet.stock.sheet import fits
from booklet.stock.work import Work

_NUMBER: Final = r"[0-9.]*[0-9.¼½¾⅛⅜⅝⅞](?:[ -]?[0-9]{1,3}/[0-9]{1,3}|/[0-9]{1,3})?"
_UNIT: Final = r"(?:inches|inch|in|mm|cm|m|ft|yd|\"|″)"
_SPOKEN: Final = re.compile(
    rf"\s*({_NUMBER})\s*({_UNIT})?\s*(?:x|×|by)\s*({_NUMBER})\s*({_UNIT})?(?:\s+(?:of\s+)?(.*))?",
    re.IGNORECASE | re.DOTALL,
)
_LONGEST: Final = 200
_HERE: Final = Place("--leftover", 1, 1)


@dataclass(frozen=True)
class Scrap:
    """A leftover as said: two lengths as text, and words that a stock must have."""

    wide: str
    tall: str
    words: tuple[str, ...]


@dataclass(frozen=True)
class ScrapFit:
    """One piece or mat: `way` is "as it lies", "turned", "either way" or "" where it does not fit.

    `count` is how many of it alone come out of the leftover, `wanted` how many a project takes;
    `grain` says that the piece asks for a direction of the grain.
    """

    id: str
    stock: str
    size: Size
    way: str
    count: int
    wanted: int
    grain: bool


def read_scrap(text: str) -> Scrap | None:
    """The leftover as said; None where it is no size."""
    match = _SPOKEN.fullmatch(text) if len(text) <= _LONGEST else None
    if match is None:
        return None
    wide, first, tall, second, words = match.groups()
    unit = second or first or ""
    unit = "in" if unit.casefold() in ("inch", "inches") else unit.casefold()
    own = "in" if (first or "").casefold() in ("inch", "inches") else (first or "").casefold()
    spoken = re.findall(r"\w+", (words or "").casefold())
    return Scrap(f"{wide} {own or unit}".strip(), f"{tall} {unit}".strip(), tuple(spoken))


def scrap_size(scrap: Scrap, scope: Scope) -> Size | None:
    """Its sides in mm, bare numbers in the project's unit; None where one is no usable length."""
    wide, tall = (
        scope.length(Written(side, _HERE), [], positive=True) for side in (scrap.wide, scrap.tall)
    )
    return None if wide is None or tall is None else (wide, tall)


def is_of(stock: Stock, words: Sequence[str]) -> bool:
    """Whether every word begins a word of the stock's id, name or kind."""
    known = re.findall(r"\w+", f"{stock.id.value} {stock.name} {stock.kind}".casefold())
    known.append(stock.id.value)
    return all(any(have.startswith(word) for have in known) for word in words)


def scrap_fits(
    scrap: Scrap,
    size: Size,
    project: Project,
    patterns: Sequence[Pattern],
    mats: Sequence[MatLayer],
) -> tuple[tuple[ScrapFit, ...], bool]:
    """What comes out of the leftover, and whether all of one project that such stock takes does."""
    found: list[ScrapFit] = []
    whole = True
    asks = {p.id.value for p in project.pieces if p.grain is not None and p.grain.value == "scores"}
    for stock in project.stocks:
        if not is_of(stock, scrap.words):
            continue
        free = replace(stock, grain="none")
        wanted = wanted_of(project, free, size, patterns, mats)
        plan = plan_stock(stock.id.value, size, wanted, 1, Work())
        whole = whole and plan.needed <= 1 and not plan.unplaced
        found += [
            ScrapFit(
                one.id, stock.id.value, one.size, _way(one, size), plan.per_sheet[one.id],
                one.count, one.id in asks and stock.grain != "none",
            )
            for one in wanted
        ]  # fmt: skip
    stocks = {fit.stock for fit in found}
    # Several stocks cannot all be one leftover.
    return tuple(found), bool(found) and whole and len(stocks) == 1


def _way(one: Wanted, size: Size) -> str:
    as_is = fits(one.size, size, may_turn=False) is not None
    turned = one.turns and fits((one.size[1], one.size[0]), size, may_turn=False) is not None
    if as_is and turned:
        return "either way"
    return "as it lies" if as_is else "turned" if turned else ""

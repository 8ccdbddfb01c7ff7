"""What a project calls for of one supply, whichever way it is used.

In: a supply, and the patterns, mats and closures that may use it, with what these wrap. Out: a
`Need`, or None where nothing tells how much.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from types import MappingProxyType
from typing import Final

from booklet.flat.pattern import MatLayer, Pattern
from booklet.measure.resolve import Scope
from booklet.read.closure import Closure
from booklet.read.project import Project
from booklet.read.supply import Supply
from booklet.stock.adhesive import Need, adhesive_need
from booklet.stock.fastener import BUTTON, is_single, pairs, singles, takes, takes_string
from booklet.stock.quantity import Quantity
from booklet.stock.wrap import Wrap

_WRAPS: Final[Mapping[str, tuple[str, ...]]] = MappingProxyType(
    {
        "ribbon": ("ribbon",),
        "tie": ("tie", "cord", "twine", "string", "yarn"),
        "belly_band": ("band",),
        BUTTON: ("cord", "twine", "string", "yarn", "thread"),
    }
)
"""How the words of a supply begin that a closure is wound or wrapped with without naming it."""

_WITH: Final = {
    "ribbon": "with a bow",
    "tie": "with a knot",
    "belly_band": "with an overlap",
    BUTTON: "and round the button",
}


def need_of(
    supply: Supply,
    project: Project,
    patterns: Sequence[Pattern],
    mats: Sequence[MatLayer],
    wraps: Sequence[Wrap],
    scope: Scope,
) -> Need | None:
    """What the whole project takes of one supply, all copies of each piece counted.

    Mm along tabs, round mats and round the finished piece; else pairs or pieces that close it.
    """
    length = _sum(
        adhesive_need(supply, project, patterns, mats, scope),
        _wrap_need(supply, project, wraps),
    )
    if length is not None:
        return length
    count = pairs(supply, project, patterns)
    if count:
        return Need(Quantity(Fraction(count), "pairs" if count > 1 else "pair"), "")
    count = singles(supply, project, patterns)
    return Need(Quantity(Fraction(count), ""), "") if count else None


def _wrap_need(supply: Supply, project: Project, wraps: Sequence[Wrap]) -> Need | None:
    """Mm of ribbon, cord, string or band for the closures that are wrapped or wound."""
    total, uses = Fraction(0), []
    for wrap in wraps:
        if is_single(supply) or not _wraps(wrap.closure, supply, project):
            continue
        if wrap.length is None:
            return None
        total += wrap.length
        uses.append(
            "round two buttons" if wrap.between else f"once round, {_WITH[wrap.closure.kind]}"
        )
    return Need(Quantity(total, "mm"), ", and ".join(dict.fromkeys(uses))) if uses else None


def _wraps(closure: Closure, supply: Supply, project: Project) -> bool:
    words = _WRAPS[closure.kind]
    if closure.kind == BUTTON:
        return takes_string(closure, supply, words, project)
    return takes(closure, supply, words)


def _sum(first: Need | None, second: Need | None) -> Need | None:
    """Both lengths together; an adhesive may hold tabs and close a band."""
    if first is None or second is None:
        return first or second
    total = first.quantity.value + second.quantity.value
    return Need(Quantity(total, "mm"), f"{first.uses}, and {second.uses}")

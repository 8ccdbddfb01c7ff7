"""What a project calls for of one supply, whichever way it is used.

In: a supply, and the patterns, folded pieces, mats and closures that may use it. Out: a `Need`, or
None where nothing tells how much.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from types import MappingProxyType
from typing import Final

from booklet.flat.pattern import MatLayer, Pattern
from booklet.flat.reference import find_panel
from booklet.fold.prove import Folded
from booklet.measure.resolve import Scope
from booklet.problem import Problem
from booklet.read.closure import Closure
from booklet.read.project import Project
from booklet.read.supply import Supply
from booklet.stock.adhesive import Need, adhesive_need
from booklet.stock.fastener import BUTTON, is_single, pairs, singles, takes, takes_string
from booklet.stock.quantity import Quantity
from booklet.stock.wrap import wrap_length

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
    folded: Sequence[Folded],
    scope: Scope,
) -> Need | None:
    """What the whole project takes of one supply, all copies of each piece counted.

    Mm along tabs, round mats and round the finished piece; else pairs or pieces that close it.
    """
    length = _sum(
        adhesive_need(supply, project, patterns, mats, scope),
        _wrap_need(supply, project, patterns, folded),
    )
    if length is not None:
        return length
    count = pairs(supply, project, patterns)
    if count:
        return Need(Quantity(Fraction(count), "pairs" if count > 1 else "pair"), "")
    count = singles(supply, project, patterns)
    return Need(Quantity(Fraction(count), ""), "") if count else None


def _wrap_need(
    supply: Supply, project: Project, patterns: Sequence[Pattern], folded: Sequence[Folded]
) -> Need | None:
    """Mm of ribbon, cord, string or band for the closures that are wrapped or wound."""
    unheard: list[Problem] = []  # a wrong panel is reported by the stage that owns closures
    total, uses = Fraction(0), []
    for closure in project.closures:
        if closure.kind not in _WRAPS or is_single(supply):
            continue
        if not _wraps(closure, supply, project):
            continue
        on = find_panel(closure.on, patterns, unheard)
        meets = find_panel(closure.meets, patterns, unheard) if closure.meets else None
        length = wrap_length(closure.kind, on, meets, folded) if on is not None else None
        if on is None or length is None:
            return None
        total += length * next(pattern.count for pattern in patterns if pattern.id == on[0])
        between = closure.kind == BUTTON and meets is not None
        uses.append("round two buttons" if between else f"once round, {_WITH[closure.kind]}")
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

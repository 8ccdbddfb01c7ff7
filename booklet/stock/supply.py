"""The supply list: how much of each supply one project takes, a class takes, and what to buy.

In: the [[supply]] tables, and the patterns, mats and closures that use them. Out: a `SupplyLine`
for each supply in the order of the file. An amount that cannot be known stays None and says so.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from booklet.flat.pattern import MatLayer, Pattern
from booklet.fold.prove import Folded
from booklet.measure.resolve import Scope
from booklet.problem import Problem
from booklet.read.project import Project
from booklet.read.supply import Supply
from booklet.stock.batch import Batch
from booklet.stock.need import need_of
from booklet.stock.quantity import Quantity, read_quantity, share
from booklet.stock.wrap import wraps_of

AUTO = "auto"

SHARED_TOOL: Final = 4
"""Makers who share a tool of which the file does not say it: one table. Common practice, no
source."""


@dataclass(frozen=True)
class SupplyLine:
    """One supply: `amount` in `unit` for one project, `total` for the whole batch.

    A computed length is in mm. `share` is how many makers share one purchase, None where each
    takes a part of their own; `grouped` tells that the file's amount is that of all who share.
    `used` is the part of a purchase that one project uses up, 0 for tools. `to_buy` is in
    purchases, for the batch. `amount`, `total`, `used` and `to_buy` are None where they are not
    known. `note` is for the reader.
    """

    id: str
    name: str
    kind: str
    amount: Fraction | None
    unit: str
    total: Fraction | None
    share: int | None
    used: Fraction | None
    to_buy: int | None
    computed: bool
    note: str
    grouped: bool = False


def supply_list(
    project: Project,
    patterns: Sequence[Pattern],
    mats: Sequence[MatLayer],
    scope: Scope,
    found: list[Problem],
    batch: Batch,
    folded: Sequence[Folded] = (),
) -> tuple[SupplyLine, ...]:
    """The line of each supply, for the makers and kits of a batch.

    Problems: `amount-unreadable`, `holds-unreadable`, `holds-other-unit`, `amount-not-known`.
    """
    whole = len(patterns) == len(project.pieces) and len(mats) == len(project.mats)
    lines = []
    wraps = wraps_of(project.closures, patterns, folded) if whole else ()
    for supply in project.supplies:
        if supply.amount.value != AUTO:
            amount = read_quantity(supply.amount, supply.unit, scope, "amount-unreadable", found)
            lines.append(_line(supply, amount, False, "", scope, found, batch))
            continue
        need = need_of(supply, project, patterns, mats, wraps, scope) if whole else None
        if whole and need is None:
            found.append(_not_known(supply))
        # Without the whole pattern no amount is better than too little.
        note = "take what you need" if whole else "not reckoned yet"
        quantity, note = (None, note) if need is None else (need.quantity, need.uses)
        lines.append(_line(supply, quantity, True, note, scope, found, batch))
    return tuple(lines)


def _line(
    supply: Supply,
    amount: Quantity | None,
    computed: bool,
    note: str,
    scope: Scope,
    found: list[Problem],
    batch: Batch,
) -> SupplyLine:
    shared = supply.share or (SHARED_TOOL if supply.kind == "tool" else None)
    # What is shared is needed once for each group that shares it.
    groups = 0 if shared is None else math.ceil(batch.makers / shared)
    one = _purchases(supply, amount, scope, found)
    total = None if amount is None else amount.value * batch.kits
    to_buy = None if one is None else max(math.ceil(one * batch.kits), groups)
    # Of what is shared and bought singly, such as a glue stick, each group takes the amount.
    grouped = shared is not None and supply.holds is None and one is not None and not computed
    if amount is not None and (supply.kind == "tool" or grouped):
        total = amount.value * groups
        to_buy = None if one is None else math.ceil(one * groups)
        one = Fraction(0) if supply.kind == "tool" else one / shared if one and shared else one
    return SupplyLine(
        id=supply.id.value,
        name=supply.name,
        kind=supply.kind,
        amount=None if amount is None else amount.value,
        unit=amount.unit if amount is not None else supply.unit or "",
        total=total,
        share=shared,
        used=one,
        to_buy=to_buy,
        computed=computed and amount is not None,
        note=note,
        grouped=grouped and supply.kind != "tool",
    )


def _purchases(
    supply: Supply, amount: Quantity | None, scope: Scope, found: list[Problem]
) -> Fraction | None:
    """The purchases that one project takes, exactly; None where it cannot be said.

    Where the file does not say what one purchase holds, things that are counted are bought singly.
    """
    if supply.holds is None:
        return amount.value if amount is not None and amount.counted else None
    unit = _unit_of_holds(supply, amount, scope)
    holds = read_quantity(supply.holds, unit, scope, "holds-unreadable", found)
    if holds is None:
        return None
    if holds.value == 0:
        found.append(
            Problem(
                "holds-unreadable",
                f'"{supply.holds.value}" would mean that one purchase of {supply.name} is empty',
                supply.holds.place,
                'Write what one purchase holds, such as "27 yd".',
            )
        )
        return None
    if amount is None:
        return None
    times = share(amount, holds)
    if times is None:
        found.append(_other_unit(supply, amount, holds))
    return times


def _unit_of_holds(supply: Supply, amount: Quantity | None, scope: Scope) -> str | None:
    """The unit of a bare number in `holds`: the supply's, else the project's for a length."""
    if supply.unit:
        return supply.unit
    if amount is not None and amount.millimetres is not None:
        return scope.units
    return None


def _not_known(supply: Supply) -> Problem:
    return Problem(
        "amount-not-known",
        f'how much "{supply.name}" the project takes cannot be computed: '
        "no join, mat or closure tells it",
        supply.amount.place,
        'Give an amount, such as amount = 3 with unit = "pairs", or amount = "18 in"; '
        'or name the supply in a join or closure, as in with = "' + supply.id.value + '".',
    )


def _other_unit(supply: Supply, amount: Quantity, holds: Quantity) -> Problem:
    assert supply.holds is not None
    counted = f'in "{amount.unit}"' if amount.unit else "a bare number"
    takes = "a length" if amount.millimetres is not None else counted
    bare = "" if holds.unit else " without a unit"
    return Problem(
        "holds-other-unit",
        f'the amount of "{supply.name}" is {takes}, but one purchase holds '
        f'"{supply.holds.value}"{bare}: nobody can tell how many to buy',
        supply.holds.place,
        "Give both in units that compare, such as yards and inches, or leave `holds` out.",
    )

"""The supply list: how much of each supply one project takes, and how many to buy.

In: the [[supply]] tables, and the patterns, mats and closures that use them. Out: a `SupplyLine`
for each supply in the order of the file. An amount that cannot be known stays None and says so.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from booklet.flat.pattern import MatLayer, Pattern
from booklet.measure.resolve import Scope
from booklet.problem import Problem
from booklet.read.project import Project
from booklet.read.supply import Supply
from booklet.stock.adhesive import Need, need_of
from booklet.stock.quantity import Quantity, read_quantity, share

AUTO = "auto"


@dataclass(frozen=True)
class SupplyLine:
    """One supply: `amount` in `unit` for one project, `to_buy` purchases for all that are made.

    A computed length is in mm. `amount` is None where it is not known, `to_buy` where that or
    what one purchase holds is not known. `note` is for the reader.
    """

    id: str
    name: str
    kind: str
    amount: Fraction | None
    unit: str
    to_buy: int | None
    computed: bool
    note: str


def supply_list(
    project: Project,
    patterns: Sequence[Pattern],
    mats: Sequence[MatLayer],
    scope: Scope,
    found: list[Problem],
    made: int = 1,
) -> tuple[SupplyLine, ...]:
    """The line of each supply; `made` is how many projects are made, such as a class needs.

    Problems: `amount-unreadable`, `holds-unreadable`, `holds-other-unit`, `amount-not-known`.
    """
    whole = len(patterns) == len(project.pieces) and len(mats) == len(project.mats)
    lines = []
    for supply in project.supplies:
        if supply.amount.value == AUTO:
            need = need_of(supply, project, patterns, mats) if whole else None
            if whole and need is None:
                found.append(_not_known(supply))
            lines.append(_computed(supply, need, scope, found, made, whole))
        else:
            amount = read_quantity(supply.amount, supply.unit, scope, "amount-unreadable", found)
            lines.append(_line(supply, amount, False, "", _buy(supply, amount, scope, found, made)))
    return tuple(lines)


def _computed(
    supply: Supply, need: Need | None, scope: Scope, found: list[Problem], made: int, whole: bool
) -> SupplyLine:
    """The line of an automatic amount; without the whole pattern none is better than too little."""
    if need is None:
        _buy(supply, None, scope, found, made)
        note = "take what you need" if whole else "not reckoned yet"
        return _line(supply, None, True, note, None)
    return _line(
        supply, need.quantity, True, need.uses, _buy(supply, need.quantity, scope, found, made)
    )


def _line(
    supply: Supply, amount: Quantity | None, computed: bool, note: str, to_buy: int | None
) -> SupplyLine:
    unit = amount.unit if amount is not None else supply.unit or ""
    return SupplyLine(
        id=supply.id.value,
        name=supply.name,
        kind=supply.kind,
        amount=None if amount is None else amount.value,
        unit=unit,
        to_buy=to_buy,
        computed=computed and amount is not None,
        note=note,
    )


def _buy(
    supply: Supply, amount: Quantity | None, scope: Scope, found: list[Problem], made: int
) -> int | None:
    """Purchases for `made` projects, rounded up; None where it cannot be said."""
    if supply.holds is None:
        return None
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
        return None
    return math.ceil(times * made)


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
    takes = "a length" if amount.millimetres is not None else f'in "{amount.unit}"'
    bare = "" if holds.unit else " without a unit"
    return Problem(
        "holds-other-unit",
        f'the amount of "{supply.name}" is {takes}, but one purchase holds '
        f'"{supply.holds.value}"{bare}: nobody can tell how many to buy',
        supply.holds.place,
        "Give both in units that compare, such as yards and inches, or leave `holds` out.",
    )

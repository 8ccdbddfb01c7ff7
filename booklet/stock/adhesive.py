"""How much of an adhesive the flat patterns call for: strips of tape, beads of glue.

In: patterns with their joins, mats, closures. Out: for one supply the length, and the words that
say what it is for. The ways of sticking are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from booklet.flat.pattern import MatLayer, Panel, Pattern
from booklet.flat.reference import find_panel
from booklet.measure.resolve import Scope
from booklet.problem import Problem
from booklet.read.project import Project
from booklet.read.supply import Supply
from booklet.stock.fastener import closes, words_of
from booklet.stock.quantity import Quantity

WIDE_TAB: Final = Fraction(25)
"""Millimetres: a tab wider than this takes two strips, one along each long side, so that its free
edge does not lift. Common practice, no source."""

_DOTS: Final = ("dot", "dots", "squares")


@dataclass(frozen=True)
class Need:
    """What the patterns call for; `uses` says for what, such as "along 4 tabs"."""

    quantity: Quantity
    uses: str


def is_tape(supply: Supply) -> bool:
    """Whether a supply is tape, by its id and name."""
    return any("tape" in word for word in words_of(supply))


def usual_adhesive(supplies: Sequence[Supply]) -> str | None:
    """Id of the adhesive for mats, and for joins that name none: the first tape, else the first.

    What is bought for closing (hook and loop, magnets) sticks nothing else.
    """
    general = [s for s in supplies if s.kind == "adhesive" and not closes(s)]
    tapes = [supply for supply in general if is_tape(supply)]
    return next((supply.id.value for supply in [*tapes, *general]), None)


def adhesive_listed(project: Project, found: list[Problem]) -> None:
    """What is glued needs something to glue it with, which the maker's list has to name."""
    if usual_adhesive(project.supplies) is not None:
        return
    joins = [join for piece in project.pieces for join in piece.joins]
    bare = [join.place for join in joins if join.supply is None]
    bare += [mat.place for mat in project.mats]
    if bare:
        found.append(
            Problem(
                "adhesive-not-listed",
                "something is glued here, and no [[supply]] is an adhesive: the list of what one "
                "needs names none",
                bare[0],
                'add a [[supply]] with kind = "adhesive" and amount = "auto"',
            )
        )


def adhesive_need(
    supply: Supply,
    project: Project,
    patterns: Sequence[Pattern],
    mats: Sequence[MatLayer],
    scope: Scope,
) -> Need | None:
    """Mm of tape or of a bead of glue along tabs, round mats and across bands, all copies counted.

    None where nothing uses it, or where it comes in dots whose number nobody can compute.
    """
    if closes(supply) or any(word in _DOTS for word in words_of(supply)):
        return None
    usual = usual_adhesive(project.supplies) == supply.id.value
    tabs = [
        length * strips
        for pattern in patterns
        for length, strips in _strips(pattern, patterns, supply.id.value, usual)
        for _ in range(pattern.count)
    ]
    rounds = [2 * (mat.size[0] + mat.size[1]) for mat in mats if usual for _ in range(mat.count)]
    bands = list(_bands(project, patterns, scope)) if usual else []
    if not tabs and not rounds and not bands:
        return None
    total = sum([*tabs, *rounds, *bands], Fraction(0))
    return Need(Quantity(total, "mm"), _uses(len(tabs), len(rounds), len(bands)))


def _strips(
    pattern: Pattern, patterns: Sequence[Pattern], supply: str, usual: bool
) -> Iterator[tuple[Fraction, int]]:
    """(length in mm, number of strips) of each join of the pattern that takes this supply."""
    owners = {owner.id: owner for owner in patterns}
    for join in pattern.joins:
        if join.supply == supply or (join.supply is None and usual):
            yield strips_of(owners[join.tab[0]].panel(join.tab[1]))


def strips_of(tab: Panel) -> tuple[Fraction, int]:
    """(length in mm, number) of the strips on a tab: along its long side, two if it is wide."""
    short, long = sorted(tab.size)
    return long, 2 if short > WIDE_TAB else 1


def _bands(project: Project, patterns: Sequence[Pattern], scope: Scope) -> Iterator[Fraction]:
    """Mm of the strip that closes each belly band into a ring: as long as the band is wide."""
    unheard: list[Problem] = []  # a wrong panel or size is reported by the stage that owns it
    for closure in project.closures:
        if closure.kind != "belly_band" or closure.size is None:
            continue
        where = find_panel(closure.on, patterns, unheard)
        width = scope.length(closure.size, unheard)
        if where is not None and width is not None:
            count = next(pattern.count for pattern in patterns if pattern.id == where[0])
            yield from [width] * count


def _uses(tabs: int, mats: int, bands: int) -> str:
    parts = [
        f"{where} {count} {thing}{'' if count == 1 else 's'}"
        for where, count, thing in (
            ("along", tabs, "tab"),
            ("round", mats, "mat"),
            ("across", bands, "band"),
        )
        if count
    ]
    if len(parts) < 2:
        return "".join(parts)
    return ", ".join(parts[:-1]) + " and " + parts[-1]

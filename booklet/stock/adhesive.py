"""How much of a supply the flat patterns call for: strips of tape, beads of glue, closing pairs.

In: patterns with their joins, mats, closures. Out: for one supply the length or the count, and the
words that say what it is for. The ways of sticking are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from booklet.flat.pattern import MatLayer, Panel, Pattern
from booklet.flat.reference import find_panel
from booklet.problem import Problem
from booklet.read.project import Project
from booklet.read.supply import Supply
from booklet.stock.quantity import Quantity

WIDE_TAB: Final = Fraction(25)
"""Millimetres: a tab wider than this takes two strips, one along each long side, so that its free
edge does not lift. Common practice, no source."""

PAIRED: Final = ("hook_and_loop", "magnet")
"""Closures that take a pair: one part on each of the two panels that meet."""

_PAIR_WORDS: Final = {"hook_and_loop": ("hook", "loop"), "magnet": ("magnet",)}
_DOTS: Final = ("dot", "dots", "squares")


@dataclass(frozen=True)
class Need:
    """What the patterns call for; `uses` says for what, such as "along 4 tabs"."""

    quantity: Quantity
    uses: str


def _words(supply: Supply) -> list[str]:
    name = f"{supply.id.value} {supply.name}".casefold()
    return "".join(letter if letter.isalnum() else " " for letter in name).split()


def is_tape(supply: Supply) -> bool:
    """Whether a supply is tape, by its id and name."""
    return any("tape" in word for word in _words(supply))


def usual_adhesive(supplies: Sequence[Supply]) -> str | None:
    """Id of the adhesive for mats, and for joins that name none: the first tape, else the first.

    What is bought for closing (hook and loop, magnets) sticks nothing else.
    """
    general = [s for s in supplies if s.kind == "adhesive" and not _closes(s)]
    tapes = [supply for supply in general if is_tape(supply)]
    return next((supply.id.value for supply in [*tapes, *general]), None)


def _closes(supply: Supply) -> bool:
    return any(word.startswith(parts) for parts in _PAIR_WORDS.values() for word in _words(supply))


def need_of(
    supply: Supply, project: Project, patterns: Sequence[Pattern], mats: Sequence[MatLayer]
) -> Need | None:
    """What the whole project takes of one supply, all copies of each piece counted.

    Mm of tape or of a bead of glue along tabs and round mats; else pairs where closures use it.
    None where nothing uses it, or where it comes in dots whose number nobody can compute.
    """
    length = None if _closes(supply) else _length(supply, project, patterns, mats)
    if length is not None:
        return length
    pairs = _pairs(supply, project, patterns)
    return Need(Quantity(Fraction(pairs), "pairs" if pairs > 1 else "pair"), "") if pairs else None


def _length(
    supply: Supply, project: Project, patterns: Sequence[Pattern], mats: Sequence[MatLayer]
) -> Need | None:
    """Mm along the tabs and round the mats; None without any, or for dots."""
    if any(word in _DOTS for word in _words(supply)):
        return None
    usual = usual_adhesive(project.supplies) == supply.id.value
    tabs = [
        length * strips
        for pattern in patterns
        for length, strips in _strips(pattern, patterns, supply.id.value, usual)
        for _ in range(pattern.count)
    ]
    rounds = [2 * (mat.size[0] + mat.size[1]) for mat in mats if usual for _ in range(mat.count)]
    if not tabs and not rounds:
        return None
    return Need(Quantity(sum(tabs + rounds, Fraction(0)), "mm"), _uses(len(tabs), len(rounds)))


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


def _pairs(supply: Supply, project: Project, patterns: Sequence[Pattern]) -> int:
    """Pairs for the closures that take this supply: those that name it, or it by its words."""
    count = {pattern.id: pattern.count for pattern in patterns}
    pairs = 0
    for closure in project.closures:
        if closure.kind not in PAIRED:
            continue
        if closure.supply is not None:
            taken = closure.supply.value == supply.id.value
        else:
            taken = any(word.startswith(_PAIR_WORDS[closure.kind]) for word in _words(supply))
        unheard: list[Problem] = []  # a wrong panel is reported by the stage that owns closures
        where = find_panel(closure.on, patterns, unheard) if taken else None
        if where is not None:
            pairs += count[where[0]]
    return pairs


def _uses(tabs: int, mats: int) -> str:
    parts = []
    if tabs:
        parts.append(f"along {tabs} {'tab' if tabs == 1 else 'tabs'}")
    if mats:
        parts.append(f"round {mats} {'mat' if mats == 1 else 'mats'}")
    return " and ".join(parts)

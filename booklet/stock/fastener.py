"""Fasteners that are counted: pairs of dots and magnets, brads, buttons and eyelets.

In: the closures of a project. Out: how many of one supply they take.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import Final

from booklet.flat.pattern import Pattern
from booklet.flat.reference import find_panel
from booklet.problem import Problem
from booklet.read.closure import Closure
from booklet.read.project import Project
from booklet.read.supply import Supply

PAIRED: Final[Mapping[str, tuple[str, ...]]] = MappingProxyType(
    {"hook_and_loop": ("hook", "loop"), "magnet": ("magnet",)}
)
"""Closures that take a pair, one part on each of the two panels that meet, and how the words of
their supply begin."""

SINGLE: Final = ("brad", "button", "eyelet")
"""How the words of a supply begin of which each panel of a closure takes one."""

BUTTON: Final = "button"
"""The kind of closure that takes two supplies: buttons, and the string wound round them."""


def words_of(supply: Supply) -> list[str]:
    """The words of a supply's id and name, in small letters."""
    name = f"{supply.id.value} {supply.name}".casefold()
    return "".join(letter if letter.isalnum() else " " for letter in name).split()


def closes(supply: Supply) -> bool:
    """Whether a supply is made for closing, by its words, so that it sticks nothing else."""
    return any(word.startswith(parts) for parts in PAIRED.values() for word in words_of(supply))


def is_single(supply: Supply) -> bool:
    """Whether a supply is counted by the panel: brads and their like."""
    return _begins(supply, SINGLE)


def pairs(supply: Supply, project: Project, patterns: Sequence[Pattern]) -> int:
    """Pairs for the closures that take this supply: those that name it, or it by its words."""
    return sum(
        _copies(closure, patterns)
        for closure in project.closures
        if closure.kind in PAIRED and takes(closure, supply, PAIRED[closure.kind])
    )


def singles(supply: Supply, project: Project, patterns: Sequence[Pattern]) -> int:
    """Brads and their like: one on each panel of the closures that name this supply.

    A button closure that names its string takes the buttons by their word.
    """
    if not is_single(supply):
        return 0
    return sum(
        _copies(closure, patterns) * (1 if closure.meets is None else 2)
        for closure in project.closures
        if _names(closure, supply)
        or (
            closure.kind == BUTTON
            and not names_single(closure, project)
            and _begins(supply, (BUTTON,))
        )
    )


def takes(closure: Closure, supply: Supply, beginnings: tuple[str, ...]) -> bool:
    """Whether a closure takes this supply: it names it, or names none and the words tell it."""
    if closure.supply is not None:
        return _names(closure, supply)
    return _begins(supply, beginnings)


def takes_string(
    closure: Closure, supply: Supply, beginnings: tuple[str, ...], project: Project
) -> bool:
    """Whether a button closure takes this supply as its string: `with` may name the buttons."""
    if names_single(closure, project):
        return _begins(supply, beginnings)
    return takes(closure, supply, beginnings)


def names_single(closure: Closure, project: Project) -> bool:
    """Whether the supply that a closure names is counted by the panel."""
    return any(_names(closure, one) and is_single(one) for one in project.supplies)


def _names(closure: Closure, supply: Supply) -> bool:
    return closure.supply is not None and closure.supply.value == supply.id.value


def _begins(supply: Supply, beginnings: tuple[str, ...]) -> bool:
    return any(word.startswith(beginnings) for word in words_of(supply))


def _copies(closure: Closure, patterns: Sequence[Pattern]) -> int:
    """How often the piece of a closure is made; 0 where its panel is not known."""
    unheard: list[Problem] = []  # a wrong panel is reported by the stage that owns closures
    where = find_panel(closure.on, patterns, unheard)
    return next((p.count for p in patterns if where is not None and p.id == where[0]), 0)

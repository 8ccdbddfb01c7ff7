"""[[step]]: one step of the instructions in the maker's own words.

In: one raw table. Out: the frozen value `Step`.
"""

from __future__ import annotations

from dataclasses import dataclass

from booklet.problem import Place, Written


@dataclass(frozen=True, kw_only=True)
class Step:
    """A step: its words and which panels, tabs, mats or closures it acts on."""

    title: str | None = None
    say: Written[str] | None = None
    fold: tuple[Written[str], ...] = ()
    score: tuple[Written[str], ...] = ()
    cut: tuple[Written[str], ...] = ()
    glue: tuple[Written[str], ...] = ()
    join: tuple[Written[str], ...] = ()
    attach: tuple[Written[str], ...] = ()
    close: tuple[Written[str], ...] = ()
    turn: str | None = None
    photo: Written[str] | None = None
    place: Place

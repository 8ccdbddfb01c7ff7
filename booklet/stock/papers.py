"""The table of papers: named sheets and basis-weight grades, each with its source.

In: `papers.toml` beside this module, read once. Out: frozen rows with exact millimetres.
"""

from __future__ import annotations

import functools
import tomllib
from dataclasses import dataclass
from fractions import Fraction
from importlib import resources
from typing import Any

from booklet.measure.units import UNITS


@dataclass(frozen=True)
class NamedSheet:
    """A sheet size known by name; `size` is (wide, tall) in mm as named."""

    name: str
    size: tuple[Fraction, Fraction]
    source: str
    check: str


@dataclass(frozen=True)
class Grade:
    """A basis-weight grade; `basis` is its basis sheet in inches, `also` are other trade names."""

    name: str
    basis: tuple[Fraction, Fraction]
    also: tuple[str, ...]
    source: str
    check: str


@functools.cache
def _table() -> dict[str, Any]:
    text = resources.files("booklet.stock").joinpath("papers.toml").read_text("utf-8")
    return tomllib.loads(text)


def _pair(texts: list[str], unit: Fraction = Fraction(1)) -> tuple[Fraction, Fraction]:
    first, second = texts
    return Fraction(first) * unit, Fraction(second) * unit


@functools.cache
def sheets() -> dict[str, NamedSheet]:
    """All named sheets, in the order of the table."""
    return {
        name: NamedSheet(name, _pair(row["size"], UNITS[row["unit"]]), row["source"], row["check"])
        for name, row in _table()["sheet"].items()
    }


@functools.cache
def grades() -> dict[str, Grade]:
    """All basis-weight grades by their main name, in the order of the table."""
    return {
        name: Grade(name, _pair(row["basis"]), tuple(row["also"]), row["source"], row["check"])
        for name, row in _table()["grade"].items()
    }

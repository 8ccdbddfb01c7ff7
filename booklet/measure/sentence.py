"""Sentences with measures in braces.

In: a sentence such as "Fold along the {deep} scores." Out: the same with each brace printed in
both systems. `{{` and `}}` stand for braces themselves; a brace may hold any formula.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

from booklet.measure.resolve import Scope, inner_place
from booklet.measure.rounding import Printer
from booklet.problem import Place, Problem, Written

_PART: Final = re.compile(r"\{\{|\}\}|\{(?P<formula>[^{}]*)\}|[{}]")


@dataclass(frozen=True)
class Reading:
    """How one size reads a sentence: the name it is called by, and its measures."""

    name: str
    scope: Scope


def formulas(sentence: str) -> list[str]:
    """What stands in the braces of a sentence, in order."""
    found = (match["formula"] for match in _PART.finditer(sentence))
    return [formula for formula in found if formula is not None]


def fill(
    sentence: str,
    scope: Scope,
    printer: Printer,
    found: list[Problem],
    place: Place,
    sizes: Sequence[Reading] = (),
    many: int = 4,
) -> str:
    """The sentence as it is printed.

    Where `sizes` differ in a measure the values of all are printed, each behind its size's name;
    of more than `many` sizes the formula itself, which the table of sizes then has as a row.

    A brace without a partner gives `sentence-brace`, a formula in one the problems of
    `Scope.length`; such a part stays as it is written. `place` is that of the sentence.
    """

    def printed(match: re.Match[str]) -> str:
        text = match[0]
        if text in ("{{", "}}"):
            return text[0]
        formula = match["formula"]
        inner = inner_place(Written(sentence, place), match.start())
        if formula is None:
            found.append(
                Problem(
                    "sentence-brace",
                    f'"{text}" has no partner in "{_around(sentence, match.start())}"',
                    inner,
                    'Write "{name}" to print a measure, or double the brace to print a brace.',
                )
            )
            return text
        complaints: list[Problem] = []
        value = scope.length(Written(formula, place), complaints)
        found.extend(replace(problem, place=inner) for problem in complaints)
        if value is None:
            return text
        others = [(one.name, one.scope.length(Written(formula, place), [])) for one in sizes]
        if all(other in (None, value) for _, other in others):
            return printer.both(value)
        if len(others) > many:
            return f"the length “{formula.strip()}” of the table of sizes"
        known = [(name, mm) for name, mm in others if mm is not None]
        return ", ".join(f"{name} {printer.both(mm)}" for name, mm in known)

    return _PART.sub(printed, sentence)


def _around(sentence: str, at: int) -> str:
    """The words near a place, for a message."""
    return sentence[max(0, at - 25) : at + 25].replace("\n", " ")

"""Sentences with measures in braces.

In: a sentence such as "Fold along the {deep} scores." Out: the same with each brace printed in
both systems. `{{` and `}}` stand for braces themselves; a brace may hold any formula.
"""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Final

from booklet.measure.resolve import Scope, inner_place
from booklet.measure.rounding import Printer
from booklet.problem import Place, Problem, Written

_PART: Final = re.compile(r"\{\{|\}\}|\{(?P<formula>[^{}]*)\}|[{}]")


def fill(sentence: str, scope: Scope, printer: Printer, found: list[Problem], place: Place) -> str:
    """The sentence as it is printed.

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
        return text if value is None else printer.both(value)

    return _PART.sub(printed, sentence)


def _around(sentence: str, at: int) -> str:
    """The words near a place, for a message."""
    return sentence[max(0, at - 25) : at + 25].replace("\n", " ")

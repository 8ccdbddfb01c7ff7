"""Sentences with measures in braces."""

from __future__ import annotations

import pytest

from booklet.measure.resolve import Scope
from booklet.measure.rounding import Printer
from booklet.measure.sentence import fill
from booklet.problem import Place, Problem

_PLACE = Place("p.toml", 7, 7)


def _filled(sentence: str, scope: Scope) -> tuple[str, list[Problem]]:
    found: list[Problem] = []
    return fill(sentence, scope, Printer(scope.units, scope.ruler), found, _PLACE), found


@pytest.mark.parametrize(
    ("sentence", "text"),
    [
        ("Fold along the {deep} scores.", "Fold along the ⅝ in (1.6 cm) scores."),
        ("{wide + deep} wide", "4 in (10.2 cm) wide"),
        ("{{deep}} is {deep}", "{deep} is ⅝ in (1.6 cm)"),
        ("{1/2 * wide}{deep}", "1¹¹⁄₁₆ in (4.3 cm)⅝ in (1.6 cm)"),
        ("No braces.", "No braces."),
    ],
)
def test_braces_print_measures(sentence: str, text: str, inches: Scope) -> None:
    """A name or a formula in braces prints in both systems; doubled braces print themselves."""
    assert _filled(sentence, inches) == (text, [])


@pytest.mark.parametrize(
    ("sentence", "code", "column"),
    [
        ("The {dep} scores", "measure-unknown", 12),
        ("The {} scores", "formula-not-read", 12),
        ("The {deep scores", "sentence-brace", 12),
        ("The deep} scores", "sentence-brace", 16),
        ("A {wide * deep} area", "dimension-mismatch", 10),
    ],
)
def test_a_wrong_brace_is_reported(sentence: str, code: str, column: int, inches: Scope) -> None:
    """The problem stands at the brace, and the sentence stays as it is written."""
    text, found = _filled(sentence, inches)
    assert text == sentence
    assert [(problem.code, problem.place) for problem in found] == [
        (code, Place("p.toml", 7, column))
    ]

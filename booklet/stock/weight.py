"""Paper weight as written -> grams per square metre.

In: text such as "216 gsm", "216 g/m2" or "80 lb cover". Out: an exact Fraction in g/m2, or a
problem. Pounds without a grade are never accepted: 110 lb index is 199 g/m2, 110 lb cover is 297.
"""

from __future__ import annotations

import re
from fractions import Fraction

from booklet.problem import Problem, Written
from booklet.read.nearest import nearest
from booklet.stock.papers import Grade, grades

POUND = Fraction("453.59237")
"""Grams in an avoirdupois pound, exact (International yard and pound agreement, 1959)."""

REAM = 500
"""Sheets in the ream that a basis weight is stated for (TAPPI T 410, scope)."""

SQUARE_INCH = Fraction("0.0254") ** 2
"""Square metres in a square inch."""

PLAUSIBLE = (Fraction(10), Fraction(1500))
"""g/m2 from the thinnest tissue to thick board; outside it a slip of the pen is likelier."""

_NUMBER = r"(\d{1,5}(?:\.\d{1,4})?)"
_METRIC = re.compile(rf"{_NUMBER} ?(?:gsm|g ?/ ?m ?(?:2|²|\^2)|grams?)")
_POUNDS = re.compile(rf"{_NUMBER} ?(?:lbs?\.?|#|pounds?) ?-?([a-z ]*)")


def grammage(text: str) -> Fraction | None:
    """The weight in g/m2, exact, or None where the text is not a whole and positive weight.

    A basis weight of p lb for a basis sheet of w x h in is p * 453.59237 g over 500 sheets of
    w * h * 0.0254^2 m2, that is p * 1406.1392.../(w * h) (definition of basis weight, TAPPI T 410).
    """
    plain = _plain(text)
    metric = _METRIC.fullmatch(plain)
    if metric:
        return Fraction(metric[1]) or None
    pounds = _POUNDS.fullmatch(plain)
    grade = grade_named(pounds[2]) if pounds else None
    if pounds is None or grade is None:
        return None
    wide, tall = grade.basis
    return Fraction(pounds[1]) * POUND / (REAM * wide * tall * SQUARE_INCH) or None


def grade_named(name: str) -> Grade | None:
    """The grade of that name or trade name; a trailing "stock" or "paper" is overlooked."""
    plain = " ".join(word for word in name.split() if word not in ("stock", "paper", "weight"))
    for grade in grades().values():
        if plain == grade.name or plain in grade.also:
            return grade
    return None


def check_weight(written: Written[str] | None, found: list[Problem]) -> Fraction | None:
    """The weight of a stock in g/m2; None where none is given or a problem was found.

    Problems: `weight-without-grade` (pounds alone), `unknown-grade`, `unreadable-weight`, and the
    warning `unlikely-weight`, which keeps the value.
    """
    if written is None:
        return None
    weight = grammage(written.value)
    if weight is None:
        found.append(_complaint(written))
        return None
    if not PLAUSIBLE[0] <= weight <= PLAUSIBLE[1]:
        found.append(
            Problem(
                "unlikely-weight",
                f'the weight "{written.value}" is about {round(weight)} g/m², '
                "which no craft paper has",
                written.place,
                "Look at the pack again. Printer paper is about 80 g/m², cardstock about 220 g/m².",
            )
        )
    return weight


def _complaint(written: Written[str]) -> Problem:
    """The problem of a weight that `grammage` refused."""
    shown = written.value
    pounds = _POUNDS.fullmatch(_plain(shown))
    known = ", ".join(grades())
    if pounds is None or not Fraction(pounds[1]):
        return Problem(
            "unreadable-weight",
            f'"{shown}" is not a paper weight',
            written.place,
            'Write it as "216 gsm" or, with its grade, as "80 lb cover".',
        )
    grade = pounds[2].strip()
    if not grade:
        return Problem(
            "weight-without-grade",
            f'"{shown}" can be very different papers: pounds count only with a grade',
            written.place,
            f'Add the grade from the pack, as in "{shown.strip()} cover". Grades: {known}.',
        )
    names = [name for row in grades().values() for name in (row.name, *row.also)]
    close = nearest(grade, names)
    # Grades are short words: one with another first letter is no slip of the pen.
    lead = f'Did you mean "{close}"? ' if close and close[0] == grade[0] else ""
    return Problem(
        "unknown-grade",
        f'"{grade}" in "{shown}" is not a grade of paper that booklet knows',
        written.place,
        f"{lead}Grades: {known}. Or give the weight in gsm.",
    )


def _plain(text: str) -> str:
    return " ".join(text.casefold().split())

"""What lengths and plain numbers may do with one another.

In: two quantities. Out: their sum, product and so on, or a `FormulaError`.

A length times a length is an area: fine on the way to a square root or a division, never as a
result. Where a length meets a plain number in a sum, the number is read in project units.
"""

from __future__ import annotations

from fractions import Fraction

from booklet.measure.bounds import MAX_DIMENSION, FormulaError, bounded
from booklet.measure.length import LENGTH, NUMBER, Quantity, dimension_name


def added(left: Quantity, right: Quantity, unit: Fraction, at: int) -> Quantity:
    """The sum; `unit` is the project's unit in millimetres, for a plain number beside a length."""
    left, right = alike(left, right, unit, at)
    return _made(left.value + right.value, left.dimension, left.exact and right.exact, at)


def negated(operand: Quantity) -> Quantity:
    """The same quantity with the other sign."""
    return Quantity(-operand.value, operand.dimension, operand.exact)


def multiplied(left: Quantity, right: Quantity, at: int) -> Quantity:
    """The product; dimensions add up."""
    dimension = left.dimension + right.dimension
    return _made(left.value * right.value, dimension, left.exact and right.exact, at)


def divided(left: Quantity, right: Quantity, at: int) -> Quantity:
    """The quotient; a length by a length is a plain number."""
    if right.value == 0:
        raise FormulaError(
            "division-by-zero",
            "the formula divides by zero here",
            "Divide by something that is not 0.",
            at,
        )
    dimension = left.dimension - right.dimension
    return _made(left.value / right.value, dimension, left.exact and right.exact, at)


def alike(left: Quantity, right: Quantity, unit: Fraction, at: int) -> tuple[Quantity, Quantity]:
    """Both in one dimension, for sums and comparisons; `unit` as in `added`."""
    if {left.dimension, right.dimension} == {NUMBER, LENGTH}:
        left, right = as_length(left, unit), as_length(right, unit)
    if left.dimension != right.dimension:
        raise FormulaError(
            "dimension-mismatch",
            f"{dimension_name(left.dimension)} and {dimension_name(right.dimension)} "
            "cannot be added or compared",
            "Add lengths to lengths.",
            at,
        )
    return left, right


def as_length(operand: Quantity, unit: Fraction) -> Quantity:
    """A plain number read in project units; anything else stays as it is."""
    if operand.dimension != NUMBER:
        return operand
    return Quantity(operand.value * unit, LENGTH, operand.exact)


def _made(value: Fraction, dimension: int, exact: bool, at: int) -> Quantity:
    if abs(dimension) > MAX_DIMENSION:
        raise FormulaError(
            "dimension-mismatch",
            f"{dimension_name(dimension)} arises here",
            "Multiply a length by a plain number.",
            at,
        )
    return Quantity(bounded(value, at), dimension, exact)

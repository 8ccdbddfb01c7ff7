"""The functions that a formula may call.

In: quantities, the project's unit and its ruler, both in millimetres. Out: a quantity, or a
`FormulaError`. Angles are degrees. A root or an angle function that has no exact fraction
is rounded to the nearest one with a denominator up to a thousand million; `up` and `down` take a
value within that noise of a mark for the mark, so that sqrt(2) * sqrt(2) in does not climb.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType
from typing import Final

from booklet.measure.bounds import FormulaError
from booklet.measure.dimension import alike, as_length
from booklet.measure.length import LENGTH, NUMBER, Quantity, dimension_name
from booklet.measure.ruler import nearest_mark, on_ruler

_FINEST: Final = 10**9


@dataclass(frozen=True)
class Scale:
    """What a project's formulas are read by: unit and smallest ruler mark in millimetres.

    `mark`, where a project is printed in another unit, moves a literal length to a mark of that
    unit's ruler.
    """

    unit: Fraction
    ruler: Fraction
    mark: Callable[[Fraction], Fraction] | None = None

    def literal(self, length: Quantity) -> Quantity:
        """A length that the file gives as a number, where it is to stand."""
        if self.mark is None:
            return length
        return Quantity(self.mark(length.value), length.dimension, length.exact)

    def as_length(self, operand: Quantity) -> Quantity:
        """A plain number read in project units; anything else stays as it is."""
        if operand.dimension != NUMBER:
            return operand
        return self.literal(as_length(operand, self.unit))


@dataclass(frozen=True)
class Function:
    """How many values it takes (`most` None: any number) and what it makes of them."""

    least: int
    most: int | None
    apply: Callable[[Sequence[Quantity], Scale, int], Quantity]


def call(name: str, values: Sequence[Quantity], scale: Scale, at: int) -> Quantity:
    """The value of a known function; FormulaError `function-misused` or `dimension-mismatch`."""
    function = FUNCTIONS[name]
    count = len(values)
    if count < function.least or (function.most is not None and count > function.most):
        wanted = "one value" if function.most == 1 else "two values or more"
        raise FormulaError(
            "function-misused",
            f"{name}() takes {wanted}, not {count}",
            f"Give {name}() {wanted}.",
            at,
        )
    return function.apply(values, scale, at)


def _up(values: Sequence[Quantity], scale: Scale, at: int) -> Quantity:
    length = _length("up", values[0], scale, at)
    if on_ruler(length, scale.ruler):
        return Quantity(nearest_mark(length, scale.ruler), LENGTH)
    return Quantity(math.ceil(length / scale.ruler) * scale.ruler, LENGTH)


def _down(values: Sequence[Quantity], scale: Scale, at: int) -> Quantity:
    length = _length("down", values[0], scale, at)
    if on_ruler(length, scale.ruler):
        return Quantity(nearest_mark(length, scale.ruler), LENGTH)
    return Quantity(math.floor(length / scale.ruler) * scale.ruler, LENGTH)


def _nearest(values: Sequence[Quantity], scale: Scale, at: int) -> Quantity:
    length = _length("nearest", values[0], scale, at)
    return Quantity(nearest_mark(length, scale.ruler), LENGTH)


def _min(values: Sequence[Quantity], scale: Scale, at: int) -> Quantity:
    return min(_all_alike(values, scale, at), key=lambda value: value.value)


def _max(values: Sequence[Quantity], scale: Scale, at: int) -> Quantity:
    return max(_all_alike(values, scale, at), key=lambda value: value.value)


def _sqrt(values: Sequence[Quantity], scale: Scale, at: int) -> Quantity:
    operand = values[0]
    if operand.value < 0:
        raise FormulaError(
            "function-misused",
            "sqrt() of a negative value",
            "Take the root of a value that is not negative.",
            at,
        )
    if operand.dimension % 2:
        raise FormulaError(
            "dimension-mismatch",
            f"the square root of {dimension_name(operand.dimension)} is no length",
            "Take the root of an area, such as wide * wide + deep * deep.",
            at,
        )
    top, low = (math.isqrt(part) for part in operand.value.as_integer_ratio())
    root = Fraction(top, low)
    if root * root == operand.value:
        return Quantity(root, operand.dimension // 2, operand.exact)
    return Quantity(_rounded(math.sqrt(operand.value)), operand.dimension // 2, exact=False)


def _sin(values: Sequence[Quantity], scale: Scale, at: int) -> Quantity:
    return Quantity(_rounded(math.sin(_turn("sin", values[0], at))), NUMBER, exact=False)


def _cos(values: Sequence[Quantity], scale: Scale, at: int) -> Quantity:
    return Quantity(_rounded(math.cos(_turn("cos", values[0], at))), NUMBER, exact=False)


def _tan(values: Sequence[Quantity], scale: Scale, at: int) -> Quantity:
    turn = _turn("tan", values[0], at)
    if _rounded(math.cos(turn)) == 0:
        raise FormulaError(
            "function-misused",
            f"tan({float(values[0].value):g}) is infinite",
            "Give tan() an angle below 90 degrees.",
            at,
        )
    return Quantity(_rounded(math.tan(turn)), NUMBER, exact=False)


def _atan(values: Sequence[Quantity], scale: Scale, at: int) -> Quantity:
    _plain("atan", values[0], at, "the quotient of two lengths")
    return Quantity(_rounded(math.degrees(math.atan(values[0].value))), NUMBER, exact=False)


def _turn(name: str, angle: Quantity, at: int) -> float:
    """The angle in radians; whole turns are taken off while it is still exact."""
    _plain(name, angle, at, "an angle in degrees")
    return math.radians(angle.value % 360)


def _plain(name: str, operand: Quantity, at: int, wanted: str) -> None:
    if operand.dimension != NUMBER:
        raise FormulaError(
            "dimension-mismatch",
            f"{name}() takes {wanted}, not {dimension_name(operand.dimension)}",
            f"Give {name}() a plain number: {wanted}.",
            at,
        )


def _length(name: str, operand: Quantity, scale: Scale, at: int) -> Fraction:
    length = scale.as_length(operand)
    if length.dimension != LENGTH:
        raise FormulaError(
            "dimension-mismatch",
            f"{name}() rounds a length, not {dimension_name(length.dimension)}",
            "Give it a length.",
            at,
        )
    return length.value


def _all_alike(values: Sequence[Quantity], scale: Scale, at: int) -> list[Quantity]:
    """All in the dimension of the one that has one; plain numbers are read in project units."""
    model = next((value for value in values if value.dimension != NUMBER), values[0])
    if model.dimension == LENGTH:
        values = [scale.as_length(value) for value in values]
    return [alike(value, model, scale.unit, at)[0] for value in values]


def _rounded(value: float) -> Fraction:
    return Fraction(value).limit_denominator(_FINEST)


FUNCTIONS: Final[Mapping[str, Function]] = MappingProxyType(
    {
        "up": Function(1, 1, _up),
        "down": Function(1, 1, _down),
        "nearest": Function(1, 1, _nearest),
        "min": Function(2, None, _min),
        "max": Function(2, None, _max),
        "sqrt": Function(1, 1, _sqrt),
        "sin": Function(1, 1, _sin),
        "cos": Function(1, 1, _cos),
        "tan": Function(1, 1, _tan),
        "atan": Function(1, 1, _atan),
    }
)
"""Each function by its name; the only names that a formula can call."""

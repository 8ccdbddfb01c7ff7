"""A formula's tree to its value.

In: a `Node`, the project's scale and the values of measures. Out: a `Quantity`, or a
`FormulaError`; `Unfinished` where the formula needs a measure whose own problem is
already reported.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from fractions import Fraction

from booklet.measure import dimension, functions
from booklet.measure.bounds import FormulaError, bounded
from booklet.measure.formula import Call, Chain, InUnit, Name, Negated, Node, Number
from booklet.measure.functions import FUNCTIONS, Scale
from booklet.measure.length import LENGTH, NUMBER, Quantity, dimension_name
from booklet.measure.units import UNITS
from booklet.read.nearest import did_you_mean


class Unfinished(Exception):
    """The formula names a measure that has no value, and that is reported where it stands."""


@dataclass(frozen=True)
class Names:
    """The measures that a formula may use: millimetres by name, and those that failed."""

    known: Mapping[str, Fraction]
    broken: Collection[str] = ()

    def value(self, node: Name) -> Quantity:
        """The measure as a length; FormulaError `measure-unknown` with the nearest name."""
        if node.name in self.known:
            return Quantity(self.known[node.name], LENGTH)
        if node.name in self.broken:
            raise Unfinished
        raise unknown_name(node, [*self.known, *self.broken])


def unknown_name(node: Name, known: Collection[str]) -> FormulaError:
    """The error for a name that is no measure; says the nearest one, or how to call a function."""
    if node.name in FUNCTIONS:
        way_out = f"Write {node.name}(...) to call the function."
    else:
        way_out = did_you_mean(node.name, known, "Define it in [measures].")
    message = f'"{node.name}" is no measure of this project'
    return FormulaError("measure-unknown", message, way_out, node.at)


def evaluate(tree: Node, names: Names, scale: Scale) -> Quantity:
    """The value of the whole tree, of any dimension."""
    match tree:
        case Number(value, at):
            return Quantity(bounded(value, at), NUMBER)
        case Name():
            return names.value(tree)
        case InUnit(operand, unit, at):
            return scale.literal(_in_unit(evaluate(operand, names, scale), unit, at))
        case Negated(operand):
            return dimension.negated(evaluate(operand, names, scale))
        case Call(function, values, at):
            found = [evaluate(value, names, scale) for value in values]
            result = functions.call(function, found, scale, at)
            return Quantity(bounded(result.value, at), result.dimension, result.exact)
        case Chain(first, rest):
            total = evaluate(first, names, scale)
            for sign, node, at in rest:
                total = _joined(sign, total, evaluate(node, names, scale), scale, at)
            return total


def _joined(sign: str, left: Quantity, right: Quantity, scale: Scale, at: int) -> Quantity:
    if sign == "*":
        return dimension.multiplied(left, right, at)
    if sign == "/":
        return dimension.divided(left, right, at)
    if LENGTH in (left.dimension, right.dimension):
        left, right = scale.as_length(left), scale.as_length(right)
    if sign == "-":
        right = dimension.negated(right)
    return dimension.added(left, right, scale.unit, at)


def _in_unit(operand: Quantity, unit: str, at: int) -> Quantity:
    if operand.dimension != NUMBER:
        raise FormulaError(
            "dimension-mismatch",
            f'"{unit}" stands behind {dimension_name(operand.dimension)}, which has its unit',
            "Write units behind plain numbers only.",
            at,
        )
    return Quantity(bounded(operand.value * UNITS[unit], at), LENGTH, operand.exact)

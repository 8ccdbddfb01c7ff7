"""Amounts of supplies as written -> a number and its unit.

In: a number, or text such as "27 yd", "3 1/2 ft", "24 dots" or a formula of lengths. Out: a
`Quantity` that can be compared with another, or a problem.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from types import MappingProxyType
from typing import Final

from booklet.measure.resolve import Scope
from booklet.measure.units import UNITS
from booklet.problem import Problem, Written
from booklet.read.raw import Raw

_SPELLED: Final[Mapping[str, str]] = MappingProxyType(
    {
        **{unit: unit for unit in UNITS},
        **dict.fromkeys(("inch", "inches"), "in"),
        **dict.fromkeys(("foot", "feet"), "ft"),
        **dict.fromkeys(("yard", "yards", "yds"), "yd"),
        **dict.fromkeys(("metre", "metres", "meter", "meters"), "m"),
        **dict.fromkeys(("centimetre", "centimetres", "centimeter", "centimeters"), "cm"),
        **dict.fromkeys(("millimetre", "millimetres", "millimeter", "millimeters"), "mm"),
    }
)
"""The unit of `measure.units` behind each way to spell a unit of length."""

_POURED: Final = frozenset(("ml", "cl", "dl", "l", "fl", "g", "kg", "oz", "lb", "drop", "drops"))
"""Units of what is poured or weighed: nobody sells it singly."""

_NUMBER_AND_UNIT = re.compile(r"(.*?)\s*([^\W\d_][^\d*/+()]*|\"|″)?")


@dataclass(frozen=True)
class Quantity:
    """So much of something: `unit` as written, "" where things are simply counted."""

    value: Fraction
    unit: str

    @property
    def millimetres(self) -> Fraction | None:
        """The length in mm, exact; None where the unit is no unit of length."""
        factor = length_factor(self.unit)
        return None if factor is None else self.value * factor

    @property
    def counted(self) -> bool:
        """Whether it is a number of single things, which one can buy one by one."""
        return self.millimetres is None and self.unit.casefold().partition(" ")[0] not in _POURED


def length_factor(unit: str) -> Fraction | None:
    """Millimetres in a unit of length however spelled ("yards", "yd"); None for any other word."""
    name = _SPELLED.get(unit.casefold().removesuffix("."))
    return None if name is None else UNITS[name]


def read_quantity(
    written: Written[Raw], unit: str | None, scope: Scope, code: str, found: list[Problem]
) -> Quantity | None:
    """The quantity as written; a number alone takes `unit`. None with a problem named `code`.

    Text without a unit of its own may be a formula: one that comes out as a length is in mm.
    """
    raw = written.value
    if not isinstance(raw, str):
        return Quantity(Fraction(raw), unit or "")
    parts = _NUMBER_AND_UNIT.fullmatch(raw.strip())
    if parts is not None and parts[1]:
        number = scope.number(Written(parts[1], written.place), [])
        if number is not None and number >= 0:
            return Quantity(number, (parts[2] or unit or "").strip())
    complaints: list[Problem] = []
    length = scope.length(written, complaints, positive=True)
    if length is not None:
        return Quantity(length, "mm")
    if complaints:
        found.append(
            Problem(
                code,
                f'"{raw}" is no amount: {complaints[0].message}',
                written.place,
                'Write a number with its unit, such as "27 yd" or "24 pairs".',
            )
        )
    return None


def share(part: Quantity, whole: Quantity) -> Fraction | None:
    """How many times `whole` (not zero) goes into `part`; None where their units do not compare.

    Lengths compare whatever their units; counted things when the words are one, plural or not, or
    when one of them has no unit.
    """
    first, second = part.millimetres, whole.millimetres
    if first is not None and second is not None:
        return first / second
    if first is not None or second is not None:
        return None
    words = {_singular(part.unit), _singular(whole.unit)} - {""}
    return part.value / whole.value if len(words) <= 1 else None


def _singular(unit: str) -> str:
    return unit.casefold().removesuffix("s")

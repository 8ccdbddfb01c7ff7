"""The only rounding for print: millimetres to the words that a reader measures by.

In: lengths in millimetres. Out: text in the project's unit with the other system behind it.

Inches are set as fractions, millimetres and centimetres with a decimal. A length that the text
gives exactly stands bare; any other is rounded to 1/64 in or 0.1 mm and says "about".
The second unit is always rounded (0.1 cm or 1/16 in; lengths below 5 mm 0.1 mm or 1/64 in) and
never says so.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from booklet.measure.ruler import exact, nearest_mark, on_ruler
from booklet.measure.tolerance import ANGLE_DEG
from booklet.measure.units import CENTIMETRE, INCH

Millimetres = Fraction | float

_SINGLE: Final = {
    (1, 4): "¼", (1, 2): "½", (3, 4): "¾", (1, 8): "⅛", (3, 8): "⅜", (5, 8): "⅝", (7, 8): "⅞",
}  # fmt: skip
_RAISED: Final = str.maketrans("0123456789", "⁰¹²³⁴⁵⁶⁷⁸⁹")
_LOWERED: Final = str.maketrans("0123456789", "₀₁₂₃₄₅₆₇₈₉")

_FINEST: Final = {"in": INCH / 64, "mm": Fraction(1, 10), "cm": Fraction(1, 10)}
"""Millimetres to which a length off the marks is rounded, by the unit it is printed in."""

_SHORT: Final = Fraction(5)
"""Millimetres below which 0.1 cm or 1/16 in rounds off over a tenth; a finer step is used then."""


@dataclass(frozen=True)
class Printer:
    """Prints lengths for one project: its unit, and its ruler's smallest mark in millimetres."""

    units: str
    ruler: Fraction

    def first(self, mm: Millimetres) -> str:
        """The length in the project's unit: "5⅛ in"."""
        return f"{self.bare(mm)} {self.units}"

    def bare(self, mm: Millimetres) -> str:
        """The length in the project's unit, unit left out: "5⅛"."""
        about, text = self._first(mm)
        return about + text

    def both(self, mm: Millimetres) -> str:
        """The length with the other system behind it: "5⅛ in (13.0 cm)"."""
        return f"{self.first(mm)} ({self.second(mm)})"

    def second(self, mm: Millimetres) -> str:
        """The length in the other system: "13.0 cm", "5⅛ in"; below 5 mm "1.6 mm"."""
        unit, step = self._second_unit(exact(mm))
        return f"{_text(_visible(mm, step), unit)} {unit}"

    def parts(self, lengths: Sequence[Millimetres]) -> list[tuple[str, str]]:
        """Both texts of each part; the second ones add up to `second` of the whole.

        Each part is rounded down, then the steps that the whole still has go to the parts
        that lost most, the earlier one where two lost alike.
        """
        exacts = [exact(mm) for mm in lengths]
        whole = sum(exacts, Fraction(0))
        unit, step = self._second_unit(whole)
        counts = [math.floor(mm / step) for mm in exacts]
        missing = int(_visible(whole, step) / step) - sum(counts)
        by_loss = sorted(range(len(exacts)), key=lambda i: (counts[i] - exacts[i] / step, i))
        for index in by_loss[:missing]:
            counts[index] += 1
        return [
            (self.first(mm), f"{_text(count * step, unit)} {unit}")
            for mm, count in zip(exacts, counts, strict=True)
        ]

    def size(self, lengths: Sequence[Millimetres]) -> str:
        """Two or three edges: "5⅛ × 7⅛ in (13.0 × 18.1 cm)"."""
        return self._edges(lengths, lengths)

    def _edges(self, firsts: Sequence[Millimetres], seconds: Sequence[Millimetres]) -> str:
        told = [self._first(mm) for mm in firsts]
        about = "about " if any(about for about, _ in told) else ""
        unit, step = self._second_unit(max(map(exact, seconds)))
        others = [_text(_visible(mm, step), unit) for mm in seconds]
        first = " × ".join(text for _, text in told)
        return f"{about}{first} {self.units} ({' × '.join(others)} {unit})"

    def roughly(self, lengths: Sequence[Millimetres]) -> str:
        """Edges that nobody sets on a ruler, such as a room's, each to its nearest mark."""
        marks = [_visible(mm, self.ruler) for mm in lengths]
        return self._to_marks(lengths, self.size(marks))

    def bought(self, lengths: Sequence[Millimetres]) -> str:
        """Edges of a sheet as bought; those that no text gives exactly to the nearest mark.

        A4 is "about 8¼ × 11¾ in (21.0 × 29.7 cm)" on a ruler with marks of 1/8 in: the other
        system tells the sheet, not the mark.
        """
        text = self.size(lengths)
        if not text.startswith("about "):
            return text
        marks = [_visible(mm, self.ruler) for mm in lengths]
        return self._to_marks(lengths, self._edges(marks, lengths))

    def _to_marks(self, lengths: Sequence[Millimetres], text: str) -> str:
        bare = text.startswith("about ") or all(map(on_ruler, lengths, [self.ruler] * len(lengths)))
        return text if bare else f"about {text}"

    def _first(self, mm: Millimetres) -> tuple[str, str]:
        """ "about " or nothing, and the number in the project's unit."""
        finest = _FINEST[self.units]
        for step in (self.ruler, finest):
            # A ruler of odd marks is taken at its word as long as its marks can be set.
            if on_ruler(mm, step) and _settable(nearest_mark(mm, step), self.units):
                return "", _text(nearest_mark(mm, step), self.units)
        return "about ", _text(_visible(mm, finest), self.units)

    def _second_unit(self, whole: Fraction) -> tuple[str, Fraction]:
        """The unit and the step in millimetres in which the other system prints."""
        short = abs(whole) < _SHORT
        if self.units != "in":
            return "in", INCH / 64 if short else INCH / 16
        if short:
            return "mm", Fraction(1, 10)
        return "cm", CENTIMETRE / 10


def degrees_text(angle: float) -> str:
    """An angle (degrees, without its sign) as a hand folds it: to whole degrees, said so if not."""
    whole = round(abs(angle))
    return f"{whole}°" if abs(abs(angle) - whole) < ANGLE_DEG else f"about {whole}°"


def fraction_text(value: Fraction) -> str:
    """A number as a whole and a set fraction: "5⅛", "³⁄₁₆", "0"."""
    whole, part = divmod(abs(value), 1)
    sign = "−" if value < 0 else ""
    if not part:
        return f"{sign}{whole}"
    top, low = part.numerator, part.denominator
    single = _SINGLE.get((top, low))
    text = single or f"{str(top).translate(_RAISED)}⁄{str(low).translate(_LOWERED)}"
    return f"{sign}{whole or ''}{text}"


def _visible(mm: Millimetres, step: Fraction) -> Fraction:
    """The nearest multiple of the step, but never zero for a length above zero."""
    return nearest_mark(mm, step) or (step if mm > 0 else Fraction(0))


def _settable(mm: Fraction, unit: str) -> bool:
    """Whether the text can say it exactly: a fraction of at most 64ths, or a few decimals."""
    if unit == "in":
        return (mm / INCH).denominator <= 64
    return (mm * 1000).denominator == 1


def _text(mm: Fraction, unit: str) -> str:
    """The number that `mm` is in `unit`, exactly; centimetres keep one decimal at least."""
    if unit == "in":
        return fraction_text(mm / INCH)
    value = mm / CENTIMETRE if unit == "cm" else mm
    for places in range(1 if unit == "cm" else 0, 5):
        if (value * 10**places).denominator == 1:
            break
    sign = "−" if value < 0 else ""
    digits = f"{round(abs(value) * 10**places):0{places + 1}d}"
    return sign + (f"{digits[:-places]}.{digits[-places:]}" if places else digits)

"""Path data become exact lines and curves in millimetres.

In: path data as written, and the scope of the project. Out: subpaths of `Segment` values, or
problems at the character to blame. Points stay exact, also those of relative commands; only the
insides of curves are floats. Commands mean what SVG 2, section 9.3 "Path data", says; the frame is
the project's own: y runs up, so that an arc with sweep flag 1 turns counter-clockwise.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from booklet.flat.arcs import arc_growth, endpoint_arc
from booklet.flat.path import Point
from booklet.flat.path_scan import ARGUMENTS, Argument, PathError, Word, words
from booklet.flat.segment import XY, Segment, as_point
from booklet.measure.bounds import LONGEST_MM, FormulaError, bounded
from booklet.measure.resolve import Scope
from booklet.measure.ruler import exact
from booklet.measure.tolerance import TOUCH_MM
from booklet.measure.units import UNITS
from booklet.problem import Place, Problem, Written

ARC_PIECE = 45.0
"""Degrees: arcs are cut into pieces no longer than this, so that one with a radius of half a metre
errs by 0.002 mm (the error falls with the sixth power of the angle)."""


@dataclass(frozen=True)
class Subpath:
    """Segments end to end; `closed` where it ends with Z; `place` is where its move stands."""

    segments: tuple[Segment, ...]
    closed: bool
    place: Place


def char_place(written: Written[str], at: int) -> Place:
    """The place of a character of path data, which may run over several lines of the file."""
    text, place = written.value, written.place
    lines = text[:at].split("\n")
    if len(lines) > 1:
        return replace(place, line=place.line + len(lines) - 1, column=len(lines[-1]) + 1)
    quotes = 3 if "\n" in text else 1
    return replace(place, column=place.column + quotes + at)


def read_path(
    written: Written[str], kind: str, scope: Scope, found: list[Problem], most: int
) -> tuple[Subpath, ...] | None:
    """The subpaths of path data of at most `most` segments; None after a problem was reported.

    `scope` says the unit of bare numbers.
    """
    pen = _Pen(written, kind, scope, found)
    try:
        for word in words(written.value):
            pen.draw(word)
            if pen.count > most:
                raise PathError(
                    "path-too-long",
                    f"the piece is drawn with more than {most} lines and curves",
                    "Draw it with fewer, or split it into several pieces.",
                    word.at,
                )
        return tuple(pen.finished())
    except PathError as error:
        if error.code:
            place = char_place(written, error.at)
            found.append(Problem(error.code, error.message, place, error.way_out))
        return None


class _Pen:
    """Draws the words of one path in turn; lives only inside `read_path`."""

    def __init__(
        self, written: Written[str], kind: str, scope: Scope, found: list[Problem]
    ) -> None:
        self.written, self.kind, self.scope, self.found = written, kind, scope, found
        zero = Fraction(0)
        self.here: XY = (zero, zero)
        self.first: XY = (zero, zero)
        self.control: tuple[str, XY] | None = None
        self.segments: list[Segment] = []
        self.subpaths: list[Subpath] = []
        self.opened = 0
        self.count = 0

    def draw(self, word: Word) -> None:
        """One command. Exact arithmetic is bounded, so that relative steps cannot grow for ever."""
        kind = word.letter.upper()
        if kind == "Z":
            self._close(word.at)
            return
        values = [
            self._value(argument, role, word)
            for argument, role in zip(word.arguments, ARGUMENTS[kind], strict=True)
        ]
        control = None
        if kind == "M":
            self._finish(False)
            self.here = self.first = self._checked((values[0], values[1]), word.at)
            self.opened = word.at
        elif kind in "LHV":
            x = values[0] if kind != "V" else self.here[0]
            y = values[-1] if kind != "H" else self.here[1]
            self._line((x, y), word.at)
        elif kind == "A":
            self._arc(values, word.at)
        else:
            control = self._curve(kind, values, word.at)
        self.control = control

    def finished(self) -> Iterator[Subpath]:
        """All subpaths."""
        self._finish(False)
        yield from self.subpaths

    def _value(self, argument: Argument, role: str, word: Word) -> Fraction:
        """Millimetres in the piece's frame; a relative one has the pen's own place added."""
        value: Fraction | None = argument.value
        if argument.text is not None:
            place = char_place(self.written, argument.at)
            formula = Written[str](argument.text, place)
            read = self.scope.number if role == "a" else self.scope.length
            value = read(formula, self.found)
            if value is None:
                raise PathError("", "", "", argument.at)
        elif role in "xyr":
            value = self.scope.bare(argument.value, self.written.place)
        assert value is not None
        if role in "xy" and word.letter.islower():
            value += self.here[0 if role == "x" else 1]
        return value

    def _checked(self, point: XY, at: int) -> XY:
        try:
            for part in point:
                bounded(part, None)
        except FormulaError as error:
            raise PathError(error.code, error.message, error.way_out, at) from error
        if max(abs(point[0]), abs(point[1])) > LONGEST_MM:
            raise PathError(
                "length-too-large",
                f"a point of the path lies more than {float(LONGEST_MM) / 1000:g} m away",
                "Check the numbers and the unit of the piece.",
                at,
            )
        return point

    def _add(self, end: XY, bend: tuple[Point, Point] | None, at: int) -> None:
        place = char_place(self.written, at)
        self.segments.append(Segment(self.kind, self.here, end, bend, place))
        self.count += 1
        self.here = end

    def _line(self, end: XY, at: int) -> None:
        if self._checked(end, at) != self.here:
            self._add(end, None, at)

    def _curve(self, kind: str, values: list[Fraction], at: int) -> tuple[str, XY]:
        """C, S, Q and T; returns what the next S or T mirrors."""
        points = [(values[i], values[i + 1]) for i in range(0, len(values), 2)]
        for point in points:
            self._checked(point, at)
        start = self.here
        if kind in "ST":
            points.insert(0, self._mirrored("CS" if kind == "S" else "QT"))
        mirror, end = points[-2], points[-1]
        if kind in "QT":  # a quadratic as a cubic: the control points at two thirds of the way
            third = Fraction(2, 3)
            controls = [
                (p[0] + third * (mirror[0] - p[0]), p[1] + third * (mirror[1] - p[1]))
                for p in (start, end)
            ]
        else:
            controls = points[:2]
        if any(point != start for point in (*controls, end)):
            self._add(end, (as_point(controls[0]), as_point(controls[1])), at)
        return kind, mirror

    def _mirrored(self, kinds: str) -> XY:
        if self.control is None or self.control[0] not in kinds:
            return self.here
        x, y = self.control[1]
        return 2 * self.here[0] - x, 2 * self.here[1] - y

    def _arc(self, values: list[Fraction], at: int) -> None:
        end = self._checked((values[5], values[6]), at)
        radii = abs(float(values[0])), abs(float(values[1]))
        turn = float(values[2])
        a, b = as_point(self.here), as_point(end)
        growth = arc_growth(a, b, radii, turn)
        if (growth - 1) * max(radii) > TOUCH_MM:
            unit = float(UNITS[self.scope.reads or self.scope.units])
            needed = " and ".join(f"{r * growth / unit:.4g}" for r in radii)
            self.found.append(
                Problem(
                    "arc-radius-too-small",
                    "the radii of this arc are too small to reach its end: as SVG asks, they are "
                    f"taken {growth:.3g} times as large",
                    char_place(self.written, at),
                    f"write {needed} as radii, or move the end nearer",
                )
            )
        for command in endpoint_arc(a, b, radii, turn, values[3] == 1, values[4] == 1, ARC_PIECE):
            if command[0] == "C":
                last = command[3] == b
                point = end if last else (exact(command[3][0]), exact(command[3][1]))
                self._add(point, (command[1], command[2]), at)
            elif command[0] == "L":
                self._line(end, at)

    def _close(self, at: int) -> None:
        if self.here != self.first:
            self._add(self.first, None, at)
        self._finish(True)
        self.control = None
        self.opened = at

    def _finish(self, closed: bool) -> None:
        if self.segments:
            place = char_place(self.written, self.opened)
            self.subpaths.append(Subpath(tuple(self.segments), closed, place))
        self.segments = []

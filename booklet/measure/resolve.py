"""All measures of a project to exact millimetres, and the scope that later stages read with.

In: a `Project` (and one of its sizes). Out: a `Scope`, and problems: cycles, unknown names,
formulas that are no length. A `Scope` turns any length as written into millimetres.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Final

from booklet.measure.bounds import (
    LONGEST_MM,
    SHORTEST_MM,
    FormulaError,
    bounded,
    from_written,
    shown,
)
from booklet.measure.evaluate import Names, Unfinished, evaluate
from booklet.measure.formula import Node, names, parse
from booklet.measure.functions import Scale
from booklet.measure.length import LENGTH, NUMBER, Quantity, dimension_name
from booklet.measure.order import order
from booklet.measure.reround import Reround
from booklet.measure.ruler import DEFAULT_RULER
from booklet.measure.units import UNITS
from booklet.problem import Place, Problem
from booklet.read.nearest import did_you_mean
from booklet.read.project import Project
from booklet.read.raw import Length, Raw
from booklet.read.size import Size

_NO_LENGTH: Final = (
    'Every measure is a length: write plain factors as numbers ("3 * wide"), '
    'and a fraction of a unit without spaces ("1/16 in").'
)


@dataclass(frozen=True)
class Scope:
    """What a length in the file may refer to.

    `units` names the project's unit; `ruler` and `measures` are millimetres. `broken` names
    measures whose own problem is already reported: formulas with them fail in silence.

    A project printed in another unit has that `units` and `ruler` here; `reads` is the unit that
    its bare numbers are in, `reround` moves them to the ruler, and `written` is the scope as the
    file has it.
    """

    units: str
    ruler: Fraction
    measures: Mapping[str, Fraction] = field(default_factory=dict)
    broken: frozenset[str] = frozenset()
    reads: str = ""
    reround: Reround | None = None
    written: Scope | None = None

    @property
    def facts(self) -> Scope:
        """The scope for what the maker does not cut: contents, sheets, thickness, things bought."""
        return self.written or self

    def reading(self, unit: str | None) -> Scope:
        """The scope for a piece whose bare numbers are in a unit of their own."""
        return self if unit is None else replace(self, reads=unit)

    def bare(self, number: Fraction, place: Place) -> Fraction:
        """Millimetres of a bare number, such as a coordinate of path data."""
        scale = self._scale(place)
        return scale.as_length(Quantity(number, NUMBER)).value

    def length(
        self,
        written: Length,
        found: list[Problem],
        *,
        positive: bool = False,
        allow_zero: bool | None = None,
        longest: Fraction = LONGEST_MM,
    ) -> Fraction | None:
        """Millimetres of a length as written; None after appending to `found`.

        `positive` refuses negative lengths, and zero unless `allow_zero` says True;
        `allow_zero=False` alone refuses zero only. Anything beyond `longest`
        (millimetres, either way) is refused, and with `positive` anything below SHORTEST_MM.
        """
        try:
            value = self._millimetres(written)
            if abs(value) > longest:
                raise _too_long(written.value, longest)
            zero_allowed = allow_zero if allow_zero is not None else not positive
            if (positive and value < 0) or (value == 0 and not zero_allowed):
                raise _not_positive(written.value, value, zero_allowed)
            if positive and 0 < value < SHORTEST_MM:
                raise _too_short(written.value)
        except Unfinished:
            return None
        except FormulaError as error:
            found.append(problem_of(error, written))
            return None
        return value

    def number(self, written: Length, found: list[Problem]) -> Fraction | None:
        """A plain number as written (an angle, a share); None after appending to `found`."""
        try:
            value = self._quantity(written)
            if value.dimension != NUMBER:
                raise FormulaError(
                    "dimension-mismatch",
                    f'"{shown(written.value)}" is {dimension_name(value.dimension)}; '
                    "a plain number is wanted here",
                    "Write a number without a unit, or divide a length by a length.",
                )
        except Unfinished:
            return None
        except FormulaError as error:
            found.append(problem_of(error, written))
            return None
        return value.value

    def _scale(self, place: Place) -> Scale:
        unit = UNITS[self.reads or self.units]
        moved = self.reround
        if moved is None:
            return Scale(unit, self.ruler)
        return Scale(unit, self.ruler, lambda mm: moved.mark(mm, place))

    def _millimetres(self, written: Length) -> Fraction:
        raw = written.value
        value = self._scale(written.place).as_length(self._quantity(written))
        if value.dimension != LENGTH:
            raise FormulaError(
                "dimension-mismatch",
                f'"{shown(raw)}" is {dimension_name(value.dimension)}, not a length',
                _NO_LENGTH,
            )
        return bounded(value.value, None)

    def _quantity(self, written: Length) -> Quantity:
        raw = written.value
        if not isinstance(raw, str):
            return Quantity(from_written(raw), NUMBER)
        names = Names(self.measures, self.broken)
        return evaluate(parse(raw), names, self._scale(written.place))


def resolve(
    project: Project,
    found: list[Problem],
    size: Size | None = None,
    other: Reround | None = None,
) -> Scope:
    """The scope of a project, or of one of its sizes, as written or in another unit.

    Problems are appended to `found`.
    """
    scope = _as_written(project)
    scope = replace(scope, ruler=_ruler(project, scope, found))
    values = {**project.measures, **_overrides(project, size, found)}
    scope = _with_measures(scope, values, found)
    if other is None:
        return scope
    # What cannot be read is reported already.
    moved = replace(
        scope, units=other.unit, ruler=other.ruler, reads=scope.units, reround=other, written=scope
    )
    return _with_measures(moved, values, [])


def _as_written(project: Project) -> Scope:
    """The project's unit with the ruler that is usual for it."""
    units = project.project.units
    if units not in DEFAULT_RULER:
        units = "in"  # the reader has already refused it
    return Scope(units, DEFAULT_RULER[units])


def _with_measures(scope: Scope, written: Mapping[str, Length], found: list[Problem]) -> Scope:
    """The scope with every measure that can be worked out."""
    trees, broken = _trees(written, found)
    uses = {name: {node.name for node in names(tree)} for name, tree in trees.items()}
    uses.update({name: set() for name in written if name not in trees})
    ordered = order(uses)
    for cycle in ordered.cycles:
        found.append(_cycle_problem(cycle, written))
    broken |= set(written) - set(ordered.names)
    known: dict[str, Fraction] = {}
    for name in ordered.names:
        if name in broken:
            continue
        value = replace(scope, measures=known, broken=frozenset(broken)).length(
            written[name], found
        )
        if value is None:
            broken.add(name)
        else:
            known[name] = value
    in_order = {name: known[name] for name in written if name in known}
    return replace(scope, measures=in_order, broken=frozenset(broken))


def problem_of(error: FormulaError, written: Length) -> Problem:
    """The problem at the value's place, moved to the offending character where it is known."""
    value = shown(written.value)
    message = error.message if value in error.message else f'"{value}": {error.message}'
    return Problem(error.code, message, inner_place(written, error.at), error.way_out)


def inner_place(written: Length, at: int | None) -> Place:
    """The place of the character `at` in a text value that begins with its quote.

    Characters that may be written longer than they are (quotes, backslashes, line ends) leave the
    place at the value's beginning, where it is right at least.
    """
    text = written.value
    if at is None or not isinstance(text, str) or any(char in text for char in '"\\\n\r\t'):
        return written.place
    return replace(written.place, column=written.place.column + 1 + min(at, len(text)))


def _trees(written: Mapping[str, Length], found: list[Problem]) -> tuple[dict[str, Node], set[str]]:
    """The trees of all measures written as text, and the names of those that cannot be read."""
    trees = {}
    broken = set()
    for name, length in written.items():
        if not isinstance(length.value, str):
            continue
        try:
            trees[name] = parse(length.value)
        except FormulaError as error:
            found.append(problem_of(error, length))
            broken.add(name)
    return trees, broken


def _ruler(project: Project, scope: Scope, found: list[Problem]) -> Fraction:
    """The ruler's smallest mark in millimetres; the default where it is missing or unusable."""
    written = project.project.ruler
    if written is None:
        return scope.ruler
    complaints: list[Problem] = []
    ruler = scope.length(written, complaints)
    if ruler is not None and 0 < ruler <= 10 * UNITS["in"]:
        return ruler
    why = complaints[0].message if complaints else f'"{shown(written.value)}" is no ruler\'s mark'
    found.append(
        Problem("ruler-unusable", why, written.place, 'Write its smallest mark, such as "1/16".')
    )
    return scope.ruler


def _overrides(project: Project, size: Size | None, found: list[Problem]) -> dict[str, Length]:
    """The measures that the size replaces.

    Names that the project lacks are reported: for every size where none is asked for, so that
    a check of the project finds them all.
    """
    for one in project.sizes if size is None else [size]:
        for name, length in one.measures.items():
            if name not in project.measures:
                message = f'the size "{one.id.value}" replaces "{name}", which is no measure'
                way_out = did_you_mean(name, project.measures, "Define it in [measures].")
                found.append(Problem("size-measure-unknown", message, length.place, way_out))
    replaced = {} if size is None else size.measures
    return {name: replaced[name] for name in replaced if name in project.measures}


def _cycle_problem(cycle: tuple[str, ...], written: Mapping[str, Length]) -> Problem:
    chain = " -> ".join([*cycle, cycle[0]])
    return Problem(
        "measure-cycle",
        f"measures need one another: {chain}",
        written[cycle[0]].place,
        f'Give one of them a value of its own, for example {cycle[-1]} = "2 1/2".',
    )


def _too_long(raw: Raw, longest: Fraction) -> FormulaError:
    return FormulaError(
        "length-too-large",
        f'"{shown(raw)}" is longer than {float(longest) / 1000:g} m',
        "Check the number and its unit.",
    )


def _too_short(raw: Raw) -> FormulaError:
    return FormulaError(
        "length-too-small",
        f'"{shown(raw)}" is above zero, but shorter than {float(SHORTEST_MM):g} mm',
        "Check the number and its unit.",
    )


def _not_positive(raw: Raw, value: Fraction, zero_allowed: bool) -> FormulaError:
    what = "zero" if value == 0 else "negative"
    least = "this must be zero or more" if zero_allowed else "a size must be above zero"
    wanted = "of zero or more" if zero_allowed else "above zero"
    return FormulaError(
        "size-not-positive",
        f'"{shown(raw)}" is {what} ({float(value):g} mm), and {least}',
        f"Write a length {wanted}, or check the formula.",
    )

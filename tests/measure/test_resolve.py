"""Measures in any order, cycles, sizes and the ruler."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from booklet.measure.order import order
from booklet.measure.resolve import resolve
from booklet.measure.units import INCH
from booklet.problem import Place, Problem, Written
from booklet.read.project import Project
from booklet.read.raw import Length
from booklet.read.size import Size

Make = Callable[..., Project]


def test_measures_may_stand_in_any_order(project: Make) -> None:
    """A measure may use one that is written below it; the file's order is kept."""
    found: list[Problem] = []
    scope = resolve(project({"a": "b + 1/8", "b": "c * 2", "c": 1, "d": Decimal("0.5")}), found)
    assert found == []
    assert scope.measures == {"a": INCH * 17 / 8, "b": INCH * 2, "c": INCH, "d": INCH / 2}
    assert list(scope.measures) == ["a", "b", "c", "d"]


def test_a_cycle_is_printed_from_its_first_measure(project: Make) -> None:
    """The cycle stands in the message, at the place of the measure that is written first."""
    found: list[Problem] = []
    scope = resolve(project({"x": "a", "b": "a", "a": "c + 1", "c": "b", "ok": 1}), found)
    (problem,) = found
    assert problem.code == "measure-cycle"
    assert problem.message.endswith("b -> a -> c -> b")
    assert problem.place == Place("p.toml", 2, 8)
    assert scope.measures == {"ok": INCH}
    assert scope.broken == {"x", "a", "b", "c"}


def test_a_measure_of_itself_is_a_cycle(project: Make) -> None:
    """The shortest cycle there is."""
    found: list[Problem] = []
    resolve(project({"a": "a + 1"}), found)
    assert found[0].message.endswith("a -> a")


def test_separate_cycles_are_all_reported(project: Make) -> None:
    """Two knots, two problems."""
    found: list[Problem] = []
    resolve(project({"a": "b", "b": "a", "c": "d + a", "d": "c"}), found)
    assert [problem.message[-11:] for problem in found] == ["a -> b -> a", "c -> d -> c"]


def test_a_broken_measure_is_reported_once(project: Make) -> None:
    """Whatever needs a measure that failed stays silent."""
    found: list[Problem] = []
    scope = resolve(project({"a": "b * 2", "b": "1/0", "c": "b + 5 $", "d": "c"}), found)
    assert sorted(problem.code for problem in found) == ["division-by-zero", "formula-not-read"]
    assert scope.length(Written("a + d", Place("p.toml", 9, 1)), found) is None
    assert len(found) == 2


def test_all_problems_are_reported_at_once(project: Make) -> None:
    """Each wrong measure has its own problem at its own line."""
    found: list[Problem] = []
    resolve(project({"a": "nope", "b": "a a", "c": "wide * wide", "wide": 20_000}), found)
    assert {problem.place.line for problem in found if problem.place} == {1, 2, 4}


def test_a_size_replaces_measures_and_what_follows_from_them(
    project: Make, written: Callable[..., Length]
) -> None:
    """Formulas are computed again with the size's own values."""
    place = Place("p.toml", 50, 1)
    base = project({"tall": 4, "flap": "tall / 2"})
    size = Size(id=Written("t", place), name="Tall", measures={"tall": written("6")}, place=place)
    found: list[Problem] = []
    assert resolve(base, found, size).measures == {"tall": INCH * 6, "flap": INCH * 3}
    wrong = replace(size, measures={"tal": written("6", 51)})
    resolve(replace(base, sizes=(wrong,)), found)
    (problem,) = found
    assert (problem.code, problem.place) == ("size-measure-unknown", Place("p.toml", 51, 8))
    assert '"tall"' in problem.help


@pytest.mark.parametrize(
    ("units", "ruler", "mm"),
    [
        ("in", None, INCH / 16),
        ("mm", None, Fraction(1)),
        ("cm", None, Fraction(1)),
        ("in", "1/32", INCH / 32),
        ("cm", "1 mm", Fraction(1)),
        ("mm", Decimal("0.5"), Fraction(1, 2)),
    ],
)
def test_the_ruler(units: str, ruler: str | Decimal | None, mm: Fraction, project: Make) -> None:
    """The ruler as written, or the usual one of the unit."""
    found: list[Problem] = []
    assert resolve(project({}, units, ruler), found).ruler == mm
    assert found == []


@pytest.mark.parametrize("ruler", ["0", "-1/16", "wide", "3 ft", "1/0", "1 in * 1 in"])
def test_an_unusable_ruler_is_reported(ruler: str, project: Make) -> None:
    """The default steps in so that the rest can be checked."""
    found: list[Problem] = []
    assert resolve(project({"wide": 1}, "in", ruler), found).ruler == INCH / 16
    assert [problem.code for problem in found] == ["ruler-unusable"]
    assert ruler in found[0].message


def test_a_long_chain_is_walked(project: Make) -> None:
    """Five thousand measures, each of the next, need no recursion."""
    count = 5_000
    measures: dict[str, str | int] = {f"m{i}": f"m{i + 1}" for i in range(count)}
    ordered = order({name: {str(used)} for name, used in measures.items()})
    assert len(ordered.names) == count
    ring = order({f"m{i}": {f"m{(i + 1) % count}"} for i in range(count)})
    assert [len(cycle) for cycle in ring.cycles] == [count]
    short = dict(list(measures.items())[:300]) | {"m300": 1}
    assert resolve(project(short), []).measures["m0"] == INCH


def test_doubling_measures_stay_cheap_and_end(project: Make) -> None:
    """Each measure the square of the last by way of plain numbers: refused, not expanded."""
    measures: dict[str, str] = {"m0": "3"}
    measures |= {f"m{i}": f"m{i - 1} * (m{i - 1} / 1 mm)" for i in range(1, 60)}
    found: list[Problem] = []
    resolve(project(measures), found)
    assert [problem.code for problem in found] == ["length-too-large"]


@given(st.dictionaries(st.sampled_from("abcdefgh"), st.sets(st.sampled_from("abcdefghxy"))))
def test_every_measure_is_ordered_or_behind_a_cycle(uses: dict[str, set[str]]) -> None:
    """An order never names a measure too early; whatever lacks one waits for a reported cycle."""
    result = order(uses)
    for index, name in enumerate(result.names):
        assert uses[name] & set(uses) <= set(result.names[:index])
    for cycle in result.cycles:
        assert len(set(cycle)) == len(cycle)
        for name, used in zip(cycle, [*cycle[1:], cycle[0]], strict=True):
            assert used in uses[name]
    on_cycles = {name for cycle in result.cycles for name in cycle}
    for name in set(uses) - set(result.names):
        reached: set[str] = {name}
        while not reached & on_cycles:
            more = reached | {used for one in reached for used in uses[one] if used in uses}
            assert more != reached
            reached = more

"""Path data against the SVG 2 specification's own examples and a general-purpose reader of SVG.

Examples: SVG 2 (W3C Candidate Recommendation, 4 October 2018), sections named beside each. Reader:
svgpathtools, whose y runs down; no number changes when both frames read the same numbers.
"""

from __future__ import annotations

import math
from fractions import Fraction
from pathlib import Path as FilePath

import pytest
import svgpathtools  # type: ignore[import-untyped]
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import MultiLineString

from booklet.flat.path import Path
from booklet.flat.path_data import Subpath, read_path
from booklet.flat.path_length import path_length
from booklet.flat.segment import as_point, at, path_of
from booklet.measure.resolve import Scope
from booklet.measure.units import UNITS
from booklet.problem import Place, Problem, Written
from booklet.stages import check_file

EXAMPLES = {
    "9.3.4 line commands": "M 100 100 L 300 100 L 200 300 z",
    "9.3.4 implicit lines": "M 100 100 L 200 200 300 100 -100 -200",
    "9.3.6 cubic curves": "M100,200 C100,100 250,100 250,200 S400,300 400,200",
    "9.3.7 quadratic curves": "M200,300 Q400,50 600,300 T1000,300",
    "9.3.8 arcs, first pie": "M300,200 h-150 a150,150 0 1,0 150,-150 z",
    "9.3.8 arcs, second pie": "M275,175 v-150 a150,150 0 0,0 -150,150 z",
    "9.3.8 arcs, turned": "M600,350 l 50,-25 a25,25 -30 0,1 50,-25 l 50,-25 "
    "a25,50 -30 0,1 50,-25 l 50,-25 a25,75 -30 0,1 50,-25 l 50,-25 a25,100 -30 0,1 50,-25 l 50,-25",
}
PLACE = Place("leaf.toml", 6, 11)


def read(text: str, units: str = "mm") -> tuple[Subpath, ...]:
    """The subpaths of text that must be read without an error."""
    found: list[Problem] = []
    subpaths = read_path(Written(text, PLACE), "outline", Scope(units, UNITS["mm"]), found, 2000)
    assert subpaths is not None, found
    assert not [problem for problem in found if problem.severity == "error"]
    return subpaths


def length(subpaths: tuple[Subpath, ...]) -> float:
    """The length of every segment, mm."""
    return sum(
        path_length(path_of(s.cubic, s.bend is None)) for sub in subpaths for s in sub.segments
    )


@pytest.mark.parametrize("section", EXAMPLES)
def test_examples_of_the_specification_are_as_long_as_the_reader_says(section: str) -> None:
    """Lengths agree to a hundred-thousandth (arcs are Béziers of an eighth of a turn)."""
    text = EXAMPLES[section]
    assert length(read(text)) == pytest.approx(svgpathtools.parse_path(text).length(), rel=1e-5)


@pytest.mark.parametrize("section", EXAMPLES)
def test_curves_lie_where_the_reader_puts_them(section: str) -> None:
    """Every point of either reading lies within 0.02 mm of the other."""
    text = EXAMPLES[section]
    theirs = MultiLineString(
        [
            [(p.real, p.imag) for p in (segment.point(k / 500) for k in range(501))]
            for segment in svgpathtools.parse_path(text)
        ]
    )
    mine = MultiLineString(
        [
            [at(segment.cubic, k / 500) for k in range(501)]
            for sub in read(text)
            for segment in sub.segments
        ]
    )
    assert mine.hausdorff_distance(theirs) < 0.02


@pytest.mark.parametrize(
    ("short", "long"),
    [
        # Section 9.3.1: superfluous space, repeated letters and zeros before a point may go.
        ("M 100 100 L 200 200", "M100 100L200 200"),
        ("M 100 200 L 200 100 L -100 -200", "M 100 200 L 200 100 -100 -200"),
        # Section 9.3.9: "M 100-200" and "M 0.6.5" are two numbers each.
        ("M 100-200 L 0 0", "M 100 -200 L 0 0"),
        ("M 0.6.5 L 3 4", "M 0.6 0.5 L 3 4"),
        # Same section: flags are single letters and need nothing between them.
        ("M 0 0 A 5 5 0 1110 0", "M 0 0 A 5 5 0 1 1 10 0"),
        ("M0 0a.25.25 0 10-.5 0z", "M 0 0 a 0.25 0.25 0 1 0 -0.5 0 z"),
        # Section 9.3.3: more pairs after a move are lines; a relative first move is absolute.
        ("m 1 1 2 0 0 2", "M 1 1 l 2 0 l 0 2"),
        # Section 9.3.3.2 (closing): the next subpath starts at the same point.
        ("M 1 1 h 2 v 2 z h -3", "M 1 1 h 2 v 2 z M 1 1 h -3"),
        ("M 0 0 L 1e1 1E-1", "M 0 0 L 10 0.1"),
    ],
)
def test_two_ways_of_writing_one_path(short: str, long: str) -> None:
    """The same points, exactly."""

    def points(text: str) -> list[object]:
        return [(s.start, s.end, s.bend) for sub in read(text) for s in sub.segments]

    assert points(short) == points(long)


numbers = st.integers(-40, 40).map(lambda n: n / 4)
COMMANDS = "LHVCSQTlhvcsqtAa"
COUNTS = {"l": 2, "h": 1, "v": 1, "c": 6, "s": 4, "q": 4, "t": 2}


@st.composite
def paths(draw: st.DrawFn) -> str:
    """Random path data with every command, both cases."""
    text = "M 0 0"
    for _ in range(draw(st.integers(1, 6))):
        letter = draw(st.sampled_from(COMMANDS))
        if letter in "Aa":
            radii = draw(st.tuples(st.integers(1, 30), st.integers(1, 30), st.integers(0, 90)))
            flags = draw(st.tuples(st.integers(0, 1), st.integers(0, 1)))
            values = [*radii, *flags, draw(numbers), draw(numbers)]
        else:
            values = [draw(numbers) for _ in range(COUNTS[letter.lower()])]
        text += f" {letter} " + " ".join(str(value) for value in values)
    return text


@given(paths())
def test_random_paths_end_where_the_reader_ends_and_are_as_long(text: str) -> None:
    """Relative commands, mirrored controls and enlarged arcs alike."""
    try:
        theirs = svgpathtools.parse_path(text)
        expected = theirs.length(error=1e-7)
    except (AssertionError, ValueError, ZeroDivisionError):
        return  # the reader refuses arcs and curves without length
    mine = read_path(Written(text, PLACE), "cut", Scope("mm", UNITS["mm"]), [], 2000)
    assert mine is not None
    if not mine:
        assert expected == pytest.approx(0, abs=1e-6)
        return
    end = theirs[-1].end
    assert as_point(mine[-1].segments[-1].end) == pytest.approx((end.real, end.imag), abs=1e-6)
    assert length(mine) == pytest.approx(expected, rel=1e-4, abs=1e-3)


@pytest.mark.parametrize("radius", [10.0, 100.0, 500.0])
def test_an_arc_is_as_long_and_as_round_as_its_circle(radius: float) -> None:
    """Half a circle: pi r long, every point within 0.02 mm of it (closed formulas)."""
    subpaths = read(f"M {-radius} 0 A {radius} {radius} 0 0 1 {radius} 0")
    assert length(subpaths) == pytest.approx(math.pi * radius, rel=1e-5)
    for sub in subpaths:
        for segment in sub.segments:
            for k in range(33):
                assert math.hypot(*at(segment.cubic, k / 32)) == pytest.approx(radius, abs=0.02)


def test_y_runs_up_so_sweep_1_turns_counter_clockwise() -> None:
    """From (-1, 0) to (1, 0) the arc of sweep 1 passes below (SVG's turn, the project's frame)."""
    for sub in read("M -1 0 A 1 1 0 0 1 1 0"):
        assert min(at(segment.cubic, 0.5)[1] for segment in sub.segments) < -0.3


def test_formulas_are_exact_and_bare_numbers_take_the_unit() -> None:
    """A third of an inch stays a third; the piece's unit holds inside formulas too."""
    scope = Scope("in", UNITS["mm"], {"wide": 4 * UNITS["in"]})
    path = Written("M 0 0 H {wide / 3} v {1 mm} l -{", PLACE)
    assert read_path(path, "cut", scope, [], 100) is None
    path = Written("M 0 0 H {wide / 3} v {1 mm} h {0 - 1/4}", PLACE)
    subpaths = read_path(path, "cut", scope, [], 100)
    assert subpaths is not None
    ends = [segment.end for segment in subpaths[0].segments]
    third = 4 * UNITS["in"] / 3
    zero, one = Fraction(0), Fraction(1)
    assert ends == [(third, zero), (third, one), (third - UNITS["in"] / 4, one)]


def test_straight_paths_have_their_straight_length() -> None:
    """3-4-5."""
    assert path_length(Path((("M", (0, 0)), ("L", (3, 4)), ("Z",)))) == 10.0


def test_a_fault_is_blamed_on_its_character(tmp_path: FilePath) -> None:
    """In one line and over several, in both kinds of quotes."""
    cases = {
        'outline = "M 0 0 H 4 X 2 Z"': (6, 11 + len('"M 0 0 H 4 ')),
        "outline = 'M 0 0 H 4 V {wi} Z'": (6, 11 + len("'M 0 0 H 4 V {")),
        'outline = """\nM 0 0\n  H 4 X"""': (8, 7),
        'outline = """M 0 0\n  H 4 X"""': (7, 7),
        'outline = """M 0 0 X\n  H 4 """': (6, 11 + len('"""M 0 0 ')),
    }
    for text, (line, column) in cases.items():
        file = tmp_path / "leaf.toml"
        file.write_text(
            f'[project]\ntitle = "Leaf"\n\n[[piece]]\nid = "leaf"\n{text}\n[piece.panels]\n'
            "leaf = [1, 1]\n"
        )
        _, problems = check_file(file)
        error = next(problem for problem in problems if problem.severity == "error")
        assert error.place is not None
        assert (error.place.line, error.place.column) == (line, column), (text, error)

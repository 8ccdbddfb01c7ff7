"""Laws that hold for all formulas: exactness, dimensions, twins in two units."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import assume, given
from hypothesis import strategies as st

from booklet.measure.bounds import FormulaError
from booklet.measure.evaluate import Names, evaluate
from booklet.measure.formula import parse
from booklet.measure.functions import Scale
from booklet.measure.length import Quantity
from booklet.measure.ruler import nearest_mark, on_ruler
from booklet.measure.units import INCH

_SCALE = Scale(INCH, INCH / 16)
_KNOWN = {"wide": INCH * 27 / 8, "deep": INCH * 5 / 8}

# Each tree is a pair of formulas: the second says the same in millimetres.
_PLAIN = st.integers(1, 99).map(lambda n: (str(n), str(n)))
_LENGTHS = st.one_of(
    st.sampled_from([("wide", "wide"), ("deep", "deep")]),
    st.integers(1, 640).map(lambda n: (f"{n}/64 in", f"({n} * 25.4 / 64) mm")),
    st.integers(1, 640).map(lambda n: (f"({n} / 4) in", f"{n} / 4 * 2.54 cm")),
)


def _sums(inner: st.SearchStrategy[tuple[str, str]]) -> st.SearchStrategy[tuple[str, str]]:
    def join(args: tuple[str, tuple[str, str], tuple[str, str]]) -> tuple[str, str]:
        form, left, right = args
        return form.format(left[0], right[0]), form.format(left[1], right[1])

    pairs = st.sampled_from(["({} + {})", "({} - {})", "min({}, {})", "max({}, {})"])
    singles = st.sampled_from(["({0} * 3)", "(1/2 * {0})", "nearest({0})", "(-{0})"])
    return st.tuples(st.one_of(pairs, singles), inner, inner).map(join)


_FORMULAS = st.recursive(_LENGTHS, _sums, max_leaves=6)


def _value(text: str) -> Quantity:
    return evaluate(parse(text), Names(_KNOWN), _SCALE)


@given(_FORMULAS)
def test_inch_and_metric_twins_have_one_value(twins: tuple[str, str]) -> None:
    """The same formula in inches and in millimetres gives the same exact length."""
    assume(max(map(len, twins)) <= 400)
    inch, metric = (_value(text) for text in twins)
    assert inch.dimension == 1
    assert inch == metric


@given(_FORMULAS, _FORMULAS)
def test_dimensions_add_up(left: tuple[str, str], right: tuple[str, str]) -> None:
    """A product of lengths is an area, a quotient a plain number, and a root comes back."""
    one, two = left[0], right[0]
    assume(max(map(len, (one, two))) < 180)
    product = _value(f"({one}) * ({two})")
    assert product.dimension == 2
    assert product.value == _value(one).value * _value(two).value
    square = _value(f"sqrt(({one}) * ({one}))")
    assert (square.dimension, square.value) == (1, abs(_value(one).value))
    if _value(two).value:
        assert _value(f"({one}) / ({two})").dimension == 0


@given(_FORMULAS, _PLAIN)
def test_a_number_beside_a_length_is_in_project_units(
    length: tuple[str, str], number: tuple[str, str]
) -> None:
    """length + n is length + n in, on either side."""
    assume(len(length[0]) < 380)
    wanted = _value(length[0]).value + int(number[0]) * INCH
    assert _value(f"{length[0]} + {number[0]}").value == wanted
    assert _value(f"{number[0]} + {length[0]}").value == wanted


@given(st.integers(0, 200), st.integers(0, 63), st.sampled_from([2, 4, 8, 16, 32, 64, 3, 10]))
def test_mixed_fractions_are_exact(whole: int, top: int, low: int) -> None:
    """All ways of writing a mixed fraction give one value."""
    assume(top < low)
    for form in ("{} {}/{}", "{}-{}/{}", "{} + {}/{}", "{} {}⁄{}", "({}+({}/{}))"):
        assert _value(form.format(whole, top, low)).value == whole + Fraction(top, low)


@given(st.fractions(-500, 500, max_denominator=1000), st.sampled_from([1, 2, 8, 16, 64]))
def test_marks_lie_on_the_ruler(mm: Fraction, parts: int) -> None:
    """up and down give the marks round a length, nearest one of the two."""
    scale = Scale(INCH, INCH / parts)

    def value(name: str) -> Fraction:
        return evaluate(parse(f"{name}(x)"), Names({"x": mm}), scale).value

    low, near, high = value("down"), value("nearest"), value("up")
    assert all(on_ruler(mark, scale.ruler) for mark in (low, near, high))
    assert low - Fraction(1, 10**6) <= mm <= high + Fraction(1, 10**6)
    assert near in (low, high)
    assert abs(near - mm) <= scale.ruler / 2
    assert on_ruler(mm, scale.ruler) == (low == high)


@given(st.floats(0, 5000))
def test_a_float_on_a_mark_is_on_the_ruler(mm: float) -> None:
    """The noise of floats does not push a length off its mark."""
    mark = nearest_mark(mm, INCH / 16)
    assert on_ruler(float(mark), INCH / 16)
    assert on_ruler(float(mark) + 1e-9, INCH / 16)


@given(st.fractions(0, 10**6, max_denominator=10**6))
def test_a_root_squares_back(value: Fraction) -> None:
    """sqrt is exact for squares, else within float accuracy, and says which."""
    root = evaluate(parse("sqrt(x * x)"), Names({"x": value}), _SCALE)
    assert (root.value, root.exact) == (value, True)
    rough = evaluate(parse("sqrt(x / 1 mm)"), Names({"x": value}), _SCALE)
    assert abs(rough.value**2 - value) <= Fraction(1, 10**5)


@given(st.integers(-720, 720))
def test_sine_and_cosine_lie_on_the_unit_circle(angle: int) -> None:
    """Degrees, any turn."""
    sine, cosine = (_value(f"{name}({angle})").value for name in ("sin", "cos"))
    assert abs(sine**2 + cosine**2 - 1) < Fraction(1, 10**8)
    assert _value(f"sin({angle} + 360)").value == sine


@given(st.integers(-89, 89))
def test_atan_undoes_tan(angle: int) -> None:
    """An angle comes back from its tangent."""
    assert abs(_value(f"atan(tan({angle}))").value - angle) < Fraction(1, 10**6)


@given(st.recursive(_PLAIN | _LENGTHS, _sums, max_leaves=8), st.sampled_from("+-*/"))
def test_areas_never_meet_lengths_in_a_sum(twins: tuple[str, str], sign: str) -> None:
    """Whatever is added to an area must be one."""
    assume(len(twins[0]) < 380)
    try:
        result = _value(f"wide * deep {sign} {twins[0]}")
    except FormulaError as error:
        assert error.code in ("dimension-mismatch", "division-by-zero")
    else:
        assert sign in "*/"
        assert result.dimension in (1, 2, 3)

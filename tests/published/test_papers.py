"""Sheet sizes, basis weights and standard contents against published figures.

Each row names its source. "From memory" and "common practice, no source" say so.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from booklet.flat.standard import standard_size
from booklet.stock.papers import grades, sheets
from booklet.stock.weight import grammage

INCH = Fraction(127, 5)  # 25.4 mm exactly: NBS Circular 572, addendum 1960


@pytest.mark.parametrize(
    ("name", "wide", "tall"),
    [
        ("a3", 297, 420),  # ISO 216
        ("a4", 210, 297),  # ISO 216
        ("a5", 148, 210),  # ISO 216
        ("a6", 105, 148),  # ISO 216
        ("a2", 420, 594),  # ISO 216, from memory
        ("b4", 250, 353),  # ISO 216, from memory
        ("letter", "8.5 in", "11 in"),  # ANSI/ASME Y14.1, size A
        ("tabloid", "11 in", "17 in"),  # ANSI/ASME Y14.1, size B
        ("legal", "8.5 in", "14 in"),  # trade table of US paper sizes
        ("12x12", "12 in", "12 in"),  # common practice, no source
    ],
)
def test_named_sheets_have_their_published_sides(
    name: str, wide: int | str, tall: int | str
) -> None:
    """Sides are exact: millimetres as the standard states them, inches at 25.4 mm."""
    assert sheets()[name].size == (exact(wide), exact(tall))


def exact(side: int | str) -> Fraction:
    """A side in mm from an int (mm) or from text with "in" or "mm" behind."""
    if isinstance(side, int):
        return Fraction(side)
    number, unit = side.split()
    return Fraction(number) * (INCH if unit == "in" else 1)


# Factors g/m² per lb: graphic-arts dictionary, entry Grammage (bond, text, cover, tag);
# printer paper guide (index 1.81, bristol 2.19). All rounded as printed there.
@pytest.mark.parametrize(
    ("grade", "factor", "decimals"),
    [
        ("bond", "3.760", 3),
        ("text", "1.480", 3),
        ("cover", "2.704", 3),
        ("tag", "1.627", 3),
        ("index", "1.81", 2),
        ("bristol", "2.19", 2),
    ],
)
def test_the_factor_of_a_grade_is_the_published_one(grade: str, factor: str, decimals: int) -> None:
    """The exact factor agrees with the printed one to within a unit of its last digit."""
    ours = grammage(f"1 lb {grade}")
    assert ours is not None
    assert abs(ours - Fraction(factor)) < Fraction(1, 10**decimals)


# Laser-printer user guide, table of weights: whole g/m², taken as within 1.
@pytest.mark.parametrize(
    ("text", "gsm"),
    [
        ("65 lb cover", 176),
        ("80 lb cover", 216),
        ("100 lb cover", 271),
        ("110 lb index", 199),
        ("20 lb bond", 75),
    ],
)
def test_common_weights_agree_with_a_printed_table(text: str, gsm: int) -> None:
    """Within 1 g/m² of a table that rounds to whole grams."""
    ours = grammage(text)
    assert ours is not None
    assert abs(ours - gsm) <= 1


# Government Paper Specification Standards: JCP L40 (cover) and JCP K10 (index), ±5 %.
@pytest.mark.parametrize(
    ("text", "gsm"),
    [
        ("65 lb cover", 175),
        ("80 lb cover", 215),
        ("90 lb index", 165),
        ("110 lb index", 200),
        ("140 lb index", 255),
        ("170 lb index", 305),
    ],
)
def test_common_weights_agree_with_government_specifications(text: str, gsm: int) -> None:
    """Within the specification's own 5 %."""
    ours = grammage(text)
    assert ours is not None
    assert abs(ours - gsm) <= Fraction(5, 100) * gsm


def test_the_constant_is_exact_and_not_the_rounded_trade_figure() -> None:
    """1406.1392 from 453.59237 g and 25.4 mm (definitions of 1959), not the trade's 1406.5."""
    cover = grammage("1 lb cover")
    assert cover is not None
    assert abs(cover * 20 * 26 - Fraction("1406.1392")) < Fraction(1, 10000)


def test_the_same_pounds_differ_by_grade() -> None:
    """110 lb index is about 199 g/m², 110 lb cover about 297 (trade tables): never one weight."""
    index, cover = grammage("110 lb index"), grammage("110 lb cover")
    assert index is not None and cover is not None
    assert (round(index), round(cover)) == (199, 297)


def test_both_basis_sheets_of_bristol_are_told_apart() -> None:
    """22.5 x 28.5 in (printer paper guide) and 22.5 x 30.5 in (paper trade formulas, 686 sq in)."""
    table = grades()
    assert table["bristol"].basis == (Fraction("22.5"), Fraction("28.5"))
    assert round(table["vellum bristol"].basis[0] * table["vellum bristol"].basis[1]) == 686


@pytest.mark.parametrize(
    ("name", "wide", "tall", "deep"),
    [
        ("id-1", "85.60 mm", "53.98 mm", "0.76 mm"),  # ISO/IEC 7810
        ("id-2", "105 mm", "74 mm", None),  # ISO/IEC 7810
        ("id-3", "125 mm", "88 mm", None),  # ISO/IEC 7810
        ("us-note", "6.14 in", "2.61 in", "0.0043 in"),  # table of US currency
        ("euro-5", "120 mm", "62 mm", None),  # Decision (EU) 2019/669 Art. 1
        ("euro-10", "127 mm", "67 mm", None),  # Decision (EU) 2019/669 Art. 1
        ("euro-20", "133 mm", "72 mm", None),  # Decision (EU) 2019/669 Art. 1
        ("euro-50", "140 mm", "77 mm", None),  # Decision (EU) 2019/669 Art. 1
        ("euro-100", "147 mm", "77 mm", None),  # Decision (EU) 2019/669 Art. 1, 2nd series
        ("euro-200", "153 mm", "77 mm", None),  # Decision (EU) 2019/669 Art. 1, 2nd series
        ("euro-100-2002", "147 mm", "82 mm", None),  # Decision (EU) 2019/669 Art. 1, 1st series
        ("gbp-5", "125 mm", "65 mm", None),  # guide restating the Bank of England
        ("gbp-10", "132 mm", "69 mm", None),  # guide restating the Bank of England
        ("gbp-20", "139 mm", "73 mm", None),  # guide restating the Bank of England
        ("gbp-50", "146 mm", "77 mm", None),  # news report, June 2021
        ("cd", "120 mm", "120 mm", "1.3 mm"),  # IEC 60908 summary: 1.2 mm, +0.3/-0.1
        ("dl", "220 mm", "110 mm", None),  # ISO 269 list
        ("c6", "162 mm", "114 mm", None),  # DIN 476-2:1991 list
        ("no-10", "9.5 in", "4.125 in", None),  # US trade size
        ("aa", "14.5 mm", "50.5 mm", "14.5 mm"),  # Handbook of Batteries, Table 4.9a
        ("aaa", "10.5 mm", "44.5 mm", "10.5 mm"),  # Handbook of Batteries, Table 4.9a
        ("lr44", "11.6 mm", "11.6 mm", "5.4 mm"),  # Handbook of Batteries, Table 4.9a
        ("cr2032", "20 mm", "20 mm", "3.2 mm"),  # IEC 60086-3, from memory
        ("playing-card", "2.5 in", "3.5 in", None),  # reference article on playing-card sizes
        ("bridge-card", "2.25 in", "3.5 in", None),  # reference article on playing-card sizes
        ("business-card-us", "3.5 in", "2 in", None),  # list by country
        ("business-card-eu", "85 mm", "55 mm", None),  # list by country
        ("business-card-jp", "91 mm", "55 mm", None),  # list by country
        ("tealight", "38 mm", "16 mm", "38 mm"),  # reference article, about
    ],
)
def test_standard_contents_have_their_published_size(
    name: str, wide: str, tall: str, deep: str | None
) -> None:
    """Exact as stated; where the source has no thickness, only the face is compared."""
    size = standard_size(name)
    assert size is not None
    assert size[:2] == (exact(wide), exact(tall))
    assert deep is None or size[2] == exact(deep)


def test_the_card_is_the_metric_one_and_not_three_and_three_eighths_inches() -> None:
    """ISO/IEC 7810 states 85.60 mm; 3 3/8 in would be 85.725 mm."""
    size = standard_size("id-1")
    assert size is not None
    assert size[0] == Fraction("85.60") != Fraction(27, 8) * INCH

"""How much of each supply a project takes, computed from its patterns or as given."""

from __future__ import annotations

from pathlib import Path

import pytest

from booklet.flat.build import build_pattern
from booklet.flat.reference import mat_layers, with_joins
from booklet.measure.resolve import resolve
from booklet.problem import Problem
from booklet.read.toml_file import read_project
from booklet.stock.batch import Batch
from booklet.stock.supply import SupplyLine, supply_list

BOX = """
[project]
title = "Box"
units = "mm"

[measures]
wide = 80

[[stock]]
id = "card"
sheet = "a4"

[[piece]]
id = "body"
stock = "card"
count = {count}
columns = [{tab}, "wide", {tab}]
rows = [60]
map = ["tab_l back tab_r"]

[[piece.join]]
tab = "tab_l"
to = "back"
{with_left}

[[piece.join]]
tab = "tab_r"
to = "back"

[[mat]]
id = "front_mat"
on = "back"
stock = "card"
reveal = 5

[[closure]]
kind = "{closure}"
on = "tab_l"
meets = "back"
"""

TAPE = '[[supply]]\nid = "tape"\nname = "Double-sided tape"\nkind = "adhesive"\n'
GLUE = '[[supply]]\nid = "glue"\nname = "White glue"\nkind = "adhesive"\n'
HOOKS = (
    '[[supply]]\nid = "hooks"\nname = "Hook-and-loop dots"\nkind = "adhesive"\namount = "auto"\n'
)

MAT = 2 * (70 + 50)
"""Once round the mat, in mm: the panel of 80 x 60 less 5 on every side."""


def amount(line: SupplyLine) -> str:
    """The amount with its unit as one text."""
    return f"{line.amount} {line.unit}".strip()


def listed(
    tmp_path: Path,
    supplies: str,
    *,
    tab: int = 10,
    count: int = 1,
    with_left: str = "",
    closure: str = "tuck",
    made: int = 1,
    batch: Batch | None = None,
    broken: bool = False,
) -> tuple[dict[str, SupplyLine], list[Problem]]:
    """The lines by id, and the problems of the supplies alone."""
    path = tmp_path / "box.toml"
    text = BOX.format(tab=tab, count=count, with_left=with_left, closure=closure)
    path.write_text(text + supplies, "utf-8")
    found: list[Problem] = []
    project = read_project(path, found)
    assert project is not None
    scope = resolve(project, found)
    built = [build_pattern(piece, scope, found) for piece in project.pieces]
    patterns = with_joins([p for p in built if p is not None], project.pieces, found)
    mats = mat_layers(project.mats, patterns, scope, found)
    assert found == []
    if broken:
        patterns = ()
    lines = supply_list(project, patterns, mats, scope, found, batch or Batch(made, made))
    return {line.id: line for line in lines}, found


def test_tape_runs_along_every_tab_and_round_every_mat(tmp_path: Path) -> None:
    """Two tabs of 60 mm and one mat; the amount is exact and says what it is for."""
    lines, found = listed(tmp_path, TAPE)
    assert lines["tape"].amount == 2 * 60 + MAT
    assert lines["tape"].unit == "mm"
    assert lines["tape"].computed
    assert lines["tape"].note == "along 2 tabs and round 1 mat"
    assert lines["tape"].to_buy is None
    assert found == []


@pytest.mark.parametrize(("tab", "strips"), [(25, 1), (26, 2)])
def test_a_wide_tab_takes_two_strips(tmp_path: Path, tab: int, strips: int) -> None:
    """Up to 25 mm one strip, above it one along each long side."""
    lines, _ = listed(tmp_path, TAPE, tab=tab)
    assert lines["tape"].amount == 2 * 60 * strips + MAT


def test_all_copies_of_a_piece_are_counted(tmp_path: Path) -> None:
    """Three bodies take three times the tape, mats included."""
    lines, _ = listed(tmp_path, TAPE, count=3)
    assert lines["tape"].amount == 3 * (2 * 60 + MAT)
    assert lines["tape"].note == "along 6 tabs and round 3 mats"


def test_a_join_takes_the_supply_that_it_names(tmp_path: Path) -> None:
    """One tab takes glue as it says; the other and the mat take the first tape of the list."""
    lines, found = listed(tmp_path, GLUE + TAPE, with_left='with = "glue"')
    assert lines["glue"].amount == 60
    assert lines["tape"].amount == 60 + MAT
    assert found == []


def test_without_tape_the_first_adhesive_does_all(tmp_path: Path) -> None:
    """Glue is reckoned as the length of its bead."""
    lines, _ = listed(tmp_path, HOOKS + GLUE, closure="hook_and_loop")
    assert lines["glue"].amount == 2 * 60 + MAT


@pytest.mark.parametrize("with_it", [False, True])
def test_closing_dots_are_counted_in_pairs(tmp_path: Path, with_it: bool) -> None:
    """A closure takes one pair for each copy, whether it names the supply or the words tell it."""
    named = 'hook_and_loop"\nwith = "hooks' if with_it else "hook_and_loop"
    lines, found = listed(tmp_path, TAPE + HOOKS, closure=named, count=2)
    assert amount(lines["hooks"]) == "2 pairs"
    assert lines["hooks"].computed
    assert found == []


def test_ribbon_that_nothing_tells_the_length_of_stays_open(tmp_path: Path) -> None:
    """No amount is guessed: the line stays, a note says to give one."""
    ribbon = '[[supply]]\nid = "ribbon"\nkind = "trimming"\namount = "auto"\n'
    lines, found = listed(tmp_path, ribbon, closure="ribbon")
    assert lines["ribbon"].amount is None
    assert not lines["ribbon"].computed
    (problem,) = found
    assert problem.code == "amount-not-known"
    assert problem.severity == "note"
    assert "ribbon" in problem.message
    assert "Give an amount" in problem.help
    assert problem.place is not None and problem.place.line > 30


def test_an_incomplete_pattern_gives_no_amount_rather_than_too_little(tmp_path: Path) -> None:
    """Where a piece is missing, nothing is computed, and nothing more is complained of."""
    lines, found = listed(tmp_path, TAPE, broken=True)
    assert lines["tape"].amount is None
    assert lines["tape"].to_buy is None
    assert found == []


def test_an_amount_as_given_is_taken_with_its_unit(tmp_path: Path) -> None:
    """Numbers with units, text with units, and lengths by formula."""
    supplies = """
[[supply]]
id = "dots"
kind = "other"
amount = 3
unit = "pairs"

[[supply]]
id = "ribbon"
kind = "trimming"
amount = "1 1/2 yd"

[[supply]]
id = "cord"
kind = "trimming"
amount = "2 * wide"

[[supply]]
id = "ruler"
kind = "tool"
"""
    lines, found = listed(tmp_path, supplies)
    assert amount(lines["dots"]) == "3 pairs"
    assert amount(lines["ribbon"]) == "3/2 yd"
    assert amount(lines["cord"]) == "160 mm"
    assert amount(lines["ruler"]) == "1"
    assert {line.id: line.to_buy for line in lines.values()} == {
        "dots": 3, "ribbon": None, "cord": None, "ruler": 1,
    }  # fmt: skip
    assert not any(line.computed for line in lines.values())
    assert found == []


@pytest.mark.parametrize(
    ("given", "unit", "holds", "made", "to_buy"),
    [
        ("3", "pairs", '"24 pairs"', 1, 1),
        ("3", "pairs", '"24 pairs"', 8, 1),
        ("3", "pairs", '"24 pairs"', 9, 2),
        ("1", "pair", '"24 pairs"', 25, 2),
        ("3", "pairs", "24", 9, 2),
        ('"1 yd"', "", '"36 in"', 1, 1),
        ('"1 yd"', "", '"35.99 in"', 1, 2),
        ('"12 in"', "", '"27 yd"', 81, 1),
        ('"12 in"', "", '"27 yd"', 82, 2),
        ('"12 in"', "", '"10 feet"', 11, 2),
        ('"50 cm"', "", '"5 m"', 10, 1),
        ("0", "pairs", "24", 9, 0),
    ],
)
def test_purchases_are_rounded_up_over_all_that_are_made(
    tmp_path: Path, given: str, unit: str, holds: str, made: int, to_buy: int
) -> None:
    """Exactly full is one purchase, a hair over is two; the unit may differ if it is a length."""
    of = f'unit = "{unit}"\n' if unit else ""
    supply = f'[[supply]]\nid = "it"\nkind = "other"\namount = {given}\nholds = {holds}\n{of}'
    lines, found = listed(tmp_path, supply, made=made)
    assert lines["it"].to_buy == to_buy
    assert found == []


def test_a_computed_length_is_bought_by_the_roll(tmp_path: Path) -> None:
    """360 mm a project: a roll of 1 m is enough for two, not for three."""
    roll = TAPE + 'holds = "1 m"\n'
    assert listed(tmp_path, roll, made=2)[0]["tape"].to_buy == 1
    assert listed(tmp_path, roll, made=3)[0]["tape"].to_buy == 2
    bare = TAPE + "holds = 500\n"  # a bare number takes the project's unit
    assert listed(tmp_path, bare, made=2)[0]["tape"].to_buy == 2


@pytest.mark.parametrize(
    ("line", "code"),
    [
        ('amount = "heavy"', "amount-unreadable"),
        ('amount = "-3 pairs"', "amount-unreadable"),
        ('amount = "wide * wide"', "amount-unreadable"),
        ('amount = 3\nholds = "lots"', "holds-unreadable"),
        ('amount = 3\nholds = "0 pairs"', "holds-unreadable"),
        ("amount = 3\nholds = 0", "holds-unreadable"),
        ('amount = "3 pairs"\nholds = "27 yd"', "holds-other-unit"),
        ('amount = "3 pairs"\nholds = "24 packets"', "holds-other-unit"),
        ('amount = 3\nholds = "27 yd"', "holds-other-unit"),
    ],
)
def test_what_cannot_be_read_or_compared_is_said(tmp_path: Path, line: str, code: str) -> None:
    """The offending value stands in the message, and nothing is bought blindly."""
    lines, found = listed(tmp_path, f'[[supply]]\nid = "it"\nkind = "other"\n{line}\n')
    (problem,) = found
    assert problem.code == code
    assert problem.help
    assert problem.place is not None
    value = line.rsplit("= ", 1)[1].strip('"')
    assert value in problem.message
    assert lines["it"].to_buy is None


@pytest.mark.parametrize(
    ("makers", "spare", "share", "needed"),
    [(1, 0, "", 1), (4, 0, "", 1), (5, 0, "", 2), (12, 4, "", 3), (12, 4, "share = 1", 12)],
)
def test_tools_are_shared_by_the_makers(
    tmp_path: Path, makers: int, spare: int, share: str, needed: int
) -> None:
    """Four share one unless the file says otherwise; spare kits need none, and use none up."""
    supplies = f'[[supply]]\nid = "knife"\nkind = "tool"\n{share}\n'
    lines, _ = listed(tmp_path, supplies, batch=Batch(makers, makers + spare))
    knife = lines["knife"]
    assert (knife.amount, knife.total, knife.to_buy, knife.used) == (1, needed, needed, 0)


def test_what_a_class_takes_counts_spare_kits(tmp_path: Path) -> None:
    """12 makers and 2 spare kits: 14 times the dots, 3 packs of 10."""
    supplies = '[[supply]]\nid = "dots"\nkind = "other"\namount = 2\nholds = 10\n'
    lines, _ = listed(tmp_path, supplies, batch=Batch(12, 14))
    assert (lines["dots"].total, lines["dots"].to_buy) == (28, 3)
    assert lines["dots"].share is None


def test_a_roll_for_each_table_may_be_more_than_the_length(tmp_path: Path) -> None:
    """14 times 360 mm are one roll of 10 m, but 12 makers with one roll for 4 need three."""
    roll = TAPE + 'holds = "10 m"\nshare = 4\n'
    lines, _ = listed(tmp_path, roll, batch=Batch(12, 14))
    assert lines["tape"].to_buy == 3
    long = TAPE + 'holds = "1 m"\nshare = 4\n'
    assert listed(tmp_path, long, batch=Batch(12, 14))[0]["tape"].to_buy == 6


def test_what_is_poured_is_not_bought_singly(tmp_path: Path) -> None:
    """20 ml of glue are not 20 purchases."""
    supplies = '[[supply]]\nid = "glue"\nkind = "adhesive"\namount = 20\nunit = "ml"\n'
    assert listed(tmp_path, supplies)[0]["glue"].to_buy is None


def test_what_is_shared_and_bought_singly_is_taken_by_each_group(tmp_path: Path) -> None:
    """One glue stick for 4 of 24 makers: 6 are bought, as the teacher's page says, not 26."""
    supplies = '[[supply]]\nid = "glue"\nkind = "adhesive"\namount = 1\nshare = 4\n'
    lines, _ = listed(tmp_path, supplies, batch=Batch(24, 26))
    glue = lines["glue"]
    assert (glue.total, glue.to_buy, glue.used, glue.grouped) == (6, 6, 0.25, True)

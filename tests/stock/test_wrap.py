"""Ribbons, cords, bands and fasteners: how much goes round a finished piece or closes it."""

from __future__ import annotations

import time
from fractions import Fraction
from pathlib import Path

import pytest

from booklet.problem import Problem
from booklet.stages import check_file
from booklet.stock.batch import batch_of
from booklet.stock.supply import SupplyLine, supply_list
from booklet.stock.wrap import ALLOWANCE, BETWEEN
from tests.folding import flat_project, proved

BOX = """
[project]
title = "Box"
units = "mm"

[measures]
wide = 90
tall = 60
deep = 20

[[piece]]
id = "box"
count = {count}
columns = ["deep", "wide", "deep"]
rows = ["tall", "deep", "tall", "deep"]
map = [
  ".      lid   .      ",
  ".      top   .      ",
  "side_l back  side_r ",
  ".      base  .      ",
]
root = "back"

[[closure]]
kind = "{kind}"
on = "{on}"
{more}

[[supply]]
id = "{supply}"
kind = "trimming"
amount = "auto"
holds = "10 m"
"""
"""Closed, the box is 90 wide, 60 tall and 20 deep; the lid hangs on the top by a level score."""

ROUND_UPRIGHT = 2 * (60 + 20)
"""Over the lid's free edge and under the base."""
ROUND_LEVEL = 2 * (90 + 20)
"""Along the sides."""


def listed(
    tmp_path: Path,
    kind: str,
    on: str = "lid",
    supply: str = "ribbon",
    more: str = "",
    count: int = 1,
) -> tuple[SupplyLine, list[Problem]]:
    """The line of the supply, and all problems but notes."""
    path = tmp_path / "box.toml"
    path.write_text(
        BOX.format(kind=kind, on=on, supply=supply, more=more, count=count), encoding="utf-8"
    )
    model, problems = check_file(path)
    assert model is not None
    return model.supplies[0], [p for p in problems if p.severity != "note"]


def test_a_ribbon_goes_over_the_free_edge_of_its_panel_with_a_bow(tmp_path: Path) -> None:
    """The girth is that of the closed box by hand: twice tall and deep."""
    line, found = listed(tmp_path, "ribbon")
    assert line.amount == ROUND_UPRIGHT + ALLOWANCE["ribbon"]
    assert (line.unit, line.computed) == ("mm", True)
    assert line.note == "once round, with a bow"
    assert found == []


@pytest.mark.parametrize(
    ("on", "more", "round_it"),
    [
        ("side_l", "", ROUND_LEVEL),
        ("back", "", ROUND_LEVEL),
        ("back", 'meets = "lid"', ROUND_UPRIGHT),
    ],
)
def test_the_way_round_follows_the_hinge(tmp_path: Path, on: str, more: str, round_it: int) -> None:
    """Across the hinge of the panel, else of the one that it meets, else the longer way."""
    line, _ = listed(tmp_path, "ribbon", on, more=more)
    assert line.amount == round_it + ALLOWANCE["ribbon"]


@pytest.mark.parametrize(("kind", "supply"), [("tie", "twine"), ("belly_band", "band")])
def test_ties_and_bands_have_their_own_allowance(tmp_path: Path, kind: str, supply: str) -> None:
    """A knot, an overlap; all copies of the piece are counted."""
    line, _ = listed(tmp_path, kind, supply=supply, count=3)
    assert line.amount == 3 * (ROUND_UPRIGHT + ALLOWANCE[kind])


def test_a_flat_piece_is_wrapped_there_and_back(tmp_path: Path) -> None:
    """A loop round a card without thickness is twice its width."""
    path = tmp_path / "card.toml"
    path.write_text(
        '[project]\ntitle = "Card"\nunits = "mm"\n[[piece]]\nid = "card"\ncolumns = [70, 70]\n'
        'rows = [100]\nmap = ["cover back"]\nroot = "back"\n[piece.folds]\ncover = 180\n'
        '[[closure]]\nkind = "ribbon"\non = "cover"\n'
        '[[supply]]\nid = "ribbon"\nkind = "trimming"\namount = "auto"\n',
        encoding="utf-8",
    )
    model, _ = check_file(path)
    assert model is not None
    assert model.supplies[0].amount == 2 * 70 + ALLOWANCE["ribbon"]


def test_brads_are_counted_by_the_panel(tmp_path: Path) -> None:
    """One on each of the two panels of every copy; the pack holds by the piece."""
    more = 'meets = "back"\nwith = "brads"'
    line, _ = listed(tmp_path, "tie", supply="brads", more=more, count=2)
    assert (line.amount, line.unit) == (4, "")


STRING = '[[supply]]\nid = "twine"\nkind = "trimming"\namount = "auto"\n'
"""A second supply behind the buttons."""


@pytest.mark.parametrize("named", ["", 'with = "buttons"', 'with = "twine"'])
def test_two_buttons_take_string_between_them(tmp_path: Path, named: str) -> None:
    """A button on each panel of both copies; `with` names either supply, or none."""
    path = tmp_path / "box.toml"
    more = f'meets = "base"\n{named}'
    text = BOX.format(kind="button", on="lid", supply="buttons", more=more, count=2)
    path.write_text(text.replace('holds = "10 m"', "") + STRING, encoding="utf-8")
    model, _ = check_file(path)
    assert model is not None
    buttons, string = model.supplies
    assert (buttons.amount, buttons.unit, buttons.to_buy) == (4, "", 4)
    assert (string.amount, string.unit, string.note) == (2 * BETWEEN, "mm", "round two buttons")


def test_string_round_one_button_goes_round_the_piece(tmp_path: Path) -> None:
    """One button, and the girth with some turns."""
    line, _ = listed(tmp_path, "button", supply="string")
    assert line.amount == ROUND_UPRIGHT + ALLOWANCE["button"]
    assert line.note == "once round, and round the button"
    buttons, _ = listed(tmp_path, "button", supply="buttons")
    assert buttons.amount == 1


def test_ribbon_is_bought_by_the_roll(tmp_path: Path) -> None:
    """610 mm of ribbon use that part of 10 m exactly."""
    line, _ = listed(tmp_path, "ribbon")
    assert line.used == Fraction(610, 10_000)
    assert line.to_buy == 1


def test_a_belly_band_takes_a_strip_as_long_as_it_is_wide(tmp_path: Path) -> None:
    """The tape that closes the ring is listed besides; the band names itself."""
    path = tmp_path / "box.toml"
    text = BOX.format(kind="belly_band", on="lid", supply="band", more="size = 35", count=2)
    path.write_text(text + '[[supply]]\nid = "tape"\nkind = "adhesive"\n', encoding="utf-8")
    model, _ = check_file(path)
    assert model is not None
    band, tape = model.supplies
    assert band.amount == 2 * (ROUND_UPRIGHT + ALLOWANCE["belly_band"])
    assert (tape.amount, tape.note) == (70, "across 2 bands")


def test_closures_are_measured_once_for_all_supplies(tmp_path: Path) -> None:
    """Ribbons of many names could each go round each closure: the way round is the same."""
    names = [f"s{k}" for k in range(60)]
    text = (
        f'[[piece]]\nid = "book"\nstock = "card"\ncolumns = {[10] * 60}\nrows = [60]\n'
        f'map = ["{" ".join(names)}"]\nroot = "s0"\n[piece.folds]\n'
        + "".join(f"{name} = {20 if k % 2 else -20}\n" for k, name in enumerate(names[1:]))
        + "".join(f'[[closure]]\nkind = "ribbon"\non = "{name}"\n' for name in names)
    )
    text += "".join(
        f'[[supply]]\nid = "ribbon{k}"\nname = "Ribbon {k}"\nkind = "trimming"\namount = "auto"\n'
        for k in range(30)
    )
    made = flat_project(text, tmp_path)
    folded, _ = proved(made)
    start = time.process_time()
    lines = supply_list(
        made.project, made.patterns, (), made.scope, [], batch_of(None), tuple(folded.values())
    )
    assert time.process_time() - start < 2.0
    assert len({line.amount for line in lines}) == 1 and lines[0].amount

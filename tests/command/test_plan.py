"""`booklet plan`: tables in the terminal, JSON, other class sizes, leftovers, and bad words."""

from __future__ import annotations

import json
from decimal import Decimal
from pathlib import Path

import pytest

from booklet.command.columns import WIDTH
from booklet.command.line import main
from booklet.command.show import display_width

PROJECTS = Path(__file__).resolve().parents[2] / "projects"
SEED_BOX = str(PROJECTS / "seed-box" / "seed-box.toml")

CARD = """
[project]
title = "Card with tags"
units = "in"
currency = "USD"

[[stock]]
id = "card"
name = "Cream card"
sheet = "letter"
price = 5.00
pack = 10

[[piece]]
id = "card"
name = "Card"
stock = "card"
columns = ["5 1/8"]
rows = ["7 1/8"]
map = ["front"]

[class]
students = 22
spare = 2
fee = 3.50
"""


@pytest.fixture
def card(tmp_path: Path) -> str:
    """A project of which two come from one sheet (common practice, no source)."""
    path = tmp_path / "card.toml"
    path.write_text(CARD, encoding="utf-8")
    return str(path)


def test_the_plan_says_how_to_set_the_fence(card: str, capsys: pytest.CaptureFixture[str]) -> None:
    """The trade case: 24 kits, 12 sheets, cut at 5 1/8, turned and cut at 7 1/8."""
    assert main(["plan", card]) == 0
    out = capsys.readouterr().out
    assert "12 sheets, no plan takes fewer; buy 2 packs of 10" in out
    assert "2 from one Letter sheet" in out
    assert "1  fence at 5⅛ in, 8½ in edge against it: cut 12 sheets, 2 times" in out
    assert "gives stack B: 24 of 8½ × 5⅛ in; left over 8½ × ¾ in" in out
    assert "2  turn, fence at 7⅛ in, 5⅛ in edge against it: cut stack B (24)" in out
    assert "gives 24 × Card; left over 1⅜ × 5⅛ in" in out
    assert "22 fees of 3.50 are 77.00; when all is bought 67.00 are left" in out


@pytest.mark.parametrize("path", sorted(PROJECTS.glob("*/*.toml")), ids=lambda path: path.stem)
@pytest.mark.parametrize("students", ["1", "24", "500"])
def test_no_line_is_wider_than_a_terminal(
    path: Path, students: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """80 columns, whatever the class."""
    assert main(["plan", str(path), "--class", students]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert max(map(display_width, lines)) <= WIDTH


def test_json_has_stock_supplies_and_cost(card: str, capsys: pytest.CaptureFixture[str]) -> None:
    """The report's parts, for the number on the command line; spare kits stay as in the file."""
    assert main(["plan", card, "--json", "--class", "8"]) == 0
    plan = json.loads(capsys.readouterr().out)
    assert plan.keys() == {"problems", "stock", "supplies", "cost"}
    (stock,) = plan["stock"]
    assert (stock["needed"], stock["bound"], stock["proved"]) == (5, 5, True)
    assert stock["per_sheet"] == {"card": 2}
    cost = plan["cost"]
    assert (cost["currency"], cost["per_project"], cost["class"]) == ("USD", 0.25, 5.0)
    assert (cost["makers"], cost["kits"], cost["fee"]) == (8, 10, 3.5)
    assert (cost["income"], cost["margin"], cost["complete"]) == (28.0, 23.0, True)


def test_the_plan_agrees_with_check(card: str, capsys: pytest.CaptureFixture[str]) -> None:
    """One model: both reports have the same numbers."""
    assert main(["plan", card, "--json"]) == 0
    plan = json.loads(capsys.readouterr().out)
    assert main(["check", card, "--json"]) == 0
    whole = json.loads(capsys.readouterr().out)
    assert all(whole[key] == plan[key] for key in plan)


@pytest.mark.parametrize("command", ["plan", "make"])
@pytest.mark.parametrize("number", ["0", "-3", "100001", "many", "2.5", "", "9" * 5000])
def test_an_impossible_class_is_refused_with_words(
    command: str, number: str, card: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """From 1 to 100,000 makers are planned."""
    assert main([command, card, f"--class={number}"]) == 2
    err = capsys.readouterr().err
    assert "1 to 100,000" in err and "Traceback" not in err


def test_a_project_with_errors_has_no_plan(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A blank larger than its sheet: status 1, the problem on stderr, JSON with the problem."""
    path = tmp_path / "big.toml"
    path.write_text(CARD.replace('"5 1/8"', '"9"').replace('"7 1/8"', '"9"'), encoding="utf-8")
    assert main(["plan", str(path)]) == 1
    shown = capsys.readouterr()
    assert shown.out == "" and "blank-larger-than-sheet" in shown.err
    assert main(["plan", str(path), "--json"]) == 1
    plan = json.loads(capsys.readouterr().out)
    errors = [p["code"] for p in plan["problems"] if p["severity"] == "error"]
    assert errors == ["blank-larger-than-sheet"]
    assert plan["cost"]["complete"] is False


def test_a_missing_file_and_a_folder_are_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Status 2; a folder is told of --leftover."""
    assert main(["plan", str(tmp_path / "none.toml")]) == 2
    assert main(["plan", str(tmp_path)]) == 2
    assert "--leftover" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("spoken", "answer"),
    [
        ("6 x 8 in card", "yes, as it lies: 1 piece"),
        ("8 x 6 in card", "yes, turned: 1 piece"),
        ("8 x 8 in", "yes, either way: 1 piece"),
        ("5 x 8 in", "no"),
        ("13.02 x 18.1 cm cream", "yes, as it lies: 1 piece"),
        ("13.01 x 18.1 cm", "no"),
        ("5 1/8 × 7⅛", "yes, as it lies: 1 piece"),
        ("11in by 8.5in", "yes, either way: 2 pieces"),
    ],
)
def test_a_leftover_tells_what_fits(
    spoken: str, answer: str, card: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Turned or not, in any unit, compared exactly: 5 1/8 in is 13.0175 cm."""
    assert main(["plan", card, "--leftover", spoken]) == 0
    out = capsys.readouterr().out
    assert answer in out.splitlines()[-2 if "fits at once" in out else -1]
    assert ("fits at once" in out) == (answer != "no")


def test_a_folder_is_searched_for_what_a_leftover_is_good_for(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """All demos, their pieces on card alone; the tag of the tray fits ten times."""
    assert main(["plan", str(PROJECTS), "--leftover", "6 x 8 in card", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)["leftover"]
    fits = {(one["project"], fit["piece"]): fit for one in found for fit in one["fits"]}
    assert fits["Harvest tray", "tag"]["count"] == 10
    assert not fits["Harvest tray", "tray"]["fits"]
    assert ("Seed packet box", "lid_mat") not in fits


def test_projects_of_one_title_are_told_apart(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A draft and its copy in one folder."""
    for name in ("first.toml", "second.toml"):
        (tmp_path / name).write_text(CARD, encoding="utf-8")
    assert main(["plan", str(tmp_path), "--leftover", "6 x 8 in card"]) == 0
    out = capsys.readouterr().out
    assert "first.toml" in out
    assert "second.toml" in out


def test_the_plan_says_which_size_it_is_for(card: str, capsys: pytest.CaptureFixture[str]) -> None:
    """The size as written, unless another is asked for."""
    sized = CARD.replace('columns = ["5 1/8"]', 'columns = ["wide"]')
    sized += '[measures]\nwide = "5 1/8"\n[[size]]\nid = "slim"\nmeasures = { wide = 4 }\n'
    Path(card).write_text(sized, encoding="utf-8")
    assert main(["plan", card]) == 0
    assert capsys.readouterr().out.startswith("Card with tags, Regular: 24 kits")
    assert main(["plan", card, "--size", "slim"]) == 0
    assert capsys.readouterr().out.startswith("Card with tags, slim: 24 kits")


@pytest.mark.parametrize(
    "spoken",
    ["big", "", "6 in", "0 x 8 in", "6 x 0", "-6 x 8", "6 x", "x", "6 x 8 x 2", "1/0 x 8 in",
     "9999999 x 8 in", "6 x 8 in velvet", "6 x 8 \x1b[2J", "6" * 5000 + " x 8"],
)  # fmt: skip
def test_what_is_no_leftover_is_refused_with_words(
    spoken: str, card: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Status 2, and nothing that would steer the terminal."""
    assert main(["plan", card, f"--leftover={spoken}"]) == 2
    shown = capsys.readouterr()
    assert shown.out == "" and "booklet: " in shown.err and "\x1b" not in shown.err
    assert "Traceback" not in shown.err


def test_a_broken_file_in_a_folder_is_named_and_left_out(
    card: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """The others are still searched; the status says that something was wrong."""
    folder = Path(card).parent
    (folder / "broken.toml").write_text("[project]\ntitle = 3\n", encoding="utf-8")
    assert main(["plan", str(folder), "--leftover", "6 x 8 in"]) == 1
    shown = capsys.readouterr()
    assert "broken.toml: left out" in shown.err and "yes, as it lies" in shown.out


def test_mats_with_an_upright_print_are_not_turned(capsys: pytest.CaptureFixture[str]) -> None:
    """The back mat is 2 1/4 wide and 3 1/2 tall; a leftover that is low and wide is no use."""
    assert main(["plan", SEED_BOX, "--leftover", "3 1/2 x 2 1/4 in print"]) == 0
    rows = {line.split("  ")[1]: line for line in capsys.readouterr().out.splitlines()[3:]}
    assert rows["Back mat"].endswith("no")
    assert "as it lies" in rows["Lid mat"]


def test_the_money_of_a_demo_from_its_file_to_the_terminal_by_hand(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """The harvest tray for 10 makers and a spare kit, every sum with `decimal` and by hand.

    Board: 11 trays, one from each sheet: a pack of 20. Tape: 4 tabs of 2 1/2 in each, 110 in of a
    roll of 10 yd = 360 in, but a roll for each table of 5. Twine: 22 of the 90 ft on a spool.
    """
    path = str(PROJECTS / "harvest-tray" / "harvest-tray.toml")
    board, tape, twine, fee = (Decimal(one) for one in ("18.00", "8.00", "4.50", "14.00"))
    assert main(["plan", path, "--json"]) == 0
    cost = json.loads(capsys.readouterr().out)["cost"]
    bought = [1 * board, 2 * tape, 1 * twine]
    assert [Decimal(str(line["total"])) for line in cost["lines"]] == bought
    one = [board / 20, tape * 10 / 360, twine * 2 / 90]
    for line, share in zip(cost["lines"], one, strict=True):
        assert abs(Decimal(str(line["share"])) - share) < Decimal("0.000001")
    assert abs(Decimal(str(cost["per_project"])) - sum(one)) < Decimal("0.000001")
    assert Decimal(str(cost["class"])) == sum(bought) == Decimal("38.50")
    assert main(["plan", path]) == 0
    words = " ".join(capsys.readouterr().out.split())
    assert "oat 18.00 0.90 1 18.00" in words and "wide 8.00 0.22 2 16.00" in words
    assert "twine 4.50 0.10 1 4.50" in words and "all of this 1.22 38.50" in words
    income, margin = 10 * fee, 10 * fee - sum(bought)
    assert f"10 fees of 14.00 are {income}; when all is bought {margin} are left" in words

"""Several sizes of one project: proved, reported and printed each for itself."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from booklet.command.line import main
from booklet.fold.prove import Orders
from booklet.problem import Problem
from booklet.read.size import Size
from booklet.stages import Asked, Model, check_file, in_one_order
from tests.readback import ReadPage, read_pages

TRAY = """[project]
title = "Tray"
units = "mm"
size_name = "Half dozen"

[measures]
wide = 60
wall = 20

[[contents]]
id = "eggs"
size = [50, 50, 4]
count = 3
inside = "tray"

[[piece]]
id = "tray"
columns = ["wall", "wide", "wall"]
rows = ["wall", "wide", "wall"]
map = [".    back  .", "left base  right", ".    front ."]

[[piece]]
id = "tag"
columns = [40]
rows = [30]
map = ["tag"]

[[step]]
title = "Score"
say = "Score at {wall} and at {wall + wide}."
score = ["tray"]
"""
TALL = '[[size]]\nid = "tall"\nname = "Tall, for five"\nmeasures = { wall = 24 }\n'


@pytest.fixture
def tray(tmp_path: Path) -> Path:
    """A tray in two sizes, and a tag that is the same for both."""
    path = tmp_path / "tray.toml"
    path.write_text(f"{TRAY}\n{TALL}contents = {{ eggs = 5 }}\n", "utf-8")
    return path


def told(capsys: pytest.CaptureFixture[str], *words: str) -> Any:
    """The report that the command prints."""
    assert main(["check", "--json", *words]) == 0
    return json.loads(capsys.readouterr().out)


def page(pages: list[ReadPage], title: str) -> ReadPage:
    """The one page with these words."""
    (found,) = (page for page in pages if title in page.text)
    return found


def test_the_report_has_every_size(tray: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Its own fields are the first size's; numbers by hand: 60 + 2 walls, 3 or 5 eggs of 4 mm."""
    report = told(capsys, str(tray))
    first, tall = report["sizes"]
    assert (first["id"], first["name"]) == ("half_dozen", "Half dozen")
    assert (tall["id"], tall["name"]) == ("tall", "Tall, for five")
    fields = ("measures", "pieces", "folded", "contents", "mats", "supplies")
    assert all(report[field] == first[field] for field in fields)
    assert [one["pieces"][0]["blank"] for one in (first, tall)] == [[100, 100], [108, 108]]
    assert [one["contents"][0]["size"][2] for one in (first, tall)] == [12, 20]
    assert [one["contents"][0]["spare"] for one in (first, tall)] == [[10, 10, 8], [10, 10, 4]]


def test_one_size_alone(tray: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """`--size` makes it the whole report, and names the PDF."""
    report = told(capsys, "--size", "tall", str(tray))
    assert report["measures"]["wall"] == 24
    assert [one["id"] for one in report["sizes"]] == ["tall"]
    assert main(["make", "--size", "tall", str(tray)]) == 0
    (pdf,) = tray.parent.glob("*.pdf")
    assert pdf.name == "tray-tall-letter.pdf"
    pages = read_pages(pdf)
    assert "Tall, for five" in pages[0].text
    assert not any("Half dozen" in one.text for one in pages)
    words = page(pages, "Step by step").text.replace("\n", " ")
    assert "Score at 24 mm (¹⁵⁄₁₆ in) and at 84 mm" in words


def test_a_project_without_sizes_has_none(capsys: pytest.CaptureFixture[str], demo: Path) -> None:
    """No size is made up."""
    assert bool(told(capsys, str(demo))["sizes"]) == ("[[size]]" in demo.read_text("utf-8"))


def test_the_booklet_has_a_template_of_each_size(
    tray: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Scores of each lie on its own page at full size; what is alike is printed once."""
    report = told(capsys, str(tray))
    assert main(["make", str(tray), "--paper", "a4"]) == 0
    pages = read_pages(tray.parent / "tray-a4.pdf")
    page(pages, "Template: tag")
    for name in ("half dozen", "tall"):
        page(pages, f"Score chart: tray, {name}")
    templates = [one for one in pages if "Template: tray," in one.text]
    for one, shown in zip(report["sizes"], templates, strict=True):
        lines = [line for line in shown.straight_lines() if line[2].dash]
        (level, upright) = (
            [s for s in one["pieces"][0]["scores"] if s["from"][k] == s["to"][k]] for k in (1, 0)
        )
        for scores, axis in ((upright, 0), (level, 1)):
            wanted = sorted({s["from"][axis] for s in scores})
            seen = sorted(
                {
                    round(a[axis], 2)
                    for a, b, _ in lines
                    if abs(a[axis] - b[axis]) < 0.01 and abs(a[1 - axis] - b[1 - axis]) > 50
                }
            )
            assert seen[-1] - seen[-2] == pytest.approx(wanted[1] - wanted[0], abs=0.02)


def test_pages_for_all_sizes_say_what_differs(tray: Path) -> None:
    """The table has what differs and nothing else; a step prints the values in order."""
    assert main(["make", str(tray)]) == 0
    pages = read_pages(tray.parent / "tray-letter.pdf")
    table = page(pages, "This booklet holds 2 sizes").text
    for words in ("20 mm (¹³⁄₁₆ in) 24 mm (¹⁵⁄₁₆ in)", "How many eggs 3 5", "100 × 100 mm"):
        assert words in table
    assert "Wide " not in table
    step = page(pages, "Step by step").text.replace("\n", " ")
    assert "Score at Half dozen 20 mm" in step and "Tall 24 mm" in step and "Tall 84 mm" in step


def test_what_only_follows_from_the_measures_of_a_size_is_no_row(tmp_path: Path) -> None:
    """Helpers of formulas such as "w" tell a maker nothing; what a size sets has its row."""
    path = tmp_path / "tray.toml"
    derived = TRAY.replace("[measures]", '[measures]\nrim = "wall + 1"', 1)
    path.write_text(f"{derived}\n{TALL}", "utf-8")
    assert main(["make", str(path)]) == 0
    table = page(read_pages(tmp_path / "tray-letter.pdf"), "This booklet holds 2 sizes").text
    assert "Wall 20 mm" in table and "Rim" not in table


def test_more_sizes_than_a_sentence_holds_stand_in_the_table(tmp_path: Path) -> None:
    """The sentence sends the reader there, and the row is there."""
    path = tmp_path / "tray.toml"
    more = "".join(
        f'[[size]]\nid = "s{wall}"\nmeasures = {{ wall = {wall} }}\n' for wall in range(21, 27)
    )
    path.write_text(f"{TRAY}\n{more}", "utf-8")
    assert main(["make", str(path)]) == 0
    pages = read_pages(tmp_path / "tray-letter.pdf")
    words = " ".join(" ".join(page.text for page in pages).split())
    assert "“wall + wide” of the table of sizes" in words
    table = page(pages, "This booklet holds 7 sizes").text
    assert "Wall + wide" in table and "86 mm" in table


def test_too_many_sizes_are_refused(tmp_path: Path) -> None:
    """Each size is proved and printed for itself, so their number is bounded."""
    path = tmp_path / "tray.toml"
    many = "".join(f'[[size]]\nid = "s{k}"\n' for k in range(25))
    path.write_text(f"{TRAY}\n{many}", "utf-8")
    _, problems = check_file(path)
    assert [problem.code for problem in problems if problem.severity == "error"] == ["too-many"]


def test_a_problem_of_all_sizes_is_told_once(tray: Path) -> None:
    """Without the name of any; a problem of one size has its name."""
    tray.write_text(tray.read_text("utf-8").replace("size = [50, 50, 4]", "size = [70, 50, 4]"))
    _, problems = check_file(tray)
    (problem,) = (problem for problem in problems if problem.severity == "error")
    assert "in the size" not in problem.message
    tray.write_text(tray.read_text("utf-8").replace("wall = 24", "wall = 24, wide = 80"))
    _, problems = check_file(tray)
    (problem,) = (problem for problem in problems if problem.severity == "error")
    assert problem.message.startswith('in the size "Half dozen": ')


def test_an_unknown_size_is_wrong_usage(tray: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Status 2, with the nearest size that there is."""
    assert main(["make", "--size", "tal", str(tray)]) == 2
    assert '"tall"' in capsys.readouterr().err
    assert not list(tray.parent.glob("*.pdf"))
    _, problems = check_file(tray, Asked("tal"))
    assert [problem.code for problem in problems] == ["unknown-size"]
    tray.write_text(TRAY, "utf-8")
    assert main(["check", "--size", "\x1b[2J", str(tray)]) == 2
    assert "\x1b" not in capsys.readouterr().err


LIPS = """
[project]
title = "Tray with lips"
units = "mm"
[measures]
wall = 20
lip = 5
[[stock]]
id = "card"
sheet = "a3"
thickness = 0.3
[[piece]]
id = "tray"
stock = "card"
columns = ["wall", 60, "wall"]
rows = ["lip", "wall", 50, "wall", "lip"]
map = [". lip_b .", ". back .", "left base right", ". front .", ". lip_f ."]
[[size]]
id = "long"
measures = { lip = 30 }
[[size]]
id = "tall"
measures = { wall = 70 }
"""


def test_all_sizes_fold_in_one_order(tmp_path: Path) -> None:
    """Lips that overlap in one size would fold one by one there; the printed steps suit all.

    The tallest walls are larger than the base, which stays on the table all the same.
    """
    path = tmp_path / "tray.toml"
    path.write_text(LIPS, "utf-8")
    model, problems = check_file(path)
    assert model is not None and problems == []
    orders = {one.folded[0].order.steps for one in model.sizes}
    assert len(orders) == 1
    assert all(one.folded[0].order.proved for one in model.sizes)
    assert {one.patterns[0].root for one in model.sizes} == {"base"}
    alone, _ = check_file(path, Asked("long"))
    assert alone is not None and alone.folded[0].order.steps not in orders


def test_sizes_without_one_order_are_refused(tray: Path) -> None:
    """The steps are printed once: an order proved for another size is no proof of them."""
    model, _ = check_file(tray)
    assert model is not None
    (tall,) = model.others
    piece = tall.folded[0]
    order = replace(piece.order, steps=(*piece.order.steps, ("base",)))
    turned = replace(tall, folded=(replace(piece, order=order), *tall.folded[1:]))
    built: list[tuple[Model, list[Problem]]] = [(model, []), (turned, [])]

    def again(size: Size, orders: Orders) -> tuple[Model, list[Problem]]:
        one = model if size == model.size else turned
        worse = replace(piece, order=replace(piece.order, proved=False))
        return replace(one, folded=(worse, *one.folded[1:])), []

    found: list[Problem] = []
    assert in_one_order(built, again, found) == built
    (problem,) = found
    assert (problem.code, problem.place) == ("size-other-order", tall.size and tall.size.place)

    def suits(size: Size, orders: Orders) -> tuple[Model, list[Problem]]:
        return (tall if orders[piece.piece] == piece.order.steps else turned), []

    found.clear()
    assert in_one_order(built, suits, found) == [(model, []), (tall, [])]
    assert found == []


def test_the_fold_order_tells_the_angles_of_all_sizes(tmp_path: Path) -> None:
    """A flap that leans further in one size is not printed with the angle of the first alone."""
    path = tmp_path / "tray.toml"
    folds = '[piece.folds]\nlip_b = "atan(lip / wall)"\n'
    text = LIPS.partition("[[size]]")[0]
    more = '[[size]]\nid = "long"\nmeasures = { lip = 20 }\n'
    path.write_text(f"{text}{folds}{more}", "utf-8")
    assert main(["make", str(path)]) == 0
    pages = read_pages(tmp_path / "tray-letter.pdf")
    assert "valley 14° to 45°" in page(pages, "Fold order").text

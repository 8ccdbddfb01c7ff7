"""From bytes to a project: what is read, and what is said about bytes that are no project."""

from __future__ import annotations

import datetime
import os
import time
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from booklet.limits import Limits
from booklet.problem import Place, Problem
from booklet.read.project import Project
from booklet.read.toml_file import read_project

RICH = """\
[project]
title = "Seed box"
units = "in"
ruler = "1/16"
minutes = 30
currency = "USD"

[measures]
wide = "3 3/8"
deep = 0.625

[[contents]]
id = "seed_packets"
size = ["3 1/4", 4, "1/2"]
folded = [2, 1, 1]
inside = "body"

[[stock]]
id = "card"
sheet = [12, "12 in"]
price = 11
pack = 25

[[piece]]
id = "body"
stock = "card"
columns = ["deep", "wide"]
rows = [
  "1 1/2",
  2,
]
map = [
  ".     lid",
  "tab   base",
]
cuts = ["tab|lid"]

[piece.folds]
lid = -90
"tab|base" = 90.5

[piece.panel.lid]
round = "1/4"

[[piece.cutout]]
panel = "base"
shape = "slot"
at = [1, 1]
size = ["1/2", "1/8"]

[[piece.join]]
tab = "tab"
to = "base"
with = "tape"

[[supply]]
id = "tape"
kind = "adhesive"

[[supply]]
id = "bone_folder"
kind = "tool"

[[step]]
say = '''Fold it
  up.'''
fold = ["lid"]
turn = "over"

[class]
students = 24
date = 2027-03-06
fee = 12.00

[[size]]
id = "tall"
measures = { wide = "4" }
"""


def read(
    folder: Path, content: str | bytes, limits: Limits | None = None
) -> tuple[Project | None, list[Problem]]:
    """Write a file and read it as a project."""
    path = folder / "tag.toml"
    path.write_bytes(content.encode() if isinstance(content, str) else content)
    found: list[Problem] = []
    return read_project(path, found, limits), found


def codes(found: list[Problem]) -> list[str]:
    """The codes alone."""
    return [problem.code for problem in found]


def test_a_rich_project_is_read_as_written(tmp_path: Path) -> None:
    """Values keep their written form, and carry their place where others will blame them."""
    project, found = read(tmp_path, RICH)
    assert found == []
    assert project is not None
    assert project.project.ruler is not None and project.project.ruler.value == "1/16"
    assert project.measures["deep"].value == Decimal("0.625")
    assert project.contents[0].name == "seed packets"
    assert project.contents[0].folded == (2, 1, 1)
    sheet = project.stocks[0].sheet
    assert isinstance(sheet, tuple) and [side.value for side in sheet] == [12, "12 in"]
    price = project.stocks[0].price
    assert price is not None and price.value == Decimal(11)
    piece = project.pieces[0]
    assert [line.value for line in piece.map] == [".     lid", "tab   base"]
    assert piece.map[1].place == Place(project.file, 34, 3)
    assert piece.map_place == Place(project.file, 32, 7)
    assert {name: fold.value for name, fold in piece.folds.items()} == {
        "lid": -90,
        "tab|base": Decimal("90.5"),
    }
    assert piece.joins[0].supply is not None and piece.joins[0].supply.value == "tape"
    assert piece.place.line == 24
    assert [supply.amount.value for supply in project.supplies] == ["auto", 1]
    assert project.steps[0].say is not None and project.steps[0].say.value == "Fold it up."
    assert project.course is not None and project.course.date == datetime.date(2027, 3, 6)
    assert project.safety.audience == "adults"
    assert project.look.paper == "letter"
    assert project.source == RICH


def test_a_byte_order_mark_and_other_line_ends_change_nothing(tmp_path: Path) -> None:
    """A file from another editor gives the same project with the same places."""
    plain, _ = read(tmp_path, RICH)
    other, found = read(tmp_path, b"\xef\xbb\xbf" + RICH.replace("\n", "\r\n").encode())
    assert found == []
    assert other == plain


def test_wrong_encoding_is_blamed_on_its_first_byte(tmp_path: Path) -> None:
    """The place counts letters, not bytes."""
    project, found = read(tmp_path, 'x = 1\n"ü" = "'.encode() + b'\xe9"\n')
    assert project is None
    assert codes(found) == ["not-utf8"]
    assert found[0].place is not None
    assert (found[0].place.line, found[0].place.column) == (2, 8)


def test_a_file_beyond_the_size_limit_is_refused(tmp_path: Path) -> None:
    """One byte over the limit is too much, the limit itself is not."""
    text = '[project]\ntitle = "Tag"\n'
    size = len(text)
    assert codes(read(tmp_path, text, Limits(file_bytes=size))[1]) == []
    assert codes(read(tmp_path, text, Limits(file_bytes=size - 1))[1]) == ["file-too-large"]


def test_what_is_no_readable_file_is_a_problem(tmp_path: Path) -> None:
    """A missing file, a folder, a pipe and an impossible name are reported, not raised."""
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    for path in (tmp_path / "none.toml", tmp_path, pipe, Path("a\0b"), tmp_path / ("a" * 300)):
        found: list[Problem] = []
        assert read_project(path, found) is None
        assert codes(found) == ["file-unreadable"]
        assert found[0].place is None


def test_all_problems_of_a_file_come_in_one_run_in_order(tmp_path: Path) -> None:
    """Mistakes in different tables are found together and sorted by place."""
    text = RICH.replace('"tape"\nkind', '"tpe"\nkind').replace("minutes", "minuets")
    text = text.replace("students = 24", "students = 0").replace('"card"\nsheet', '"crad"\nsheet')
    _, found = read(tmp_path, text)
    assert codes(found) == [
        "unknown-key",
        "unknown-stock",
        "unknown-supply",
        "number-out-of-range",
    ]
    assert 'Did you mean "minutes"?' in found[0].help
    assert 'Did you mean "crad"?' in found[1].help


@pytest.mark.parametrize(
    ("old", "new", "code"),
    [
        ('"3 3/8"', "true", "wrong-type"),
        ('columns = ["deep", "wide"]', 'columns = ["deep", []]', "wrong-type"),
        ('id = "body"', 'id = "Body"', "bad-id"),
    ],
)
def test_a_damaged_piece_leaves_nothing_to_complain_about_again(
    tmp_path: Path, old: str, new: str, code: str
) -> None:
    """Later stages get no piece where one is damaged, but still every measure."""
    project, found = read(tmp_path, RICH.replace(old, new))
    assert code in codes(found)
    assert project is not None
    assert project.pieces == () and project.steps == ()
    assert set(project.measures) == {"wide", "deep"}


def test_a_harmless_mistake_keeps_the_piece(tmp_path: Path) -> None:
    """An unknown key in a piece does not keep later stages from checking it."""
    project, found = read(tmp_path, RICH.replace("cuts =", "note = 1\ncuts ="))
    assert codes(found) == ["unknown-key"]
    assert project is not None and len(project.pieces) == 1


def test_the_value_is_shown_without_what_steers_a_terminal(tmp_path: Path) -> None:
    """Messages write control characters as codes and crop long values."""
    _, found = read(tmp_path, '[project]\ntitle = "a\\u001b[2J' + "x" * 300 + '"\n')
    assert "\x1b" not in found[0].message
    assert "\\u001b[2J" in found[0].message
    assert len(found[0].message) < 200


HOSTILE = {
    "lists": "a = " + "[" * 1_000_000,
    "tables": "a = " + "{b=" * 300_000,
    "dots": "a." * 500_000 + "a = 1",
    "header": "[" + "a." * 500_000 + "a]",
    "digits": "a = " + "9" * 1_000_000,
    "hex": "a = 0x" + "f" * 1_000_000,
    "values": "a = [" + "1," * 500_000 + "]",
    "keys": "[project]\n" + "".join(f"k{n}=1\n" for n in range(90_000)),
    "names": "[measures]\n" + "".join(f"k{n}=1\n" for n in range(90_000)),
    "pieces": "[[piece]]\n" * 90_000,
    "escapes": '[project]\ntitle = "' + "\\t" * 500_000 + '"',
    "quotes": 'a = """' + '"" ' * 300_000,
    "one_key": "[project]\n" + "k" * 1_000_000 + " = 1",
    "title": '[project]\ntitle = "' + "k" * 1_000_000 + '"',
    "comments": "#\n" * 500_000,
    "spaces": "a" + " " * 1_000_000 + "b",
}


@pytest.mark.parametrize("name", HOSTILE)
def test_an_explosive_file_gives_a_problem_within_seconds(tmp_path: Path, name: str) -> None:
    """A megabyte of anything is refused or read in bounded time, never raised."""
    start = time.perf_counter()
    _, found = read(tmp_path, HOSTILE[name])
    assert found
    assert len(found) <= Limits().problems + 1
    assert time.perf_counter() - start < 20  # measured: under 2 s; the slack is for slow machines


TOKENS = st.sampled_from(
    [
        "[project]",
        "[[piece]]",
        "[piece.panel.lid]",
        "[piece.folds]",
        "[measures]",
        "[[step]]",
        "[class]",
        "id",
        "title",
        "columns",
        "map",
        "count",
        "folds",
        "=",
        "=",
        "=",
        "\n",
        "\n",
        '"a"',
        "1",
        "-1",
        "nan",
        "1e400",
        "true",
        "2027-03-06",
        "[]",
        "{}",
        "[1, 2]",
        '["a", 1]',
        "{ a = 1 }",
        ",",
        '"',
        "\ud7ff",
        "\0",
    ]
)


@settings(max_examples=200, deadline=None)
@given(st.lists(TOKENS, max_size=25).map(" ".join))
def test_no_text_makes_the_reader_raise(
    tmp_path_factory: pytest.TempPathFactory, text: str
) -> None:
    """Any pieces of a project file in any order: a project or problems with places, no error."""
    project, found = read(tmp_path_factory.getbasetemp(), text)
    assert project is not None or found
    lines = text.count("\n") + 1
    for problem in found:
        assert problem.place is not None
        assert 1 <= problem.place.line <= lines
        assert problem.message and problem.help


VALUES = st.sampled_from(
    [
        "1",
        "-1",
        "1.5",
        "nan",
        "true",
        '""',
        '"a"',
        '"1/2"',
        "[]",
        "[1]",
        '["a","b"]',
        "{}",
        "[{}]",
        '[["a"],1]',
        "[1,2,3]",
        "{a=1}",
        "07:00:00",
        "2027-03-06",
        '"\\u0007"',
    ]
)


@settings(max_examples=150, deadline=None)
@given(st.data())
def test_any_value_at_any_key_is_read_or_reported(
    tmp_path_factory: pytest.TempPathFactory, data: st.DataObject
) -> None:
    """Each line `key = value` of a rich project with any other value never raises."""
    lines = RICH.split("\n")
    number = data.draw(
        st.sampled_from([n for n, line in enumerate(lines) if " = " in line and "'''" not in line])
    )
    if lines[number].endswith("["):
        return
    lines[number] = f"{lines[number].split(' = ')[0]} = {data.draw(VALUES)}"
    project, _ = read(tmp_path_factory.getbasetemp(), "\n".join(lines))
    assert project is not None


def test_a_piece_without_a_name_is_called_by_its_id_as_lists_begin(tmp_path: Path) -> None:
    """Beside pieces and mats with names of their own; sentences have it small."""
    piece = '[[piece]]\nid = "box_sleeve"\ncolumns = [30]\nrows = [40]\nmap = ["front"]\n'
    project, _ = read(tmp_path, f'[project]\ntitle = "Box"\n{piece}')
    assert project is not None
    assert project.pieces[-1].name == "Box sleeve"

"""The printed cutting plan is carried out word by word: each blank comes out, so often, so large.

The words are read from the PDF with pdfplumber, and those of the terminal from its lines.
`BOOKLET_CUT_EXAMPLES=24` cuts more random projects than the suite does.
"""

from __future__ import annotations

import os
import random
import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import takewhile
from pathlib import Path
from typing import Any

import pdfplumber
import pytest

from booklet.command.line import main
from booklet.stages import Asked, Model, check_file
from booklet.stock.plan_value import Layout, StockPlan
from tests.pages.trimmer import cut_all

PROJECTS = sorted((Path(__file__).resolve().parents[2] / "projects").glob("*/*.toml"))
PLENTY = 24


@dataclass
class Printed:
    """A layout as printed: its sheets and its settings, a sentence each."""

    sheets: int
    settings: list[str] = field(default_factory=list)


def nodes(tree: list[dict[str, Any]]) -> Iterator[tuple[str, list[int]]]:
    """The type and marked content of every tag, in the order of reading."""
    for node in tree:
        yield node["type"], node.get("mcids", [])
        yield from nodes(node.get("children", []))


def from_pdf(path: Path) -> list[Printed]:
    """The layouts of the teacher's cutting plan, from headings and list items of the tagged PDF."""
    layouts: list[Printed] = []
    with pdfplumber.open(path) as pdf:
        # The teacher's pages come last, and to read each page by the letter takes long.
        last = takewhile(lambda page: page.search("not for the students"), reversed(pdf.pages))
        for page in reversed(list(last)):
            words: dict[int, str] = {}
            inside = -1
            for char in page.chars:
                # A fraction has a mark of its own (the text it stands for), inside its sentence's.
                if char["tag"] == "Artifact":
                    continue
                inside = inside if char["mcid"] is None else char["mcid"]
                words[inside] = words.get(inside, "") + char["text"]
            for kind, ids in nodes(page.structure_tree):
                text = " ".join(words.get(one, "") for one in ids).replace("\u00a0", " ").strip()
                if found := re.match(r"Layout \d+: (\d+) sheet", text):
                    layouts.append(Printed(int(found[1])))
                elif kind == "LBody" and re.match(r"\d+ ?(Turn|Fence)", text):
                    setting = re.sub(r"^\d+ ?", "", text)
                    layouts[-1].settings.append(re.sub(r"\) ?(?=\S)", ") ", setting, count=1))
    return layouts


def from_terminal(text: str) -> list[Printed]:
    """The layouts of `booklet plan`."""
    layouts: list[Printed] = []
    lines = re.sub(r"\n {7,9}(?=\S)", " ", text.replace("\u00a0", " ")).splitlines()
    for line in lines:
        if found := re.match(r"  Layout \d+, (\d+) sheet", line):
            layouts.append(Printed(int(found[1])))
        elif found := re.match(r" {4} *\d+  ((?:turn|fence).*)", line):
            layouts[-1].settings.append(found[1].replace(" gives ", ": ", 1))
    return layouts


def carried_out(model: Model, layouts: list[Printed]) -> None:
    """Cut every layout by its words and compare the table with what the class needs."""
    sizes = {one.id: one.blank for one in model.patterns} | {one.id: one.size for one in model.mats}
    plans = [(plan, layout) for plan in model.stock_plans for layout in plan.layouts]
    assert len(plans) == len(layouts)
    made: Counter[str] = Counter()
    for (plan, layout), printed in zip(plans, layouts, strict=True):
        assert printed.sheets == layout.sheets
        if not printed.settings:
            made.update(dict.fromkeys(layout.counts(), layout.sheets))
            continue
        # A measure is printed to 1/64 in or 0.1 mm, and some cuts add up.
        near = Fraction(1, 4) * (1 + max(cut.times for cut in layout.cuts))
        names = list(model.names.values())
        upright = layout.cuts[0].upright
        table = cut_all(printed.sheets, plan.sheet, printed.settings, names, near, upright)
        assert not table.stacks
        ids = {model.names[name]: name for name in plan.wanted}
        for (name, (wide, tall)), count in table.blanks.items():
            wanted = sizes[ids[name]]
            ways = [wanted] if upright_print(model, plan) else [wanted, wanted[::-1]]
            assert any(abs(wide - w) <= near and abs(tall - h) <= near for w, h in ways)
            made[ids[name]] += count
        check_leftovers(table.leftovers, layout, 4 if plan.trim else 0, near)
    for plan in model.stock_plans:
        for name, count in plan.wanted.items():
            assert name in plan.unplaced or made[name] >= count


def upright_print(model: Model, plan: StockPlan) -> bool:
    """Whether blanks of this stock may not be turned."""
    return any(s.id.value == plan.stock and s.pattern == "upright" for s in model.project.stocks)


def check_leftovers(
    found: Counter[tuple[Fraction, Fraction]], layout: Layout, trimmed: int, near: Fraction
) -> None:
    """As many and as large as those in the layout's picture, besides the trimmed edges."""
    left = [sorted((one.w, one.h)) for one in layout.leftovers] * layout.sheets
    lying = [sorted(one) for one, count in found.items() for _ in range(count)]
    assert len(lying) == len(left) + trimmed * layout.sheets
    for one in left:
        same = next(
            at
            for at, other in enumerate(lying)
            if all(abs(a - b) <= near for a, b in zip(one, other, strict=True))
        )
        lying.pop(same)


def checked(path: Path, students: int) -> Model:
    """The model for a class."""
    model, _ = check_file(path, Asked(students=students))
    assert model is not None
    return model


@pytest.mark.parametrize("path", PROJECTS, ids=lambda path: path.stem)
def test_the_printed_plan_of_each_demo_can_be_carried_out(path: Path, tmp_path: Path) -> None:
    """From the teacher's pages alone, for a class."""
    arguments = ["make", str(path), "--class", str(PLENTY), "--out", str(tmp_path)]
    assert main([*arguments, "--paper", "letter"]) == 0
    (made,) = tmp_path.glob("*-letter.pdf")
    carried_out(checked(path, PLENTY), from_pdf(made))


def random_project(seed: int) -> str:
    """A sheet, now and then with trim, strip, grain or an upright print, and some plain pieces."""
    chance = random.Random(seed)
    wide, tall = chance.randint(40, 96), chance.randint(40, 96)
    lines = [
        '[project]\ntitle = "Try"\nunits = "in"\nruler = "1/8"\n[class]',
        f"students = {chance.randint(2, 12)}",
        '[[stock]]\nid = "card"\nname = "Card; left over: stack"',
        f'sheet = ["{wide}/8", "{tall}/8"]',
        f'grain = "{chance.choice(["none", "long", "short"])}"',
        f'pattern = "{chance.choice(["none", "none", "upright"])}"',
    ]
    lines += [f'trim = "{chance.choice(["1/8", "1/4"])}"'] if chance.random() < 0.3 else []
    lines += [f'strip = "{chance.choice(["1/4", "1/2"])}"'] if chance.random() < 0.3 else []
    for kind in range(chance.randint(1, 4)):
        w, h = chance.randint(8, wide // 2), chance.randint(8, tall // 2)
        lines += [
            f'[[piece]]\nid = "p{kind}"\nname = "Piece {kind}; the rest × 2"\nstock = "card"',
            f"count = {chance.randint(1, 3)}",
            f'columns = ["{w}/8"]\nrows = ["{h}/8"]\nmap = ["front{kind}"]',
        ]
    return "\n".join(lines)


@pytest.mark.parametrize("seed", range(int(os.environ.get("BOOKLET_CUT_EXAMPLES", "6"))))
def test_the_words_of_the_terminal_can_be_carried_out(
    seed: int, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Whatever is cut, with and without trimmed edges and narrow strips."""
    path = tmp_path / "try.toml"
    path.write_text(random_project(seed), encoding="utf-8")
    model, _ = check_file(path)
    assert model is not None
    assert main(["plan", str(path)]) == 0
    carried_out(model, from_terminal(capsys.readouterr().out))


@pytest.mark.parametrize("seed", range(100, 101))
def test_a_random_plan_as_printed_can_be_carried_out(seed: int, tmp_path: Path) -> None:
    """The same from the PDF."""
    path = tmp_path / "try.toml"
    path.write_text(random_project(seed), encoding="utf-8")
    model, _ = check_file(path)
    assert model is not None
    assert main(["make", str(path), "--out", str(tmp_path), "--paper", "a4"]) == 0
    carried_out(model, from_pdf(tmp_path / "try-a4.pdf"))


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("fence at 2¼ in", "fence at 2½ in"),
        ("turn, ", ""),
        ("14 × Lid mat", "13 × Lid mat"),
        ("stack B (14)", "stack A (14)"),
        ("left over 1½ × 6 in", "left over 1¼ × 6 in"),
    ],
)
def test_a_wrong_word_is_noticed(old: str, new: str, capsys: pytest.CaptureFixture[str]) -> None:
    """The check itself can fail."""
    path = next(one for one in PROJECTS if one.stem == "seed-box")
    assert main(["plan", str(path), "--class", "12"]) == 0
    text = capsys.readouterr().out
    model = checked(path, 12)
    carried_out(model, from_terminal(text))
    assert old in text
    with pytest.raises((AssertionError, KeyError, StopIteration)):
        carried_out(model, from_terminal(text.replace(old, new)))

"""Projects made up at random: `invented(dice)` gives the text of one.

In: a random generator. Out: a project file whose parts are well formed each for itself, so that it
reaches the stages that mutations of good files seldom reach: grown maps with shapes, cutouts and
joins, forms beside them, mats, closures, contents, steps and a class. Whether it folds is chance.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import dataclass

from booklet.read.closure import KINDS
from booklet.read.form import form_names
from booklet.read.piece import SHAPES

INCHES = {"in": 1.0, "cm": 2.5, "mm": 25.0}
"""About how many of a unit an inch takes."""
SIDES = (0.25, 0.5, 0.75, 1, 1.5, 2, 3, 3.125, 4)
ANGLES = (90, 90, 90, -90, 180, -180, 0, 45, 120, 135, 60, 30, 15.5)
SUPPLIES = """
[[supply]]
id = "glue"
kind = "adhesive"
amount = "auto"
[[supply]]
id = "knife"
name = "Craft knife"
kind = "tool"
[[supply]]
id = "bits"
kind = "trimming"
amount = 3
holds = "20"
price = 3.20
[[supply]]
id = "band"
kind = "trimming"
amount = "auto"
"""

Cell = tuple[int, int]


@dataclass(frozen=True)
class Made:
    """A piece: its id, its lines, and its panels (none that are known where a form makes it)."""

    id: str
    lines: tuple[str, ...]
    panels: tuple[str, ...]


def invented(dice: random.Random) -> bytes:
    """One project file."""
    unit = dice.choice(tuple(INCHES))
    count = dice.choice((1, 1, 1, 2, 2, 3))
    pieces = [_piece(dice, f"part{number}", unit) for number in range(count)]
    panels = [
        f"{piece.id}.{name}" if count > 1 else name for piece in pieces for name in piece.panels
    ]
    lines = [
        *_head(dice, unit),
        *(line for piece in pieces for line in piece.lines),
        *_dressed(dice, unit, panels),
        *_contents(dice, unit, pieces),
        *_nested(dice, unit, pieces),
        *(_steps(dice, pieces[0]) if count == 1 else ()),
        *_class(dice),
    ]
    return "\n".join(lines).encode()


def _length(dice: random.Random, unit: str, *inches: float) -> float:
    return round(dice.choice(inches) * INCHES[unit], 4)


def _head(dice: random.Random, unit: str) -> Iterator[str]:
    ruler = dice.choice(
        {"in": ("1/16", "1/8", "1/4"), "cm": ("0.5", "0.1"), "mm": ("1", "5")}[unit]
    )
    yield f'[project]\ntitle = "Invented"\nunits = "{unit}"\nruler = "{ruler}"'
    yield 'currency = "USD"\nminutes = 30'
    yield f'[[stock]]\nid = "card"\nsheet = "{dice.choice(("letter", "a4", "12x12", "a3"))}"'
    yield f"thickness = {0.012 * INCHES[unit]:.4f}"
    yield f'weight = "{dice.choice(("216 gsm", "80 lb cover", "110 lb index"))}"'
    if dice.random() < 0.4:
        yield f'grain = "{dice.choice(("long", "short", "none"))}"'
    if dice.random() < 0.4:
        yield f"price = {dice.choice(('4.50', '12', '0.35'))}\npack = {dice.choice((1, 10, 25))}"
    if dice.random() < 0.3:
        yield f'colour = "#{dice.randrange(1 << 24):06x}"'
    if dice.random() < 0.2:
        yield f"trim = {_length(dice, unit, 0.125, 0.25)}"
    print_ = dice.choice(("none", "upright"))
    yield f'[[stock]]\nid = "print"\nsheet = "{dice.choice(("6x6", "a5"))}"\npattern = "{print_}"'
    yield SUPPLIES


def _piece(dice: random.Random, id_: str, unit: str) -> Made:
    """A form or, more often, a map."""
    start = f'[[piece]]\nid = "{id_}"\nstock = "card"'
    if dice.random() < 0.3:
        box = [_length(dice, unit, *sides) for sides in ((2, 3, 4), (1, 2, 3), (0.1, 0.5, 1, 2))]
        form = f'form = "{dice.choice(form_names())}"\ninside = {box}'
        glued = ['with = "glue"'] * dice.randint(0, 1)
        return Made(id_, (start, form, *glued), ())
    rows, columns = dice.randint(1, 5), dice.randint(1, 6)
    cells, tree = _grown(dice, columns, rows)
    names = tuple(sorted(set(cells.values())))
    lines = [start, f"columns = {[_length(dice, unit, *SIDES) for _ in range(columns)]}"]
    lines.append(f"rows = {[_length(dice, unit, *SIDES) for _ in range(rows)]}")
    texts = [" ".join(cells.get((x, y), ".") for x in range(columns)) for y in range(rows)]
    lines.append("map = [" + ", ".join(f'"{text}"' for text in texts) + "]")
    cuts = _cuts(cells, tree)
    # A cut left out makes a ring of scores, which hardly ever closes.
    cuts = cuts[: len(cuts) - (dice.random() < 0.15)]
    lines.append("cuts = [" + ", ".join(f'"{cut}"' for cut in cuts) + "]")
    lines += [f"count = {dice.randint(2, 4)}"] * (dice.random() < 0.2)
    lines += ['grain = "scores"'] * (dice.random() < 0.2)
    lines += ['root = "p0"', "[piece.folds]"]
    lines += [f"{name} = {dice.choice(ANGLES)}" for name in names[1:] if dice.random() < 0.95]
    for name in names:
        lines += _shaped(dice, unit, name)
    for _ in range(dice.choice((0, 0, 0, 1, 2)) if len(names) > 2 else 0):
        tab, to = dice.sample(names, 2)
        lines.append(f'[[piece.join]]\ntab = "{tab}"\nto = "{to}"')
        lines += ['with = "glue"'] * dice.randint(0, 1)
    return Made(id_, tuple(lines), names)


def _grown(dice: random.Random, columns: int, rows: int) -> tuple[dict[Cell, str], dict[str, str]]:
    """Panels by cell, one cell each, and for each panel but the first the one that it grew from."""
    start = dice.randrange(columns), dice.randrange(rows)
    cells, tree = {start: "p0"}, dict[str, str]()
    for _ in range(3 * dice.randint(0, 9)):
        x, y = dice.choice(list(cells))
        dx, dy = dice.choice(((1, 0), (-1, 0), (0, 1), (0, -1)))
        cell = x + dx, y + dy
        if 0 <= cell[0] < columns and 0 <= cell[1] < rows and cell not in cells:
            tree[f"p{len(cells)}"] = cells[x, y]
            cells[cell] = f"p{len(cells)}"
    return cells, tree


def _cuts(cells: dict[Cell, str], tree: dict[str, str]) -> list[str]:
    """What has to be cut for the panels to hang together as a tree."""
    cuts = []
    for (x, y), name in cells.items():
        for beside in (cells.get((x + 1, y)), cells.get((x, y + 1))):
            if beside and tree.get(name) != beside and tree.get(beside) != name:
                cuts.append(f"{name}|{beside}")
    return cuts


def _shaped(dice: random.Random, unit: str, name: str) -> Iterator[str]:
    if dice.random() < 0.35:
        yield f"[piece.panel.{name}]"
        if dice.random() < 0.4:
            yield f"round = {_length(dice, unit, 0.1, 0.125, 0.25, 0.5)}"
        if dice.random() < 0.1:
            yield f"taper = {_length(dice, unit, 0.05, 0.1, 0.25)}"
        if dice.random() < 0.3:
            yield f"notch = {_length(dice, unit, 0.25, 0.5, 0.75)}"
        if dice.random() < 0.5:
            yield f'label = "{dice.choice(("front", "back", "left wall", "tab", "lid"))}"'
    if dice.random() < 0.2:
        shape = dice.choice(SHAPES)
        wide = _length(dice, unit, 0.1, 0.15, 0.2)
        at = [_length(dice, unit, 0.12, 0.25, 0.5) for _ in "xy"]
        size = [wide, wide if shape == "circle" else round(wide / 2, 4)]
        yield f'[[piece.cutout]]\npanel = "{name}"\nshape = "{shape}"\nat = {at}\nsize = {size}'


def _dressed(dice: random.Random, unit: str, panels: list[str]) -> Iterator[str]:
    """Mats and closures."""
    if not panels:
        return
    for number in range(dice.choice((0, 0, 1, 2))):
        yield f'[[mat]]\nid = "mat{number}"\non = "{dice.choice(panels)}"\nstock = "print"'
        yield f"reveal = {_length(dice, unit, 0.0625, 0.125, 0.25)}"
    for _ in range(dice.choice((0, 0, 1, 2))):
        kind = dice.choice(KINDS)
        yield f'[[closure]]\nkind = "{kind}"\non = "{dice.choice(panels)}"'
        yield f"size = {_length(dice, unit, 0.25, 0.375, 0.5)}"
        if kind in ("tuck", "hook_and_loop", "magnet") or dice.random() < 0.3:
            yield f'meets = "{dice.choice(panels)}"'
        if dice.random() < 0.4:
            yield f'with = "{dice.choice(("bits", "band"))}"'


def _contents(dice: random.Random, unit: str, pieces: list[Made]) -> Iterator[str]:
    for number in range(dice.choice((0, 0, 0, 0, 1, 2))):
        size = [_length(dice, unit, *sides) for sides in ((0.5, 1, 2), (0.5, 1, 2), (0.03, 0.1))]
        yield f'[[contents]]\nid = "thing{number}"\nsize = {size}'
        yield f'count = {dice.randint(1, 20)}\ninside = "{dice.choice(pieces).id}"'


def _nested(dice: random.Random, unit: str, pieces: list[Made]) -> Iterator[str]:
    if len(pieces) > 1 and dice.random() < 0.5:
        yield f'[[nest]]\ninner = "{pieces[1].id}"\nouter = "{pieces[0].id}"'
        yield f"ease = {_length(dice, unit, 0.03, 0.06)}"


def _steps(dice: random.Random, piece: Made) -> Iterator[str]:
    """An order of folds of its own, as good as any."""
    rest = list(piece.panels[1:])
    if not rest or dice.random() < 0.5:
        return
    dice.shuffle(rest)
    yield f'[[step]]\ntitle = "Cut and score"\ncut = ["{piece.id}"]\nscore = ["{piece.id}"]'
    while rest:
        count = dice.randint(1, 3)
        names, rest = rest[:count], rest[count:]
        folds = ", ".join(f'"{name}"' for name in names)
        yield f'[[step]]\ntitle = "Fold"\nfold = [{folds}]' + dice.choice(("", '\nturn = "over"'))


def _class(dice: random.Random) -> Iterator[str]:
    if dice.random() < 0.3:
        yield f"[class]\nstudents = {dice.randint(1, 40)}\nspare = 1\nfee = 12.00"
    if dice.random() < 0.3:
        yield f'[safety]\naudience = "{dice.choice(("adults", "teens", "children"))}"'

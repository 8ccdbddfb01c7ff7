"""A ready form as the text of a project of its own, with comments, to be edited by a person.

In: a form in one of its variants and the values of its measures. Out: the text of a TOML file: the
measures at the top with what each does, then the form's own tables as its fragment has them.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from booklet.measure.units import UNITS
from booklet.read.contents import SIDES
from booklet.read.form import THICKNESS, form_text, read_fragment, stands
from booklet.read.piece import Piece

_HEADER = re.compile(r"\[\[?([a-z][a-z0-9_.]*)\]\]?$")
_WHEN = re.compile(r'when = "([^"]*)"$')
_SKIPPED = frozenset({"form", "variant", "input", "measures", "limit", "piece", "supply", "step"})

STOCKS = {
    "in": ("Cardstock, 80 lb cover", "80 lb cover"),
    "mm": ("Cardstock, 220 g/m²", "220 gsm"),
}
"""Name and weight of the stock of a new project, by its units."""
RULERS = {"in": "1/16", "mm": "1"}
BOARD = """\
[[supply]]
id = "board"
name = "Scoring board with bone folder"
kind = "tool"
"""
KNIFE = """\
[[supply]]
id = "knife"
name = "Craft knife, steel rule and cutting mat"
kind = "tool"
"""


@dataclass(frozen=True)
class Held:
    """A standard thing, how many of it go in, and how they lie: see `Contents`."""

    standard: str
    name: str
    count: int
    ease: str
    source: str
    grid: tuple[int, int] = (1, 1)
    lies: tuple[str, str, str] = SIDES


@dataclass(frozen=True)
class Draft:
    """What a new project is made from; `values` are texts of lengths, by measure."""

    form: str
    title: str
    units: str
    paper: str
    values: Mapping[str, str]
    words: Mapping[str, str] = field(default_factory=dict)
    sheet: str = '["4000 mm", "4000 mm"]'
    thickness: str = "0.3 mm"
    held: Held | None = None
    remarks: Mapping[str, str] = field(default_factory=dict)
    file: str = "project.toml"


def draft_text(draft: Draft) -> str:
    """The whole file."""
    fragment = read_fragment(draft.form, draft.words)
    blocks = _blocks(form_text(draft.form), _chosen(draft))
    of = {kind: [text for own, text in blocks if own == kind] for kind in _SKIPPED}
    others = [text for own, text in blocks if own not in _SKIPPED]
    parts = [
        f"# {draft.title}: {_lower(fragment.made)}\n"
        "# Change the measures to your own. `booklet check` then proves that all still fits,\n"
        f"# and `booklet make {draft.file}` writes the booklet.\n",
        _project(draft, fragment.made),
        _measures(draft, of["measures"]),
        *([_contents(draft.held, fragment.pieces[0].id.value)] if draft.held else []),
        _stock(draft),
        *of["piece"],
        *others,
        *of["supply"],
        *([BOARD] if any(_is_scored(piece) for piece in fragment.pieces) else []),
        KNIFE,
        *of["step"],
    ]
    limits = of["limit"]
    if limits:
        first = "# How far the measures may go, and why.\n" + limits[0]
        parts += [first, *limits[1:]]
    parts.append(f'[look]\npaper = "{draft.paper}"\n')
    return "\n".join(part.rstrip("\n") + "\n" for part in parts)


def length_text(mm: Fraction, units: str) -> str:
    """A length as a maker writes it: "3 1/2" in inches, "89" or "12.5" in millimetres."""
    inches = mm / UNITS["in"]
    if units == "in" and inches.denominator <= 64:
        whole, part = divmod(abs(inches), 1)
        sign = "-" if inches < 0 else ""
        fraction = f"{part.numerator}/{part.denominator}" if part else ""
        return sign + (f"{whole} {fraction}".strip() if whole or not part else fraction)
    number = f"{float(mm):.3f}".rstrip("0").rstrip(".")
    return number if units == "mm" else f"{number} mm"


def _chosen(draft: Draft) -> dict[str, str]:
    choices = read_fragment(draft.form).choices
    return {name: one.default for name, one in choices.items()} | dict(draft.words)


def _is_scored(piece: Piece) -> bool:
    """Whether a piece has more than one panel."""
    names = {name for row in piece.map or () for name in row.value.split()} - {"."}
    return piece.outline is not None or len(names) > 1


def _lower(sentence: str) -> str:
    return sentence[:1].lower() + sentence[1:]


def _project(draft: Draft, summary: str) -> str:
    return (
        f'[project]\ntitle = "{draft.title}"\nsummary = "{summary}"\n'
        f'units = "{draft.units}"\nruler = "{RULERS[draft.units]}"'
        "            # the smallest mark of your ruler\n"
        'version = "1.0"\n'
    )


def _measures(draft: Draft, own: Sequence[str]) -> str:
    """The inputs, each with its words, and the measures that follow from them."""
    fragment = read_fragment(draft.form, draft.words)
    says = {one.name: one.says for one in fragment.inputs if not one.choices}
    says[THICKNESS] = "thickness of the paper: measure ten sheets and divide by ten"
    rows = []
    for name, words in says.items():
        value = draft.thickness if name == THICKNESS else draft.values[name]
        remark = draft.remarks.get(name, "")
        rows.append((f'{name} = "{value}"', words + (f"; {remark}" if remark else "")))
    wide = max(len(row) for row, _ in rows) + 3
    lines = [f"{row:<{wide}}# {words}" for row, words in rows]
    follow = "".join(text.partition("[measures]\n")[2] for text in own).strip("\n")
    return (
        "[measures]\n"
        + "\n".join(lines)
        + f"\n\n# These follow from the measures above.\n{follow}\n"
    )


def _contents(held: Held, piece: str) -> str:
    rows = [
        ('id = "contents"', ""),
        (f'name = "{held.name}"', ""),
        (f'standard = "{held.standard}"', held.source),
        (f"count = {held.count}", ""),
    ]
    if held.grid != (1, 1):
        rows.append((f"grid = {list(held.grid)}", "in each layer: along wide, along tall"))
    if held.lies != SIDES:
        words = "which of its sides lies along wide, tall and deep of the room"
        rows.append((f"lies = {json.dumps(held.lies)}", words))
    rows += [(f'ease = "{held.ease}"', ""), (f'inside = "{piece}"', "")]
    wide = max(len(row) for row, words in rows if words) + 3
    lines = [f"{row:<{wide}}# {words}" if words else row for row, words in rows]
    return "[[contents]]\n" + "\n".join(lines) + "\n"


def _stock(draft: Draft) -> str:
    name, weight = STOCKS[draft.units]
    return (
        f'[[stock]]\nid = "card"\nname = "{name}"\nkind = "cardstock"\nsheet = {draft.sheet}\n'
        f'thickness = "{THICKNESS}"\nweight = "{weight}"\ncolour = "#a9b78d"\n'
    )


def _blocks(text: str, chosen: Mapping[str, str]) -> list[tuple[str, str]]:
    """The tables of a fragment whose conditions hold: name of the table, and its text.

    Tables within a piece belong to its text; what a condition leaves out is gone.
    """
    blocks: list[tuple[str, str]] = []
    is_open = False
    for name, lines in _tables(text):
        condition = next((match[1] for line in lines if (match := _WHEN.match(line))), None)
        holds = condition is None or stands(condition, chosen)
        body = "\n".join(line for line in lines if not _WHEN.match(line)).rstrip("\n")
        if "." not in name:
            is_open = holds
            if holds:
                blocks.append((name, body))
        elif is_open and holds:
            blocks[-1] = (blocks[-1][0], f"{blocks[-1][1]}\n\n{body}")
    return blocks


def _tables(text: str) -> list[tuple[str, list[str]]]:
    """Each header's name and its lines, with the comments right above it."""
    found: list[tuple[str, list[str]]] = []
    comments: list[str] = []
    for line in text.split("\n"):
        header = _HEADER.match(line)
        if line.startswith("#"):
            comments.append(line)
            continue
        if header is not None:
            found.append((header[1], [*comments, line]))
        elif found:
            found[-1][1].extend([*comments, line])
        comments = []
    return found

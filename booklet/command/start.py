"""`booklet start`: write a new project from a ready form, sized from what goes inside.

In: a name, a form and an inside or a standard thing. Out: NAME.toml, its path on stdout, the exit
status. Nothing is written where the project would not build, and no file is overwritten.
"""

from __future__ import annotations

import json
import math
import pathlib
import re
import sys
import tempfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from booklet.command.draft import RULERS, Draft, Held, draft_text, length_text
from booklet.command.show import harmless
from booklet.flat.standard import StandardSize, nearest_names, standard_row
from booklet.measure.form import expand_forms
from booklet.measure.resolve import Scope, resolve
from booklet.measure.units import UNITS
from booklet.pdf.write import write_file
from booklet.problem import Place, Problem, Written
from booklet.read.form import INSIDE, Fragment, form_names, is_form, plain_name, read_fragment
from booklet.read.nearest import did_you_mean
from booklet.read.piece import Piece
from booklet.read.project import Project, ProjectTable
from booklet.read.raw import Length
from booklet.read.spot import cropped, is_control
from booklet.read.stock import Stock
from booklet.stages import Model, check_file
from booklet.stock.papers import sheets

SHEETS = {
    "in": ("letter", "legal", "12x12", "tabloid", "a2"),
    "mm": ("a4", "a3", "a2"),
}
"""Sheets from small to large; the first that takes every blank is chosen."""
BOARD = (Fraction(700), Fraction(1000))
"""Millimetres of a board for what is larger; common practice, no source."""
EASE = {"in": Fraction(254, 160), "mm": Fraction(1)}
"""Room in mm wanted in each direction round a standard thing: a mark of the usual ruler."""
MOST_COUNT = 10_000
_HELD = re.compile(r"(?P<name>.+?)(?:\s+[x×]\s*(?P<count>[0-9]{1,6}))?")
_BY = re.compile(r"\s*[x×]\s*")
_UNIT = re.compile(r"(mm|cm|in|\")\s*$")
_HERE = Place("", 1, 1)


class Refused(Exception):
    """What was asked for cannot be made; the message and what to do instead."""

    def __init__(self, message: str, way_out: str) -> None:
        super().__init__(message)
        self.message = message
        self.way_out = way_out


@dataclass(frozen=True)
class Wish:
    """The words of the command line."""

    name: str
    form: str
    inside: str | None = None
    holds: str | None = None
    units: str | None = None
    paper: str | None = None
    inputs: Sequence[str] = ()


def start(wish: Wish) -> int:
    """Write the project; 0 done, 2 where it cannot be made or a file of that name stands there."""
    try:
        target = _target(wish.name)
        draft = replace(new_draft(wish), title=_title(target.stem), file=target.name)
        text = built(draft)
        write_file(text.encode(), target, new=True)
    except Refused as refusal:
        print(f"booklet: {harmless(refusal.message)}", file=sys.stderr)
        print(f"  help: {harmless(refusal.way_out)}", file=sys.stderr)
        return 2
    except FileExistsError:
        print(f"booklet: {harmless(str(target))} exists already", file=sys.stderr)
        print("  help: choose another name; nothing is overwritten", file=sys.stderr)
        return 2
    except OSError as error:
        reason = error.strerror or str(error)
        print(f"booklet: {harmless(str(target))} cannot be written: {reason}", file=sys.stderr)
        return 2
    name = harmless(str(target))
    print(f"{name} ({read_fragment(draft.form).title.lower()})")
    print(f"  next: change its measures if you like, then booklet make {name}")
    return 0


def new_draft(wish: Wish) -> Draft:
    """The draft that the words ask for; raises `Refused`."""
    form = plain_name(wish.form)
    if not is_form(form):
        raise Refused(
            f'there is no form "{cropped(wish.form)}"',
            did_you_mean(form, form_names()) + " `booklet forms` lists them all.",
        )
    units = wish.units or ("mm" if wish.inside and _in_metric(wish.inside) else "in")
    draft = Draft(
        form=form,
        title=read_fragment(form).title,
        units=units,
        paper=wish.paper or ("letter" if units == "in" else "a4"),
        values={},
    )
    words, given = _inputs(read_fragment(form), wish.inputs)
    draft = replace(draft, words=words)
    if wish.holds is not None:
        return _holding(draft, wish.holds, given)
    return with_values(draft, _inside(wish.inside or "", units), given)


def built(draft: Draft) -> str:
    """The text of a draft that passes its check, on the smallest sheet that takes its blanks.

    Raises `Refused` with the first reason why it does not.
    """
    model = checked(draft)
    sides = [sorted(pattern.blank) for pattern in model.patterns]
    low, high = max(side[0] for side in sides), max(side[1] for side in sides)
    known = {name: sorted(sheets()[name].size) for name in SHEETS[draft.units]}
    for name, size in {**known, "": list(BOARD)}.items():
        if low <= size[0] and high <= size[1]:
            board = [length_text(side, draft.units) for side in BOARD]
            final = replace(draft, sheet=json.dumps(name or board))
            checked(final)
            return draft_text(final)
    blank = " x ".join(length_text(side, draft.units) for side in (low, high))
    board_text = " x ".join(length_text(side, draft.units) for side in BOARD)
    raise Refused(
        f"a blank of {blank} {draft.units} is larger than a board of {board_text} {draft.units}",
        "ask for a smaller inside",
    )


def checked(draft: Draft) -> Model:
    """The model of a draft without errors; raises `Refused` with the first of them."""
    with tempfile.TemporaryDirectory() as folder:
        path = pathlib.Path(folder) / "draft.toml"
        path.write_text(draft_text(draft), "utf-8")
        model, problems = check_file(path)
    _refuse(problems)
    assert model is not None
    return model


def _refuse(problems: Sequence[Problem]) -> None:
    for problem in problems:
        if problem.severity == "error":
            limit = problem.code == "limit-passed"
            how = " (inputs are set as in --set tab=1/2)" if limit else ""
            raise Refused(problem.message, f"{problem.help}{how}")


def with_values(draft: Draft, inside: Sequence[Length], given: Mapping[str, Length]) -> Draft:
    """The draft with a value for every input of its form, the maker's as written."""
    fragment = read_fragment(draft.form, draft.words)
    found: list[Problem] = []
    piece = Piece(
        id=Written("piece", _HERE),
        name="piece",
        stock=Written("card", _HERE),
        form=Written(draft.form, _HERE),
        inside=(inside[0], inside[1], inside[2]),
        inputs={**given, **{name: Written(word, _HERE) for name, word in draft.words.items()}},
        place=_HERE,
    )
    card = Stock(
        id=Written("card", _HERE),
        name="card",
        sheet=Written("letter", _HERE),
        thickness=Written(draft.thickness, _HERE),
        place=_HERE,
    )
    head = ProjectTable(
        title="",
        units=draft.units,
        ruler=Written(RULERS[draft.units], _HERE),
        place=_HERE,
    )
    project = Project(file="", folder=pathlib.Path(), project=head, stocks=(card,), pieces=(piece,))
    scope = resolve(expand_forms(project, found), found)
    _refuse(found)
    names = [one.name for one in fragment.inputs if not one.choices]
    values = {name: length_text(scope.measures[f"piece.{name}"], draft.units) for name in names}
    return replace(draft, values=values)


def _holding(draft: Draft, holds: str, given: Mapping[str, Length]) -> Draft:
    """The draft for standard things, its walls up to the ruler with the ease."""
    row, count = _standard(holds)
    fragment = read_fragment(draft.form)
    scope = Scope(draft.units, _ruler(draft.units))
    lot = [row.size[0], row.size[1], row.size[2] * count]
    remarks: dict[str, str] = {}
    if fragment.holds == "nothing":
        lot[2] = Fraction(0)
    elif fragment.holds == "box":
        lot = [_up(side + EASE[draft.units], scope.ruler) for side in lot]
        remarks["wide"] = f"{row.name} and the ease, up to the ruler"
        if count > 1:
            remarks["deep"] = f"{count} lie on each other"
    for limit in fragment.limits:
        if limit.of.value in INSIDE and limit.least is not None:
            at, silent = INSIDE.index(limit.of.value), list[Problem]()
            known = replace(scope, measures=dict(zip(INSIDE, lot, strict=True)))
            least = known.length(limit.least, silent)
            if least is not None and lot[at] < least:
                lot[at] = _up(least, scope.ruler)
                remarks[limit.of.value] = limit.reason
    inside = [Written(length_text(side, draft.units), _HERE) for side in lot]
    draft = with_values(replace(draft, remarks=remarks), inside, given)
    if fragment.holds == "nothing":
        return draft
    ease = "ease" if fragment.holds == "pocket" else length_text(EASE[draft.units], draft.units)
    return replace(draft, held=Held(row.id, row.name, count, ease, row.source))


def _standard(holds: str) -> tuple[StandardSize, int]:
    """A row of the table of standard sizes and a count, from "id-1 card x 3"."""
    match = _HELD.fullmatch(" ".join(holds.split())[:200])
    name = match["name"] if match else holds
    count = int(match["count"] or 1) if match else 1
    if not 1 <= count <= MOST_COUNT:
        raise Refused(f"{count} is no count of things", f"write a count from 1 to {MOST_COUNT}")
    words = name.split()
    # What follows the name of a size is said for people: "id-1 card", "a6 cards".
    for end in range(len(words), 0, -1):
        for plain in (" ".join(words[:end]), " ".join(words[:end]).removesuffix("s")):
            row = standard_row(plain)
            if row is not None:
                return row, count
    names = dict.fromkeys([*nearest_names(words[0] if words else ""), *nearest_names(name)])
    near = ", ".join(f'"{one}"' for one in list(names)[:4])
    raise Refused(
        f'"{cropped(name)}" is not in the table of standard sizes',
        f"did you mean {near}?" if near else "give the sizes instead: --inside 3x2x1",
    )


def _inside(text: str, units: str) -> list[Length]:
    """Wide, tall and deep from "3.5x2x1", "3 1/2 x 2 x 1 in" or "90x60x25mm"."""
    parts = [part.strip() for part in _BY.split(text.strip()[:200])]
    if len(parts) != 3 or not all(parts):
        raise Refused(
            f'"{cropped(text)}" is no inside: wide, tall and deep are wanted, with an x between',
            "write --inside 3.5x2x1, or --inside 90x60x25mm",
        )
    unit = _UNIT.search(parts[2])
    written = []
    for part in parts:
        own = part if unit is None or _UNIT.search(part) else f"{part} {unit[1]}"
        found: list[Problem] = []
        value = Scope(units, _ruler(units)).length(Written(own, _HERE), found)
        _refuse(found)
        assert value is not None
        written.append(Written(own, _HERE))
    return written


def _inputs(
    fragment: Fragment, settings: Sequence[str]
) -> tuple[dict[str, str], dict[str, Length]]:
    """The words and the lengths of `--set name=value`."""
    words: dict[str, str] = {}
    lengths: dict[str, Length] = {}
    for setting in settings:
        name, sign, value = (part.strip() for part in setting[:200].partition("="))
        if not sign or not name or not value:
            raise Refused(f'"{cropped(setting)}" sets nothing', "write --set NAME=VALUE")
        if name in fragment.choices:
            words[name] = value
        else:
            lengths[name] = Written(value, _HERE)
    return words, lengths


def _target(name: str) -> pathlib.Path:
    path = pathlib.Path(name if name.endswith(".toml") else f"{name}.toml")
    steering = any(is_control(letter) for letter in name)
    if path.name.startswith(".") or not path.stem.strip(". ") or steering:
        raise Refused(f'"{cropped(name)}" is no name for a file', "write a name such as card-box")
    if not path.parent.is_dir():
        raise Refused(f"there is no folder {cropped(str(path.parent))}", "make the folder first")
    return path


def _title(stem: str) -> str:
    """The file's name in words: "card-box" is "Card box"."""
    words = " ".join(re.sub(r'[-_\s"\\]+', " ", stem).split())
    plain = "".join(letter for letter in words if not is_control(letter))[:100] or "Project"
    return plain[:1].upper() + plain[1:]


def _in_metric(inside: str) -> bool:
    return re.search(r"[0-9]\s*(mm|cm)\b", inside) is not None


def _ruler(units: str) -> Fraction:
    return Fraction(RULERS[units]) * UNITS[units]


def _up(mm: Fraction, ruler: Fraction) -> Fraction:
    return math.ceil(mm / ruler) * ruler

"""`booklet start`: write a new project from a ready form, sized from what goes inside.

In: a name, a form and an inside or a standard thing. Out: NAME.toml, its path on stdout, the exit
status. Nothing is written where the project would not build, and no file is overwritten.
"""

from __future__ import annotations

import itertools
import json
import pathlib
import re
import sys
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from booklet.command.draft import Draft, draft_text, length_text
from booklet.command.holding import Things, holding, standard_things
from booklet.command.show import harmless, why
from booklet.command.sized import HERE, Refused, checked, refuse, ruler_of, with_values
from booklet.measure.resolve import Scope
from booklet.measure.units import UNITS
from booklet.pdf.write import write_file
from booklet.problem import Problem, Written
from booklet.read.form import Fragment, form_names, is_form, plain_name, read_fragment
from booklet.read.nearest import did_you_mean
from booklet.read.raw import Length
from booklet.read.spot import cropped, is_control
from booklet.stock.papers import sheets

SHEETS = {
    "in": ("letter", "legal", "12x12", "tabloid", "a2"),
    "mm": ("a4", "a3", "a2"),
}
"""Sheets from small to large; the first that takes every blank is chosen."""
BOARD = (Fraction(700), Fraction(1000))
"""Millimetres of a board for what is larger; common practice, no source."""
MOST_BUILT = 4
"""Arrangements of standard things that are built before the first refusal is told."""
MOST_NAMED = 3
"""Other forms that a refusal names."""
_BY = re.compile(r"\s*[x×]\s*")
_UNIT = re.compile(r"(mm|cm|in|\")\s*$")


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
        text = _text(wish, _title(target.stem), target.name)
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
        print(f"booklet: {harmless(str(target))} cannot be written: {why(error)}", file=sys.stderr)
        return 2
    name = harmless(str(target))
    print(f"{name} ({read_fragment(plain_name(wish.form)).title.lower()})")
    print(f"  next: change its measures if you like, then booklet make {name}")
    return 0


def new_draft(wish: Wish) -> Draft:
    """The draft of an inside that the words ask for; raises `Refused`."""
    draft, given = _plain_draft(wish)
    return with_values(draft, _inside(wish.inside or "", draft.units), given)


def _plain_draft(wish: Wish) -> tuple[Draft, dict[str, Length]]:
    """The draft before it has a size, and the lengths of further inputs."""
    form = plain_name(wish.form)
    if not is_form(form):
        raise Refused(
            f'there is no form "{cropped(wish.form)}"',
            did_you_mean(form, form_names()) + " `booklet forms` lists them all.",
        )
    units = wish.units or ("mm" if wish.inside and _in_metric(wish.inside) else "in")
    words, given = _inputs(read_fragment(form), wish.inputs)
    draft = Draft(
        form=form,
        title=read_fragment(form).title,
        units=units,
        paper=wish.paper or ("letter" if units == "in" else "a4"),
        values={},
        words=words,
    )
    return draft, given


def _text(wish: Wish, title: str, file: str) -> str:
    """The text of the file; raises `Refused`."""
    if wish.holds is None:
        return built(replace(new_draft(wish), title=title, file=file))
    plain, given = _plain_draft(wish)
    things = standard_things(wish.holds)
    try:
        return _first_built(replace(plain, title=title, file=file), things, given)
    except Refused as refusal:
        others = list(itertools.islice(_takers(plain, things), MOST_NAMED))
        fewer = things.count > 1 and _takes(plain, replace(things, count=1))
        ways = ["hold fewer of them"] if fewer else []
        ways += [f"start from another form: {', '.join(others)}"] if others else []
        ways += [refusal.way_out] if given or not ways else []
        raise Refused(refusal.message, ", or ".join(ways)) from refusal


def _first_built(
    draft: Draft, things: Things, given: Mapping[str, Length], most: int = MOST_BUILT
) -> str:
    """The text of the first draft for these things that builds; raises `Refused`."""
    first: Refused | None = None
    for one in itertools.islice(holding(draft, things, given), most):
        try:
            return built(one)
        except Refused as refusal:
            first = first or refusal
    assert first is not None  # where there is no draft, `holding` says why
    raise first


def _takes(draft: Draft, things: Things) -> bool:
    try:
        return any(True for _ in holding(draft, things, {}))
    except Refused:
        return False


def _takers(draft: Draft, things: Things) -> Iterator[str]:
    """Other forms in which the things go."""
    for form in form_names():
        if form == draft.form or read_fragment(form).holds == "nothing":
            continue
        try:
            _first_built(replace(draft, form=form, words={}), things, {}, most=1)
        except Refused:
            continue
        yield form


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
    raise Refused(
        f"a blank of {_roughly((low, high), draft.units)} is larger than a board of "
        f"{_roughly(BOARD, draft.units)}",
        "ask for a smaller inside",
    )


def _roughly(sides: Sequence[float | Fraction], units: str) -> str:
    """Sides of a sheet for a message: "27.6 x 39.4 in", "700 x 1000 mm"."""
    digits = 1 if units == "in" else 0
    return " x ".join(f"{float(side / UNITS[units]):.{digits}f}" for side in sides) + f" {units}"


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
        value = Scope(units, ruler_of(units)).length(Written(own, HERE), found)
        refuse(found)
        assert value is not None
        written.append(Written(own, HERE))
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
            lengths[name] = Written(value, HERE)
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

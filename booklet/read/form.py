"""The ready forms: fragments of projects, in TOML files inside the package.

In: the name of a form, and the words that choose between its variants. Out: the frozen value
`Fragment`, its tables read by the same checks as those of a project. A fragment is part of the
program: a fault in one is ours, and the tests read them all.

A fragment has [form], [[input]] and then the tables of a project: [measures], [[limit]],
[[piece]], [[closure]], [[nest]], [[supply]], [[step]]. A table with `when = "tuck = reverse"`
stands only where the input `tuck` is the word `reverse`; several words are divided by `|`, several
conditions by commas. [[variant]] says in a sentence what such a project is, where the form's own
sentence tells of all of them.
"""

from __future__ import annotations

import functools
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from importlib import resources
from pathlib import Path
from typing import Any

from booklet.limits import Limits
from booklet.read.closure import CLOSURE, Closure
from booklet.read.limit import LIMIT, Limit
from booklet.read.listed import listed
from booklet.read.nest import NEST, Nest
from booklet.read.number import length
from booklet.read.piece import PIECE, Piece
from booklet.read.places import Places
from booklet.read.raw import Length
from booklet.read.spot import Reading, Spot
from booklet.read.step import STEP, Step
from booklet.read.supply import SUPPLY, Supply
from booklet.read.table import Key, Kind, Table, by_name, table, tables
from booklet.read.text import choice, new_id, paragraph, title

INSIDE = ("wide", "tall", "deep")
"""The inputs that every form has and that `inside` gives."""
THICKNESS = "t"
"""The name by which a fragment's formulas call the thickness of the stock."""


@dataclass(frozen=True, kw_only=True)
class Input:
    """What a maker may choose: a length with its default, or one of a few words."""

    name: str
    says: str
    default: str
    choices: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Fragment:
    """One form, in one of its variants; its first piece is the one that the maker names.

    It `holds` its contents in a "box", in a flat "pocket", or is "nothing" to put things into.
    `height` is the one of its three inside measures that stands upright. `summary` tells of all
    variants, `made` of a project in this one.
    """

    id: str
    title: str
    summary: str
    made: str
    holds: str
    height: str
    inputs: tuple[Input, ...]
    measures: dict[str, Length]
    limits: tuple[Limit, ...]
    pieces: tuple[Piece, ...]
    closures: tuple[Closure, ...]
    nests: tuple[Nest, ...]
    supplies: tuple[Supply, ...]
    steps: tuple[Step, ...]

    @property
    def choices(self) -> dict[str, Input]:
        """The inputs that are words."""
        return {one.name: one for one in self.inputs if one.choices}


@dataclass(frozen=True)
class _Head:
    id: str
    title: str
    summary: str
    holds: str
    height: str


_ID = Key("id", "the form's name, as in `form`", new_id, required=True)
_TITLE = Key("title", "what it is called", title, required=True)
_SUMMARY = Key("summary", "what it is, in a sentence", paragraph, required=True)
_HOLDS = Key("holds", "how it holds its contents", choice("box", "pocket", "nothing"))
_HEIGHT = Key("height", "which of its inside measures stands upright", choice("deep", "tall"))
_NAME = Key("name", "what formulas call it", new_id, required=True)
_SAYS = Key("says", "what it does", title, required=True)
_DEFAULT = Key("default", "a formula, or a word", title, required=True)
_CHOICES = Key("choices", "the words that it may be", listed(title, '["straight"]'))


def _build_head(raw: Table) -> _Head:
    return _Head(
        raw.need(_ID).value,
        raw.need(_TITLE),
        raw.need(_SUMMARY),
        raw.get_or(_HOLDS, "box"),
        raw.get_or(_HEIGHT, "deep"),
    )


def _build_input(raw: Table) -> Input:
    return Input(
        name=raw.need(_NAME).value,
        says=raw.need(_SAYS),
        default=raw.need(_DEFAULT),
        choices=raw.get_or(_CHOICES, ()),
    )


_FORM = Key(
    "form",
    "the form",
    table(Kind("form", (_ID, _TITLE, _SUMMARY, _HOLDS, _HEIGHT), _build_head)),
    required=True,
)
_INPUTS = Key(
    "input",
    "its inputs",
    tables(Kind("input", (_NAME, _SAYS, _DEFAULT, _CHOICES), _build_input)),
)
_VARIANTS = Key(
    "variant", "what it is so", tables(Kind("variant", (_SUMMARY,), lambda raw: raw.need(_SUMMARY)))
)
_MEASURES = Key("measures", "lengths", by_name(length, 'w = "1"', lambda limits: limits.tables))
_LIMITS = Key("limit", "bounds", tables(LIMIT))
_PIECES = Key("piece", "pieces", tables(PIECE), required=True)
_CLOSURES = Key("closure", "closures", tables(CLOSURE))
_NESTS = Key("nest", "nests", tables(NEST))
_SUPPLIES = Key("supply", "supplies", tables(SUPPLY))
_STEPS = Key("step", "steps", tables(STEP))


def _build(raw: Table) -> Fragment:
    head = raw.need(_FORM)
    return Fragment(
        id=head.id,
        title=head.title,
        summary=head.summary,
        made=next(iter(raw.get_or(_VARIANTS, ())), head.summary),
        holds=head.holds,
        height=head.height,
        inputs=raw.get_or(_INPUTS, ()),
        measures=raw.get_or(_MEASURES, {}),
        limits=raw.get_or(_LIMITS, ()),
        pieces=raw.need(_PIECES),
        closures=raw.get_or(_CLOSURES, ()),
        nests=raw.get_or(_NESTS, ()),
        supplies=raw.get_or(_SUPPLIES, ()),
        steps=raw.get_or(_STEPS, ()),
    )


_FRAGMENT = Kind(
    "fragment",
    (
        *(_FORM, _VARIANTS, _INPUTS, _MEASURES, _LIMITS),
        *(_PIECES, _CLOSURES, _NESTS, _SUPPLIES, _STEPS),
    ),
    _build,
)


@functools.cache
def form_names() -> tuple[str, ...]:
    """The ids of all forms, the simplest first (`order` in [form] is for the list only)."""
    return tuple(sorted(_names(), key=lambda name: (_raw(name)["form"].get("order", 99), name)))


def is_form(name: str) -> bool:
    """Whether there is a form of that id; opens none of them."""
    return name in _names()


@functools.cache
def _names() -> frozenset[str]:
    files = [entry.name for entry in resources.files("booklet.forms").iterdir()]
    return frozenset(file.removesuffix(".toml") for file in files if file.endswith(".toml"))


def plain_name(name: str) -> str:
    """A form's name as the files have it: "Tuck carton" and "tuck-carton" are tuck_carton."""
    return "_".join(name.casefold().replace("-", " ").replace("_", " ").split())


@functools.cache
def form_text(name: str) -> str:
    """The text of a fragment; `name` is one of `form_names()`."""
    return resources.files("booklet.forms").joinpath(f"{name}.toml").read_text("utf-8")


@functools.cache
def _raw(name: str) -> dict[str, Any]:
    return tomllib.loads(form_text(name))


@functools.cache
def form_pieces(name: str) -> tuple[str, ...]:
    """The ids of the pieces that a form has in any variant, the main one first."""
    return tuple(dict.fromkeys(piece["id"] for piece in _raw(name)["piece"]))


def piece_id(main: str, own: str, given: str) -> str:
    """The id in the project of a fragment's piece: that of the maker's, or one made with it."""
    return given if own == main else f"{given}_{own}"


def read_fragment(name: str, words: Mapping[str, str] | None = None) -> Fragment:
    """The form in the variant that the words choose, by default the one of its defaults."""
    return _fragment(name, tuple(sorted((words or {}).items())))


@functools.cache
def _fragment(name: str, words: tuple[tuple[str, str], ...]) -> Fragment:
    raw = dict(_raw(name))
    chosen = {one["name"]: one["default"] for one in raw.get("input", []) if "choices" in one}
    chosen.update(words)
    raw["form"] = {key: value for key, value in raw["form"].items() if key != "order"}
    kept = _kept(raw, chosen)
    reading = Reading(Places(f"form {name}", (0,), {}, {}), Path(), Limits(), [])
    fragment = table(_FRAGMENT)(Spot(reading, ()), kept)
    if fragment is None or reading.found:
        raise ValueError(f"the form {name} is broken: {reading.found}")
    return fragment


def stands(when: str, chosen: Mapping[str, str]) -> bool:
    """Whether a condition such as "tuck = reverse" or "flap = square | round, foot = low" holds."""
    for part in when.split(","):
        name, _, words = part.partition("=")
        if chosen[name.strip()] not in [word.strip() for word in words.split("|")]:
            return False
    return True


def _kept(raw: Any, chosen: Mapping[str, str]) -> Any:
    """The tables whose `when` holds, without the key itself."""
    if isinstance(raw, list):
        return [_kept(one, chosen) for one in raw if _holds(one, chosen)]
    if isinstance(raw, dict):
        return {
            key: _kept(value, chosen)
            for key, value in raw.items()
            if key != "when" and _holds(value, chosen)
        }
    return raw


def _holds(raw: Any, chosen: Mapping[str, str]) -> bool:
    return not (isinstance(raw, dict) and "when" in raw) or stands(raw["when"], chosen)

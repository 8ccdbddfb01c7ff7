"""[[piece]]: one flat part cut from stock, as a map of panels, a free outline or a form.

In: one raw table with its sub-tables. Out: the frozen value `Piece`, lengths as written.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal

from booklet.problem import Place, Written
from booklet.read.listed import listed, pair, triple
from booklet.read.number import angle, length, whole
from booklet.read.raw import Length
from booklet.read.table import Key, Kind, Table, by_name, tables
from booklet.read.table import table as one_table
from booklet.read.text import (
    choice,
    map_line,
    name,
    new_id,
    path_data,
    spoken,
    title,
    written_choice,
)


@dataclass(frozen=True, kw_only=True)
class PanelTable:
    """[piece.panel.NAME]: how one panel's free edges and corners are shaped."""

    label: str | None = None
    round: Length | None = None
    taper: Length | None = None
    notch: Length | None = None
    place: Place

    @property
    def shaping(self) -> tuple[Length | None, ...]:
        """All that shapes edges and corners, in the order of the flat stage's wishes."""
        return self.round, self.taper, self.notch


@dataclass(frozen=True, kw_only=True)
class Cutout:
    """[[piece.cutout]]: a hole; `at` is its centre from the panel's lower left corner."""

    panel: Written[str]
    shape: Written[str]
    at: tuple[Length, Length]
    size: tuple[Length, Length]
    place: Place


@dataclass(frozen=True, kw_only=True)
class Join:
    """[[piece.join]]: a tab, the panel that it is glued to and the supply (key `with`)."""

    tab: Written[str]
    to: Written[str]
    supply: Written[str] | None = None
    place: Place


@dataclass(frozen=True, kw_only=True)
class Piece:
    """A piece as written; `points` are the panels of a free outline ([piece.panels])."""

    id: Written[str]
    name: str
    stock: Written[str] | None = None
    count: int = 1
    columns: tuple[Length, ...] = ()
    rows: tuple[Length, ...] = ()
    map: tuple[Written[str], ...] = ()
    cuts: tuple[Written[str], ...] = ()
    root: Written[str] | None = None
    folds: dict[str, Written[int | Decimal | str]] = field(default_factory=dict)
    panels: dict[str, PanelTable] = field(default_factory=dict)
    cutouts: tuple[Cutout, ...] = ()
    joins: tuple[Join, ...] = ()
    outline: Written[str] | None = None
    scores: tuple[Written[str], ...] = ()
    unit: str | None = None
    points: dict[str, tuple[Length, Length]] = field(default_factory=dict)
    form: Written[str] | None = None
    inside: tuple[Length, Length, Length] | None = None
    inputs: dict[str, Length] = field(default_factory=dict)
    supply: Written[str] | None = None
    grain: Written[str] | None = None
    map_place: Place | None = None
    place: Place


UNITS = ("in", "mm", "cm")
SHAPES = ("circle", "rectangle", "oval", "slot")
_length_pair = pair(length, '["1/2 * wide", "3/4"]')

LABEL = Key(
    "label", "what the panel is called in print; without one its name, tab_l as left tab", title
)
ROUND = Key("round", "the radius of its free corners", length)
TAPER = Key("taper", "how far both ends of its free edge are inset", length)
NOTCH = Key("notch", "the width of a thumb notch in its free edge", length)


def _build_panel(table: Table) -> PanelTable:
    return PanelTable(
        label=table.get(LABEL) or None,
        round=table.get(ROUND),
        taper=table.get(TAPER),
        notch=table.get(NOTCH),
        place=table.place,
    )


PANEL = Kind("piece.panel", (LABEL, ROUND, TAPER, NOTCH), _build_panel)

CUTOUT_PANEL = Key("panel", "the panel that the hole is in", name, required=True)
SHAPE = Key("shape", "the shape of the hole", written_choice(*SHAPES), required=True)
AT = Key("at", "its centre from the panel's lower left corner", _length_pair, required=True)
CUTOUT_SIZE = Key("size", "its width and height", _length_pair, required=True)


def _build_cutout(table: Table) -> Cutout:
    return Cutout(
        panel=table.need(CUTOUT_PANEL),
        shape=table.need(SHAPE),
        at=table.need(AT),
        size=table.need(CUTOUT_SIZE),
        place=table.place,
    )


CUTOUT = Kind("piece.cutout", (CUTOUT_PANEL, SHAPE, AT, CUTOUT_SIZE), _build_cutout)

TAB = Key("tab", "the panel that gets the adhesive", name, required=True)
TO = Key("to", "the panel that it is glued to", name, required=True)
WITH = Key("with", "the supply that joins them", name)


def _build_join(table: Table) -> Join:
    return Join(tab=table.need(TAB), to=table.need(TO), supply=table.get(WITH), place=table.place)


JOIN = Kind("piece.join", (TAB, TO, WITH), _build_join)

ID = Key("id", "a name for it in the file", new_id, required=True)
NAME = Key("name", "what it is called in print", title)
STOCK = Key("stock", "the paper that it is cut from", name)
COUNT = Key("count", "how many of it a project takes", whole(1, lambda limits: limits.count))
COLUMNS = Key(
    "columns",
    "widths of the map's columns, left to right",
    listed(length, '["deep", "wide", "deep"]', lambda limits: limits.lines),
)
ROWS = Key(
    "rows",
    "heights of the map's rows, top to bottom",
    listed(length, '["flap", "tall"]', lambda limits: limits.lines),
)
MAP = Key(
    "map",
    "the panels, a text per row; . is waste",
    listed(map_line, '["side_l back side_r"]', lambda limits: limits.lines),
)
CUTS = Key("cuts", "panel pairs or path data to cut", listed(path_data, '["tab_l|base"]'))
ROOT = Key("root", "the panel that stays on the table", name)
FOLDS = Key(
    "folds",
    "target angle of each panel's hinge",
    by_name(angle, "lid = 90", lambda limits: limits.panels, pair=True),
)
PANELS = Key(
    "panel",
    "the shape of single panels, as [piece.panel.NAME]",
    by_name(one_table(PANEL), '[piece.panel.lid] with round = "1/4"', lambda limits: limits.panels),
)
CUTOUTS = Key("cutout", "holes, as [[piece.cutout]]", tables(CUTOUT))
JOINS = Key("join", "glued tabs, as [[piece.join]]", tables(JOIN))
OUTLINE = Key("outline", "the outline as path data, instead of a map", path_data)
SCORES = Key("scores", "score lines as path data", listed(path_data, '["M 0 1 H 4"]'))
UNIT = Key("unit", "the unit of the path data", choice(*UNITS))
POINTS = Key(
    "panels",
    "a point inside each panel of a free outline",
    by_name(_length_pair, "back = [2, 3]", lambda limits: limits.panels),
)
FORM = Key("form", "a ready form, instead of a map", name)
INSIDE = Key("inside", "wide, tall and deep that a form makes", triple(length, "[3, 4, 1]"))
INPUTS = Key(
    "inputs",
    "further inputs of a form, as [piece.inputs]",
    by_name(length, 'wall = "1 1/2"', lambda limits: limits.lines),
)
FORM_SUPPLY = Key("with", "the supply that joins a form's tabs", name)
GRAIN = Key(
    "grain", "whether the grain must run along the scores", written_choice("scores", "none")
)

_SHAPE_KEYS = (MAP, OUTLINE, FORM)
_KEYS = (ID, NAME, STOCK, COUNT, COLUMNS, ROWS, MAP, CUTS, ROOT, FOLDS, PANELS, CUTOUTS, JOINS)
_FREE_KEYS = (OUTLINE, SCORES, UNIT, POINTS, FORM, INSIDE, INPUTS, FORM_SUPPLY, GRAIN)


def _check_shape(table: Table) -> None:
    """A piece is either a map with columns and rows, or an outline, or a form with its inside."""
    if not table.written & {key.name for key in _SHAPE_KEYS}:
        table.spot.report(
            "missing-key",
            '[piece] has no "map", "outline" or "form"',
            "Add columns, rows and map; or an outline; or a form and its inside.",
        )
    table.only_one_of(*_SHAPE_KEYS)
    table.needs_too(MAP, COLUMNS, ROWS)
    table.needs_too(FORM, INSIDE)
    table.needs_too(INSIDE, FORM)
    table.needs_too(INPUTS, FORM)
    table.needs_too(FORM_SUPPLY, FORM)


def _build(table: Table) -> Piece:
    _check_shape(table)
    identifier = table.need(ID)
    called = spoken(identifier.value)
    return Piece(
        id=identifier,
        name=table.get(NAME) or f"{called[:1].upper()}{called[1:]}",  # as lists begin with it
        stock=table.get(STOCK),
        count=table.get_or(COUNT, 1),
        columns=table.get_or(COLUMNS, ()),
        rows=table.get_or(ROWS, ()),
        map=table.get_or(MAP, ()),
        cuts=table.get_or(CUTS, ()),
        root=table.get(ROOT),
        folds=table.get_or(FOLDS, {}),
        panels=table.get_or(PANELS, {}),
        cutouts=table.get_or(CUTOUTS, ()),
        joins=table.get_or(JOINS, ()),
        outline=table.get(OUTLINE),
        scores=table.get_or(SCORES, ()),
        unit=table.get(UNIT),
        points=table.get_or(POINTS, {}),
        form=table.get(FORM),
        inside=table.get(INSIDE),
        inputs=table.get_or(INPUTS, {}),
        supply=table.get(FORM_SUPPLY),
        grain=table.get(GRAIN),
        map_place=table.place_of(MAP),
        place=table.place,
    )


PIECE = Kind("piece", (*_KEYS, *_FREE_KEYS), _build)

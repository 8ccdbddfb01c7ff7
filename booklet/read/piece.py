"""[[piece]]: one flat part cut from stock, as a map of panels, a free outline or a form.

In: one raw table with its sub-tables. Out: the frozen value `Piece`, lengths as written.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal

from booklet.problem import Place, Written
from booklet.read.raw import Length


@dataclass(frozen=True, kw_only=True)
class PanelTable:
    """[piece.panel.NAME]: how one panel's free edges and corners are shaped."""

    label: str | None = None
    round: Length | None = None
    taper: Length | None = None
    notch: Length | None = None
    place: Place


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
    grain: Written[str] | None = None
    columns_place: Place | None = None
    rows_place: Place | None = None
    map_place: Place | None = None
    place: Place

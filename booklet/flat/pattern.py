"""The flat pattern as values: what `flat` hands to every later stage.

In: nothing (pure definitions). Out: frozen dataclasses. Exact measures are `Fraction` millimetres;
points and shapes are float millimetres, x to the right and y up from the blank's lower left corner.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from shapely.geometry import Polygon

from booklet.flat.flatten import points_of
from booklet.flat.path import Path, Point, segment
from booklet.flat.path_length import path_length
from booklet.measure.tolerance import ANGLE_DEG, CURVE_MM
from booklet.problem import Place

FLAT_DEG = 179.0
"""Degrees from which on a folded panel counts as lying flat on the one that it hangs on."""

Box = tuple[Fraction, Fraction, Fraction, Fraction]


@dataclass(frozen=True)
class Edge:
    """One side of a panel, walked counter-clockwise.

    `kind` is score (folds), cut (a slit beside another panel) or outer (beside waste or the blank's
    edge); `beside` names the panel on the other side. `path` holds the way from start to end: a
    straight line, or Béziers where a corner is rounded.
    """

    kind: str
    beside: str | None
    path: Path


SKETCH_MM = 4 * CURVE_MM
"""How far a picture's outline may stray."""


@dataclass(frozen=True)
class Panel:
    """An area bounded by scores and cuts.

    `box` (x0, y0, x1, y1) is its nominal extent before corners are rounded or tapered; `shape` is
    the true area with cutouts taken out (arcs flattened), `edges` and `holes` the true outline.
    """

    name: str
    label: str
    box: Box
    shape: Polygon
    edges: tuple[Edge, ...]
    holes: tuple[Path, ...]
    place: Place

    @property
    def size(self) -> tuple[Fraction, Fraction]:
        """Nominal width and height in mm."""
        return self.box[2] - self.box[0], self.box[3] - self.box[1]

    @property
    def outline(self) -> Path:
        """The closed outer outline, arcs kept as Béziers."""
        return close_edges(self.edges)

    @cached_property
    def sketch(self) -> Polygon:
        """The area for pictures, which are smaller than life: arcs with half the corners."""
        holes = [points_of(hole, SKETCH_MM) for hole in self.holes]
        area = Polygon(points_of(self.outline, SKETCH_MM), holes)
        return area if area.is_valid else self.shape


@dataclass(frozen=True)
class Score:
    """A score; `line` is its exact x (upright) or y (level), `span` where it runs.

    `angle` is the fold's target in degrees, valley positive. A slanted or curved score is not
    `aligned`: `line` and `span` are 0, and `curve` is the way of a curved one from start to end.
    `place` is known for scores that are drawn as path data.
    """

    between: tuple[str, str]
    start: Point
    end: Point
    upright: bool
    line: Fraction
    span: tuple[Fraction, Fraction]
    angle: float
    aligned: bool = True
    curve: Path | None = None
    place: Place | None = None

    @property
    def level(self) -> bool:
        """Whether it runs from left to right, as a scoring board sets it from the top."""
        return self.aligned and not self.upright

    @property
    def path(self) -> Path:
        """The score's line or curve."""
        return self.curve or segment(self.start, self.end)

    @property
    def length(self) -> float:
        """Its length in mm."""
        return path_length(self.path)


@dataclass(frozen=True)
class Hinge:
    """A panel hangs on its parent by `score` (an index into the pattern's scores).

    `angle` is its target in degrees, valley positive.
    """

    panel: str
    parent: str
    score: int
    angle: float

    @property
    def folds(self) -> bool:
        """Whether the panel is folded at all: a score may only be pressed so that paper gives."""
        return abs(self.angle) > ANGLE_DEG

    @property
    def lies_flat(self) -> bool:
        """Whether the folded panel ends flat on its parent."""
        return abs(self.angle) >= FLAT_DEG


@dataclass(frozen=True)
class JoinPair:
    """A tab and the panel that it is glued to, each as (piece id, panel name)."""

    tab: tuple[str, str]
    to: tuple[str, str]
    supply: str | None
    place: Place


@dataclass(frozen=True)
class Pattern:
    """One piece, flat. `hinges` are in the order of their distance from the root."""

    id: str
    name: str
    stock: str | None
    count: int
    columns: tuple[Fraction, ...]
    rows: tuple[Fraction, ...]
    panels: tuple[Panel, ...]
    scores: tuple[Score, ...]
    cuts: tuple[Path, ...]
    slits: tuple[Path, ...]
    root: str
    hinges: tuple[Hinge, ...]
    joins: tuple[JoinPair, ...]
    place: Place

    @property
    def blank(self) -> tuple[Fraction, Fraction]:
        """Width and height of the blank in mm."""
        return sum(self.columns, Fraction(0)), sum(self.rows, Fraction(0))

    @cached_property
    def folding(self) -> frozenset[str]:
        """The panels that are folded in the end."""
        return frozenset(hinge.panel for hinge in self.hinges if hinge.folds)

    @cached_property
    def by_name(self) -> Mapping[str, Panel]:
        """The panels by name, for the many places that look one up."""
        return {panel.name: panel for panel in self.panels}

    def panel(self, name: str) -> Panel:
        """The panel of that name; KeyError when there is none."""
        return self.by_name[name]


def meeting_of(pattern: Pattern, tab: str, to: str) -> frozenset[str]:
    """The panels of a piece that have to be folded before this tab lies on its panel.

    All that carry one of the two and not the other, themselves included: what is glued to a panel
    that it hangs on (a hem, or a pocket's tab on its cover) lies there wherever that panel stands.
    """
    parents = {hinge.panel: hinge.parent for hinge in pattern.hinges}

    ways: list[set[str]] = []
    for name in (tab, to):
        way = {name}
        while name in parents:
            name = parents[name]
            way.add(name)
        ways.append(way)
    return frozenset(ways[0] ^ ways[1]) & pattern.folding


@dataclass(frozen=True)
class MatLayer:
    """A mat: `shape` lies at the panel's place in the pattern's coordinates; `size` is exact mm."""

    id: str
    name: str
    piece: str
    panel: str
    stock: str | None
    reveal: Fraction
    size: tuple[Fraction, Fraction]
    shape: Polygon
    count: int
    place: Place


def close_edges(edges: tuple[Edge, ...]) -> Path:
    """Edges end to end as one closed path."""
    commands = list(edges[0].path.commands[:1])
    for edge in edges:
        commands.extend(edge.path.commands[1:])
    return Path((*commands, ("Z",)))

"""[[nest]]: does one folded piece go into another, and where does it lie there?

In: folded shapes and cavities. Out: one `NestFit` for each nest with the inner piece's placement,
and problems that name the measure to change.

The outer box of the inner piece, over the faces of its walls, is compared with the room between
the faces of the outer piece's walls. Two pieces of the same nominal width therefore lack twice the
thickness of their stock. Along the outer piece's opening the inner one may stand out.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from booklet.flat.pattern import Pattern
from booklet.fold.cavity import Cavity, Triple
from booklet.fold.company import Placement
from booklet.fold.culprit import WORDS, measure_behind
from booklet.fold.hull import Hull
from booklet.fold.pose import Floats
from booklet.fold.slanted_room import spare_round
from booklet.limits import Limits
from booklet.measure.resolve import Scope
from booklet.measure.rounding import Printer
from booklet.measure.ruler import mark_up
from booklet.measure.tolerance import TOUCH_MM
from booklet.problem import Problem
from booklet.read.nest import Nest
from booklet.read.piece import Piece

STANDS_OUT = 0.1
"""Share of its length by which a piece that has to be turned to go in may stand out."""

UPRIGHT = 0.9
"""Cosine from which a way counts as straight up or down."""

Turn = tuple[int, int, int]


@dataclass(frozen=True, eq=False)
class NestFit:
    """How `inner` lies in `outer`; all lengths mm.

    `spare` is what is left along the inner piece's own wide, tall and deep after the ease;
    negative is what is missing. It may be negative along `opening` (0, 1, 2: x, y, z of the outer
    piece, None where all six sides are closed) and still fit. `turned` names for each direction of
    the outer piece which of the inner's lies along it.
    """

    inner: str
    outer: str
    fits: bool
    spare: Triple
    turned: Turn
    opening: int | None
    placement: Placement


@dataclass(frozen=True, eq=False)
class Home:
    """What a nest needs to know of a piece: as written, flat, its hull and its cavity."""

    piece: Piece
    pattern: Pattern
    hull: Hull
    cavity: Cavity | None


def fit_nests(
    nests: Sequence[Nest], homes: Mapping[str, Home], scope: Scope, found: list[Problem]
) -> tuple[NestFit, ...]:
    """Fit every nest whose two pieces are known; a piece lies in one other at most."""
    fits: list[NestFit] = []
    inside: dict[str, str] = {}
    for nest in nests:
        inner, outer = nest.inner.value, nest.outer.value
        if inner not in homes or outer not in homes:
            continue  # unknown names have their own report
        if inner in inside or _circle(inner, outer, inside):
            found.append(_impossible(nest, inside))
            continue
        if _depth(inner, outer, inside) > Limits().nested:
            found.append(_too_deep(nest))
            continue
        inside[inner] = outer
        cavity = homes[outer].cavity
        if cavity is None:
            found.append(_no_room(nest))
            continue
        fit = _fit(nest, homes[inner], cavity, scope)
        fits.append(fit)
        if not fit.fits:
            found.append(_too_tight(nest, fit, homes[outer], scope))
    return tuple(fits)


def _circle(inner: str, outer: str, inside: Mapping[str, str]) -> bool:
    return inner in _way_up(outer, inside)


def _way_up(name: str, inside: Mapping[str, str]) -> list[str]:
    """The piece, the one that it lies in, and so on."""
    way = [name]
    while way[-1] in inside:
        way.append(inside[way[-1]])
    return way


def _depth(inner: str, outer: str, inside: Mapping[str, str]) -> int:
    """How many pieces would lie one in another, from what is in the inner one to the outermost."""
    below = [way.index(inner) for way in (_way_up(n, inside) for n in inside) if inner in way]
    return max(below, default=0) + 1 + len(_way_up(outer, inside))


def _fit(nest: Nest, inner: Home, cavity: Cavity, scope: Scope) -> NestFit:
    silent: list[Problem] = []  # the measure stage has reported what is wrong with them
    ease = scope.facts.length(nest.ease, silent) if nest.ease is not None else None
    pulled = scope.number(nest.pulled, silent) if nest.pulled is not None else None
    opening = _opening(cavity)
    best: tuple[bool, float, Turn, Triple] | None = None
    for turn in itertools.permutations(range(3)):
        turned = turn[0], turn[1], turn[2]
        spare = _spare(inner.hull, cavity, turned, float(ease or 0))
        across = [spare[turned[axis]] for axis in range(3) if axis != opening]
        fits = min(across) >= -TOUCH_MM and _may_turn(inner, cavity, turned, opening, spare)
        if best is None or (fits and not best[0]):
            best = fits, min(across), turned, spare
    assert best is not None
    fits, _, turned, spare = best
    matrix = _matrix(inner, cavity, turned, opening)
    way = _way(cavity, opening)
    length = inner.hull.size[turned[opening]] if opening is not None else 0.0
    placement = Placement(
        nest.inner.value, nest.outer.value, matrix, way, length, float(pulled or 0)
    )
    return NestFit(nest.inner.value, nest.outer.value, fits, spare, turned, opening, placement)


def _may_turn(
    inner: Home, cavity: Cavity, turned: Turn, opening: int | None, spare: Triple
) -> bool:
    """Standing out is fine as the file states the pieces; nothing is stood on end to go in so."""
    if turned == (0, 1, 2) or opening is None:
        return True
    own = turned[opening]
    mine = inner.cavity
    if mine is not None and _mouths(cavity) == 1 == _mouths(mine) and own != _opening(mine):
        return False
    return spare[own] >= -STANDS_OUT * inner.hull.size[own]


def _mouths(cavity: Cavity) -> int:
    return cavity.walls.count(False)


def _spare(hull: Hull, cavity: Cavity, turned: Turn, ease: float) -> Triple:
    """Room less size and ease along the inner's own directions; a flat pocket bulges."""
    flat = cavity.flat
    spare = [0.0, 0.0, 0.0]
    if cavity.planes is not None:
        return _slanted_spare(hull, cavity, turned, ease)
    for axis, own in enumerate(turned):
        if axis != flat:
            bulge = hull.size[turned[flat]] if flat is not None else 0.0
            spare[own] = cavity.inside[axis] - hull.size[own] - bulge - ease
    return spare[0], spare[1], spare[2]


def _slanted_spare(hull: Hull, cavity: Cavity, turned: Turn, ease: float) -> Triple:
    """The same where walls are not square to the axes: the room round every corner of the inner."""
    assert cavity.planes is not None
    planes = cavity.planes - np.array([0.0, 0.0, 0.0, hull.half])
    centre = np.array([cavity.low, cavity.high]).mean(axis=0)
    left = spare_round(planes, centre, hull.points[:, turned], _opening(cavity))
    spare = [0.0, 0.0, 0.0]
    for axis, own in enumerate(turned):
        spare[own] = left[axis] - ease
    return spare[0], spare[1], spare[2]


def _opening(cavity: Cavity) -> int | None:
    """The direction of the cavity that has an open side; of several the one with two."""
    open_sides = [2 - cavity.walls[2 * axis] - cavity.walls[2 * axis + 1] for axis in range(3)]
    return None if max(open_sides) == 0 else open_sides.index(max(open_sides))


def _way(cavity: Cavity, opening: int | None) -> Triple:
    """The unit direction in which the inner piece comes out; toward high x, y or z if it may."""
    way = [0.0, 0.0, 0.0]
    if opening is not None:
        way[opening] = -1.0 if cavity.walls[2 * opening + 1] else 1.0
    return way[0], way[1], way[2]


def _matrix(inner: Home, cavity: Cavity, turned: Turn, opening: int | None) -> Floats:
    """The inner piece turned and set in the middle of the room, at its closed end if it has one.

    A tray whose opening lies along the outer's is turned to face the closed end, as a lid closes
    on its tray.
    """
    matrix = np.eye(4)
    matrix[:3, :3] = _rotation(turned, _facing(inner.cavity, cavity, turned, opening), opening)
    low, high = matrix[:3, :3] @ inner.hull.low, matrix[:3, :3] @ inner.hull.high
    low, high = np.minimum(low, high), np.maximum(low, high)
    room = np.array([cavity.low, cavity.high])
    matrix[:3, 3] = room.mean(axis=0) - (low + high) / 2
    if opening is not None and not cavity.pocket:
        walls = cavity.walls[2 * opening : 2 * opening + 2]
        if walls[0] != walls[1]:
            faces = _faces(cavity, opening)
            at = faces[0] - low[opening] if walls[0] else faces[1] - high[opening]
            matrix[opening, 3] = at
    return matrix


def _faces(cavity: Cavity, axis: int) -> tuple[float, float]:
    """Both ends of the room along an axis, at the faces of its walls."""
    walls = cavity.walls[2 * axis : 2 * axis + 2]
    thin = cavity.high[axis] - cavity.low[axis] - cavity.inside[axis]
    half = thin / max(1, sum(walls))
    return cavity.low[axis] + half * walls[0], cavity.high[axis] - half * walls[1]


def _facing(
    own: Cavity | None, cavity: Cavity, turned: Turn, opening: int | None
) -> tuple[int, float] | None:
    """The outer's axis and the sign that the inner's own opening must have, if it matters."""
    if own is None or own.pocket or opening is None:
        return None
    mine = _opening(own)
    if mine is None or turned[opening] != mine:
        return None
    walls, room = own.walls[2 * mine : 2 * mine + 2], cavity.walls[2 * opening : 2 * opening + 2]
    if sum(walls) != 1 or sum(room) != 1:
        return None
    # Its opening faces the closed end: the sign of that axis follows from the two.
    return opening, 1.0 if walls[0] != room[0] else -1.0


def _rotation(turned: Turn, facing: tuple[int, float] | None, opening: int | None) -> Floats:
    """The rotation that lays own axis `turned[a]` along axis a, with as few axes reversed."""
    rows = np.zeros((3, 3))
    for axis, own in enumerate(turned):
        rows[axis, own] = 1.0
    best, fewest = rows, math.inf
    for signs in itertools.product((1.0, -1.0), repeat=3):
        if facing is not None and signs[facing[0]] != facing[1]:
            continue
        turn = np.array(signs)[:, None] * rows
        # Where one axis has to be reversed, rather that of the opening than another.
        cost = 2 * signs.count(-1.0) - (opening is not None and signs[opening] < 0)
        if np.linalg.det(turn) > 0 and cost < fewest:
            best, fewest = turn, cost
    return best


def is_lid(fit: NestFit) -> bool:
    """Whether the outer piece, which lies with its mouth up, comes down over the inner's mouth."""
    way = np.array(fit.placement.way)
    # Drawn out the inner one leaves with its bottom first: what it came from covers its open side.
    own = fit.placement.matrix[:3, :3].T @ way
    return bool(own[2] < -UPRIGHT and way[2] > UPRIGHT)


def _impossible(nest: Nest, inside: Mapping[str, str]) -> Problem:
    inner, outer = nest.inner.value, nest.outer.value
    why = (
        f'it lies in "{inside[inner]}" already' if inner in inside else "they go round in a circle"
    )
    return Problem(
        "nest-impossible",
        f'"{inner}" cannot lie in "{outer}": {why}',
        nest.inner.place,
        "let each piece lie in one other at most, and none in itself",
    )


def _too_deep(nest: Nest) -> Problem:
    return Problem(
        "too-many",
        f"more than {Limits().nested} pieces lie one in another",
        nest.inner.place,
        "take some of them out into a project of their own",
    )


def _no_room(nest: Nest) -> Problem:
    return Problem(
        "no-cavity",
        f'"{nest.inner.value}" is to lie in "{nest.outer.value}", which encloses no room once '
        "folded: no box with walls on four sides, and no pocket that a join holds",
        nest.outer.place,
        "fold walls up (90), add the joins of a pocket, or name the piece that goes outside",
    )


def _too_tight(nest: Nest, fit: NestFit, outer: Home, scope: Scope) -> Problem:
    printer = Printer(scope.units, scope.ruler)
    short = [
        (axis, own)
        for axis, own in enumerate(fit.turned)
        if axis != fit.opening and fit.spare[own] < -TOUCH_MM
    ]
    missing = ", ".join(f"{-fit.spare[own]:.1f} mm in {WORDS[axis]}" for axis, own in short)
    ways = [measure_behind(outer.piece, outer.pattern, None, axis, scope) for axis, _ in short]
    help_ = "; ".join(
        f'make {way} of "{fit.outer}" at least '
        f"{printer.both(mark_up(-fit.spare[own], scope.ruler))} larger"
        for way, (_, own) in zip(ways, short, strict=True)
    )
    return Problem(
        "nest-too-tight",
        f'"{fit.inner}" does not go into "{fit.outer}": with its ease and both thicknesses of '
        f'stock "{fit.outer}" lacks {missing}',
        nest.ease.place if nest.ease is not None else nest.inner.place,
        help_,
    )

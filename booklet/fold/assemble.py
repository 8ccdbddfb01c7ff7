"""Pieces that are glued to each other, in one frame.

In: the folded pieces and their joins across pieces. Out: a `Placement` for each piece that is
glued to one before it in the file, and the joins across pieces measured as those inside one.

The place of a piece follows from its joins: of all ways in which one of its tabs may meet its
panel the one is taken in which all of its joins land best. What then is left open is told at the
join that is open.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

import numpy as np

from booklet.flat.pattern import JoinPair
from booklet.fold.company import Company, Placement, company
from booklet.fold.join import JoinFit, Landing, fit_join, judge_join, landing
from booklet.fold.meet import ways_to_meet
from booklet.fold.pose import Floats, Posed
from booklet.measure.tolerance import HAND_MM
from booklet.problem import Problem

MOST_ANCHORS = 4
"""Joins of one piece whose ways to meet are tried; the rest are measured only."""

MISSED_MM = 20.0
"""A tab that misses its panel whole counts as much as a gap of this many mm."""

Members = dict[str, tuple[Posed, Floats]]


def across(pieces: Mapping[str, Posed]) -> tuple[JoinPair, ...]:
    """The joins between two pieces, both of which are known."""
    joins = [join for posed in pieces.values() for join in posed.pattern.joins]
    return tuple(
        join
        for join in joins
        if join.tab[0] != join.to[0] and join.tab[0] in pieces and join.to[0] in pieces
    )


def place_pieces(pieces: Mapping[str, Posed]) -> tuple[dict[str, Placement], tuple[Members, ...]]:
    """Placements by piece, and the groups of pieces that hang together, each in its first's frame.

    A piece without joins to others is in no group.
    """
    joins: dict[str, list[JoinPair]] = {}
    for join in across(pieces):
        for name in _pair(join):
            joins.setdefault(name, []).append(join)
    placements: dict[str, Placement] = {}
    groups: list[Members] = []
    waiting = [name for name in pieces if name in joins]
    while waiting:
        first = waiting.pop(0)
        members: Members = {first: (pieces[first], np.eye(4))}
        while (piece := _next(waiting, members, joins)) is not None:
            waiting.remove(piece)
            own = [join for join in joins[piece] if _other(join, piece) in members]
            matrix, residual = _best(pieces[piece], members, own)
            members[piece] = pieces[piece], matrix
            placements[piece] = Placement(piece, first, matrix, residual=residual)
        groups.append(members)
    return placements, tuple(groups)


def _pair(join: JoinPair) -> tuple[str, str]:
    return join.tab[0], join.to[0]


def _other(join: JoinPair, piece: str) -> str:
    return join.to[0] if join.tab[0] == piece else join.tab[0]


def _next(
    waiting: Sequence[str], members: Members, joins: Mapping[str, Sequence[JoinPair]]
) -> str | None:
    """The piece with most joins to those placed, the first of equals."""
    count = {name: sum(_other(join, name) in members for join in joins[name]) for name in waiting}
    best = max(count, key=lambda name: count[name], default=None)
    return best if best is not None and count[best] else None


def _best(posed: Posed, members: Members, joins: Sequence[JoinPair]) -> tuple[Floats, float]:
    """The place in which the joins land best, and the largest gap that is left, mm."""
    best, least, residual = np.eye(4), np.inf, 0.0
    for join in joins[:MOST_ANCHORS]:
        for matrix in _places(posed, members, join):
            whole = _with(posed, matrix, members, joins)
            lands = [landing(whole, ".".join(j.tab), ".".join(j.to)) for j in joins]
            cost = sum(map(_cost, lands)) + _behind(posed, matrix, members, joins)
            if cost < least - HAND_MM / 10:  # the likelier way stands unless another is better
                best, least, residual = matrix, cost, max(land.gap for land in lands)
        if least <= HAND_MM / 10:
            break
    return best, residual


def _behind(posed: Posed, matrix: Floats, members: Members, joins: Sequence[JoinPair]) -> float:
    """A little, in mm, for each tab that lies over its own panel instead of under it.

    A tab folded flat lies on the side of its panel that it was folded to; that side has to face the
    inside of what the tab is glued to.
    """
    places = {name: (other, place) for name, (other, place) in members.items()}
    places[posed.pattern.id] = posed, matrix
    wrong = 0
    for join in joins:
        tab, tab_place = places[join.tab[0]]
        to, to_place = places[join.to[0]]
        hinge = next((h for h in tab.pattern.hinges if h.panel == join.tab[1]), None)
        if hinge is not None and hinge.lies_flat:
            up = (tab_place @ tab.matrix(join.tab[1]))[:3, 2]
            goal = (to_place @ to.matrix(join.to[1]))[:3, 2]
            wrong += (float(up @ goal) > 0) != (hinge.angle > 0)
    return wrong * HAND_MM / 5


def _places(posed: Posed, members: Members, join: JoinPair) -> Iterator[Floats]:
    """Matrices from the piece's frame to the common one in which this join meets."""
    piece = posed.pattern.id
    other, place = members[_other(join, piece)]
    if join.tab[0] == piece:
        own, theirs = posed.matrix(join.tab[1]), place @ other.matrix(join.to[1])
        ways = ways_to_meet(posed.panels[join.tab[1]], other.panels[join.to[1]])
        yield from (theirs @ way @ np.linalg.inv(own) for way in ways)
    else:
        own, theirs = posed.matrix(join.to[1]), place @ other.matrix(join.tab[1])
        ways = ways_to_meet(other.panels[join.tab[1]], posed.panels[join.to[1]])
        yield from (theirs @ np.linalg.inv(own @ way) for way in ways)


def _with(posed: Posed, matrix: Floats, members: Members, joins: Sequence[JoinPair]) -> Company:
    """The piece and those that its joins lead to: all that a landing needs."""
    near = {_other(join, posed.pattern.id) for join in joins}
    others = {name: members[name] for name in near}
    return company({posed.pattern.id: (posed, matrix), **others})


def _cost(land: Landing) -> float:
    """How badly a join lands, in mm: an angle counts most, then a gap, then what misses."""
    return 10 * max(0.0, land.spread - HAND_MM) + land.gap + MISSED_MM * (1.0 - land.share)


def fit_across(groups: Sequence[Members], found: list[Problem]) -> dict[str, list[JoinFit]]:
    """The joins across pieces by the tab's piece; a panel of another piece is "piece.panel"."""
    fits: dict[str, list[JoinFit]] = {}
    for members in groups:
        whole = company(members)
        for join in across({name: posed for name, (posed, _) in members.items()}):
            fit = fit_join(whole, ".".join(join.tab), ".".join(join.to))
            judge_join(whole, join, fit, found)
            fits.setdefault(join.tab[0], []).append(replace(fit, tab=join.tab[1]))
    return fits


def frame_of(members: Members, piece: str) -> Company:
    """All pieces of a group in the frame of one of them."""
    back = np.linalg.inv(members[piece][1])
    return company({name: (posed, back @ place) for name, (posed, place) in members.items()})

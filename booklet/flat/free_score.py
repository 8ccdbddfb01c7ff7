"""The scores of a free piece: links between two panels, put together to whole lines.

In: the network, the areas and their names. Out: `Score` values, straight or curved, and problems
for scores that turn a corner between the same two panels.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Collection, Mapping, Sequence
from fractions import Fraction

from booklet.flat.faces import Area, Walk, owners
from booklet.flat.linework import backward, chained, ends, split_commands
from booklet.flat.network import Link, Network
from booklet.flat.path import Path, Point
from booklet.flat.pattern import Score
from booklet.measure.tolerance import TOUCH_MM
from booklet.problem import Place, Problem

CORNER_DEG = 3.0
"""Degrees by which a curved score may change direction at a point; more is a corner of its own."""


def free_scores(
    network: Network,
    faces: Sequence[Area],
    named: Mapping[str, int],
    cut: Mapping[frozenset[str], Place],
    found: list[Problem],
) -> list[Score] | None:
    """All scores, upright ones first, in the order of a map; None after a problem."""
    names = {number: name for name, number in named.items()}
    order = {name: place for place, name in enumerate(named)}
    left = owners(faces)
    beside: dict[tuple[str, str], list[Link]] = {}
    touching: set[frozenset[str]] = set()
    for index, link in enumerate(network.links):
        sides = [names.get(left.get(Walk(index, way), -1)) for way in (True, False)]
        first, second = sides
        if link.kind != "score" or first is None or second is None:
            continue
        touching.add(frozenset((first, second)))
        if frozenset((first, second)) not in cut:
            pair = (first, second) if order[first] < order[second] else (second, first)
            beside.setdefault(pair, []).append(link)
    scores: list[Score] = []
    good = _all_touch(cut, touching, set(named), found)
    for pair, links in beside.items():
        made = _scores_of(pair, links, network)
        good &= _in_one_line(made, found)
        scores += made
    return sorted(scores, key=_rank) if good else None


def _all_touch(
    cut: Mapping[frozenset[str], Place],
    touching: Collection[frozenset[str]],
    names: Collection[str],
    found: list[Problem],
) -> bool:
    """Whether each pair in `cuts` has a score between its panels, which is to be cut."""
    good = True
    for pair, place in cut.items():
        if pair <= set(names) and pair not in touching:
            good = False
            shown = " and ".join(f'"{name}"' for name in sorted(pair))
            found.append(
                Problem(
                    "cut-not-touching",
                    f"{shown} have no common score to cut",
                    place,
                    "take the pair out, or draw the cut as path data",
                )
            )
    return good


def _rank(score: Score) -> tuple[int, Fraction, tuple[Fraction, Fraction], Point]:
    kind = 0 if score.upright else 1 if score.level else 2
    return kind, score.line if score.upright else -score.line, score.span, score.start


def _scores_of(pair: tuple[str, str], links: Sequence[Link], network: Network) -> list[Score]:
    by_ends = {frozenset((_key(a), _key(b))): link for link in links for a, b in [ends(link.path)]}
    scores = []
    for chain in chained([link.path for link in links]):
        parts = split_commands(chain)
        mine = [by_ends[frozenset(_key(p) for p in ends(part))] for part in parts]
        scores.append(_score(pair, chain, parts, mine, network))
    return scores


def _key(point: Point) -> tuple[int, int]:
    return round(point[0] * 1e4), round(point[1] * 1e4)


def _score(
    pair: tuple[str, str],
    chain: Path,
    parts: Sequence[Path],
    links: Sequence[Link],
    network: Network,
) -> Score:
    start, end = ends(parts[0])[0], ends(parts[-1])[1]
    turned = (end, start) < (start, end)
    place = links[0].source.place
    if turned:
        start, end = end, start
    if not _on_chord(parts, start, end):
        path = _reversed(parts) if turned else Path(chain.commands[: len(parts) + 1])
        zero = Fraction(0)
        return Score(
            pair, start, end, False, zero, (zero, zero), 0.0, aligned=False, curve=path, place=place
        )
    for axis in (0, 1):
        lines = {(a.source.start[axis], a.source.end[axis]) for a in links}
        line = min(lines)[0]
        if all(a == b and abs(float(a - line)) <= TOUCH_MM for a, b in lines):
            along = [network.nodes[n][1 - axis] for a in links for n in (a.first, a.last)]
            return Score(
                pair, start, end, axis == 0, line, (min(along), max(along)), 0.0, place=place
            )
    zero = Fraction(0)
    return Score(pair, start, end, False, zero, (zero, zero), 0.0, aligned=False, place=place)


def _on_chord(parts: Sequence[Path], start: Point, end: Point) -> bool:
    """Whether every point of the chain lies on the line from its start to its end."""
    size = math.dist(start, end)
    if size <= TOUCH_MM:
        return False

    def off(p: Point) -> float:
        cross = (p[0] - start[0]) * (end[1] - start[1]) - (p[1] - start[1]) * (end[0] - start[0])
        return abs(cross) / size

    points = [p for part in parts for command in part.commands for p in command[1:]]
    return all(off(point) <= TOUCH_MM for point in points)


def _reversed(parts: Sequence[Path]) -> Path:
    turned = [backward(part) for part in reversed(parts)]
    return Path((turned[0].commands[0], *(part.commands[1] for part in turned)))


def _in_one_line(scores: Sequence[Score], found: list[Problem]) -> bool:
    """Whether paper can fold along all scores of a pair at once."""
    first = scores[0]
    corner = next((s for s in scores if s.curve is not None and _has_corner(s.curve)), None)
    apart = len(scores) > 1 and (
        any(s.curve is not None for s in scores)
        or not all(_same_line(first, other) for other in scores[1:])
    )
    if corner is None and not apart:
        return True
    blamed = corner or scores[-1]
    names = " and ".join(f'"{name}"' for name in blamed.between)
    found.append(
        Problem(
            "score-bent",
            f"the score between {names} turns a corner: paper folds along one line or one smooth "
            "curve",
            blamed.place,
            "divide one of the panels by a score from the corner, or cut a part of the line",
        )
    )
    return False


def _same_line(first: Score, other: Score) -> bool:
    (x0, y0), (x1, y1) = first.start, first.end
    size = math.dist(first.start, first.end)
    return all(
        abs((p[0] - x0) * (y1 - y0) - (p[1] - y0) * (x1 - x0)) / size <= TOUCH_MM
        for p in (other.start, other.end)
    )


def _has_corner(path: Path) -> bool:
    parts = split_commands(path)
    for a, b in itertools.pairwise(parts):
        before, after = _directions(a)[1], _directions(b)[0]
        turn = math.degrees(
            math.atan2(
                before[0] * after[1] - before[1] * after[0],
                before[0] * after[0] + before[1] * after[1],
            )
        )
        if abs(turn) > CORNER_DEG:
            return True
    return False


def _directions(part: Path) -> tuple[Point, Point]:
    """The directions in which a line or curve starts and ends."""
    points = [p for command in part.commands for p in command[1:]]
    first = next((p for p in points[1:] if math.dist(p, points[0]) > TOUCH_MM), points[-1])
    last = next((p for p in points[-2::-1] if math.dist(p, points[-1]) > TOUCH_MM), points[0])
    return (
        (first[0] - points[0][0], first[1] - points[0][1]),
        (points[-1][0] - last[0], points[-1][1] - last[1]),
    )

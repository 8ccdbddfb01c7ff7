"""The tree of hinges: which panel hangs on which, from the root outward, and by what angle.

In: panel names with areas, scores with the names on both sides, and the wished angles.
Out: hinges in the order of their distance from the root, or problems for panels left loose.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from booklet.flat.map import split_pair
from booklet.flat.pattern import Hinge
from booklet.measure.resolve import Scope
from booklet.problem import Place, Problem, Written
from booklet.read.nearest import did_you_mean
from booklet.read.piece import Piece

DEFAULT_ANGLE = 90.0


@dataclass(frozen=True)
class Angles:
    """Wished angles in degrees: by panel (toward the root) and by score ("a|b")."""

    panels: Mapping[str, float]
    scores: Mapping[frozenset[str], float]

    def of(self, child: str, parent: str) -> float:
        """The angle of the score between a panel and the one nearer to the root."""
        named = self.scores.get(frozenset((child, parent)))
        return named if named is not None else self.panels.get(child, DEFAULT_ANGLE)

    def named(self, pair: tuple[str, str]) -> float:
        """The angle of a score that closes a ring: its own, or the default."""
        return self.scores.get(frozenset(pair), DEFAULT_ANGLE)


def read_angles(
    piece: Piece,
    root: str,
    names: list[str],
    pairs: set[frozenset[str]],
    scope: Scope,
    found: list[Problem],
) -> Angles:
    """The `folds` of a piece, checked: names known, pairs scored, angles within ±180 degrees."""
    panels: dict[str, float] = {}
    scores: dict[frozenset[str], float] = {}
    for key, written in piece.folds.items():
        angle = _angle(key, written, scope, found)
        pair = split_pair(key) if "|" in key else None
        wrong = [name for name in pair or (key,) if name not in names]
        for name in wrong:
            found.append(
                Problem(
                    "unknown-panel",
                    f'no panel "{name}" in "{piece.id.value}"',
                    written.place,
                    did_you_mean(name, names),
                )
            )
        if wrong or angle is None:
            continue
        if pair is not None and frozenset(pair) not in pairs:
            found.append(
                Problem(
                    "fold-no-score",
                    f'no score lies between "{pair[0]}" and "{pair[1]}"',
                    written.place,
                    "name two panels that meet at a score",
                )
            )
        elif key == root:
            found.append(
                Problem(
                    "fold-of-root",
                    f'"{key}" is the root, which stays on the table',
                    written.place,
                    "give the angle to a panel that hangs on it, or choose another root",
                )
            )
        elif pair is not None:
            scores[frozenset(pair)] = angle
        else:
            panels[key] = angle
    return Angles(panels, scores)


def _angle(key: str, written: Written[object], scope: Scope, found: list[Problem]) -> float | None:
    number = scope.number(written, found)  # type: ignore[arg-type]
    if number is None:
        return None
    if abs(number) > 180:
        found.append(
            Problem(
                "angle-out-of-range",
                f'the fold of "{key}" is {float(number):g}°, beyond ±180°',
                written.place,
                "a fold turns at most 180° either way; 90 stands a panel upright",
            )
        )
        return None
    return float(number)


def choose_root(piece: Piece, areas: Mapping[str, object], found: list[Problem]) -> str | None:
    """The named root, or the largest panel (the first of equals in the map's reading order)."""
    names = list(areas)
    if piece.root is None:
        return max(names, key=lambda name: areas[name])  # type: ignore[arg-type, return-value]
    if piece.root.value in areas:
        return piece.root.value
    found.append(
        Problem(
            "unknown-panel",
            f'root "{piece.root.value}" is not in the map of "{piece.id.value}"',
            piece.root.place,
            did_you_mean(piece.root.value, names),
        )
    )
    return None


def hang(
    root: str,
    places: Mapping[str, Place],
    scores: Sequence[tuple[tuple[str, str], float]],
    angles: Angles,
    found: list[Problem],
) -> tuple[Hinge, ...] | None:
    """Breadth first from the root over scores ((a, b), length in mm), longest score first.

    None, with a problem for each, when panels cannot be reached.
    """
    beside: dict[str, list[tuple[float, int, str]]] = {name: [] for name in places}
    for index, ((first, second), length) in enumerate(scores):
        beside[first].append((-length, index, second))
        beside[second].append((-length, index, first))
    reached = {root}
    hinges: list[Hinge] = []
    ring = [root]
    while ring:
        following: list[str] = []
        for parent in ring:
            for _, index, child in sorted(beside[parent]):
                if child not in reached:
                    reached.add(child)
                    following.append(child)
                    hinges.append(Hinge(child, parent, index, angles.of(child, parent)))
        ring = following
    loose = [name for name in places if name not in reached]
    for name in loose:
        found.append(
            Problem(
                "panel-loose",
                f'no score joins panel "{name}" to the root "{root}"',
                places[name],
                "let it touch a panel that hangs on the root, or take a pair out of cuts; "
                "a part that is to be loose is a piece of its own",
            )
        )
    return None if loose else tuple(hinges)

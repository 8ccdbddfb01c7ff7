"""Corners inside the paper at which every score is folded flat.

In: a pattern. Out: problems for corners whose valleys and mountains cannot be folded. Maekawa's
theorem: at such a corner they differ by two (T. Hull, "On the mathematics of flat origamis",
Congressus Numerantium 100, 1994, theorem 3.1). That the angles between the scores close
(Kawasaki's theorem, same place) follows from the ring itself.
"""

from __future__ import annotations

from collections import Counter

from booklet.flat.pattern import Pattern, Score
from booklet.fold.ring import fold_place, named_pairs
from booklet.measure.tolerance import ANGLE_DEG, TOUCH_MM
from booklet.problem import Problem
from booklet.read.piece import Piece


def check_flat_corners(pattern: Pattern, piece: Piece, found: list[Problem]) -> None:
    """Report each flat corner whose folds are all given and do not differ by two."""
    tree = {hinge.score for hinge in pattern.hinges}
    named = named_pairs(piece)
    for corner, numbers in _corners(pattern).items():
        scores = [pattern.scores[number] for number in numbers]
        given = all(n in tree or frozenset(pattern.scores[n].between) in named for n in numbers)
        flat = all(abs(abs(score.angle) - 180.0) <= ANGLE_DEG for score in scores)
        if not (given and flat and _inside(scores)):
            continue
        valleys = sum(score.angle > 0 for score in scores)
        mountains = len(scores) - valleys
        if abs(valleys - mountains) != 2:
            closing = next((n for n in numbers if n not in tree), numbers[-1])
            x, y = (step * TOUCH_MM for step in corner)
            found.append(
                Problem(
                    "flat-corner-impossible",
                    f"{valleys} valleys and {mountains} mountains meet at ({x:.1f}, {y:.1f}) mm, "
                    "all folded flat: the two numbers must differ by 2",
                    fold_place(pattern, piece, pattern.scores[closing].between),
                    "turn one of them over: change the sign of its angle",
                )
            )


def _corners(pattern: Pattern) -> dict[tuple[int, int], list[int]]:
    """Scores by the points at which they end, in steps of TOUCH_MM."""
    corners: dict[tuple[int, int], list[int]] = {}
    for number, score in enumerate(pattern.scores):
        for x, y in (score.start, score.end):
            corners.setdefault((round(x / TOUCH_MM), round(y / TOUCH_MM)), []).append(number)
    return corners


def _inside(scores: list[Score]) -> bool:
    """Whether scores alone lie round the corner: each panel there has two of them."""
    count = Counter(name for score in scores for name in score.between)
    return len(scores) >= 3 and set(count.values()) == {2}

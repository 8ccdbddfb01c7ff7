"""The score chart: where to set the blank on a scoring board.

In: a pattern. Out: positions from the left and from the top, exact mm, each with the stretch that
is scored, and whether the pattern is the same from both ends; letters for them.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from booklet.flat.pattern import Pattern

LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
Span = tuple[Fraction, Fraction]


@dataclass(frozen=True)
class ChartRow:
    """A score position; `spans` are the stretches along the line, measured from the other edge.

    For a position from the left, spans run down from the top; for one from the top, from the left.
    """

    position: Fraction
    spans: tuple[Span, ...]
    whole: bool


@dataclass(frozen=True)
class ScoreChart:
    """Positions in growing order, and whether turning the blank round gives the same ones.

    `slanted` and `curved` count the scores that no scoring board can set.
    """

    from_left: tuple[ChartRow, ...]
    from_top: tuple[ChartRow, ...]
    left_repeats: bool
    top_repeats: bool
    slanted: int = 0
    curved: int = 0


def score_chart(pattern: Pattern) -> ScoreChart:
    """The chart of a piece."""
    width, height = pattern.blank
    left: dict[Fraction, list[Span]] = {}
    top: dict[Fraction, list[Span]] = {}
    for score in pattern.scores:
        if score.upright:
            span = (height - score.span[1], height - score.span[0])
            left.setdefault(score.line, []).append(span)
        elif score.level:
            top.setdefault(height - score.line, []).append(score.span)
    rows = _rows(left, height), _rows(top, width)
    return ScoreChart(
        *rows,
        _repeats(rows[0], width),
        _repeats(rows[1], height),
        sum(not score.aligned and score.curve is None for score in pattern.scores),
        sum(score.curve is not None for score in pattern.scores),
    )


def line_letters() -> Iterator[str]:
    """A letter for each line, as long as lines come: A to Z, then AA, AB and so on."""
    yield from LETTERS
    for before in line_letters():
        yield from (before + letter for letter in LETTERS)


def _rows(lines: dict[Fraction, list[Span]], length: Fraction) -> tuple[ChartRow, ...]:
    rows = []
    for position in sorted(lines):
        spans = _joined(lines[position])
        rows.append(ChartRow(position, spans, spans == ((Fraction(0), length),)))
    return tuple(rows)


def _joined(spans: list[Span]) -> tuple[Span, ...]:
    result: list[Span] = []
    for start, end in sorted(spans):
        if result and start <= result[-1][1]:
            result[-1] = (result[-1][0], max(end, result[-1][1]))
        else:
            result.append((start, end))
    return tuple(result)


def _repeats(rows: tuple[ChartRow, ...], length: Fraction) -> bool:
    """Whether the positions are the same from both ends (and so worth saying the short way)."""
    positions = [row.position for row in rows]
    return len(positions) > 1 and positions == sorted(length - p for p in positions)

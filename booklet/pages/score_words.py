"""Scores in words: where to press each line, the short way where it repeats.

In: a pattern and how lengths are printed, or a model with its sizes. Out: sentences.
"""

from __future__ import annotations

from collections.abc import Sequence

from booklet.flat.chart import ChartRow, ScoreChart, score_chart
from booklet.flat.pattern import Pattern
from booklet.measure.rounding import Printer
from booklet.pages.panel_words import listed
from booklet.stages import Model


def positions(rows: Sequence[ChartRow], repeats: bool, printer: Printer) -> tuple[list[str], bool]:
    """Positions to set, and whether only half of them are named since the rest repeats."""
    chosen = rows[: (len(rows) + 1) // 2] if repeats else rows
    return [printer.both(row.position) for row in chosen], repeats


def score_sentence(pattern: Pattern, printer: Printer) -> str:
    """How to score a blank, the short way where it is the same from both ends."""
    chart = score_chart(pattern)
    sentences = []
    for rows, repeats, edge in (
        (chart.from_left, chart.left_repeats, "the left edge"),
        (chart.from_top, chart.top_repeats, "the top edge"),
    ):
        if not rows:
            continue
        words, short = positions(rows, repeats, printer)
        sentence = f"Score at {listed(words)} from {edge}"
        if short:
            sentence += "; turn the blank round and score the same again"
        sentences.append(sentence + ".")
    if not all(row.whole for row in (*chart.from_left, *chart.from_top)):
        sentences.append("Score only as far as the score chart says.")
    sentences += _along_template(chart, bool(sentences))
    return " ".join(sentences)


def _along_template(chart: ScoreChart, more: bool) -> list[str]:
    """How the scores are pressed that no scoring board can set."""
    kinds = [
        f"{count} {kind}" if count > 1 else kind
        for count, kind in ((chart.slanted, "slanted"), (chart.curved, "curved"))
        if count
    ]
    if not kinds:
        return []
    lines = "scores" if chart.slanted + chart.curved > 1 else "score"
    which = f"the {listed(kinds)} {lines}" if more else f"the {lines}"
    return [f"Lay the template on the blank and press {which} along its lines."]


def own_pattern(model: Model, pattern: Pattern) -> Pattern:
    """A pattern as another size has it."""
    return next((p for p in model.patterns if p.id == pattern.id), pattern)


def score_words(pattern: Pattern, model: Model) -> str:
    """How to score, or where the sizes differ, which page says it."""
    sentences = {score_sentence(own_pattern(one, pattern), model.printer) for one in model.sizes}
    return sentences.pop() if len(sentences) == 1 else "Score as the score chart of your size says."

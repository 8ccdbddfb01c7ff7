"""Joins in words: what is glued with what, and what is folded onto it.

In: a model, joins and the panels that fold with them. Out: sentences.
"""

from __future__ import annotations

from collections.abc import Sequence

from booklet.flat.pattern import JoinPair
from booklet.flat.reference import Reference
from booklet.pages.panel_words import fold_sentence, labels
from booklet.read.project import Project
from booklet.stages import Model


def joining(
    fold: Sequence[Reference],
    tabs: Sequence[Reference],
    joins: Sequence[JoinPair],
    model: Model,
    turned: bool = False,
) -> str:
    """Folds that come first, then adhesive, then what is folded onto it and pressed."""
    goals = list(dict.fromkeys(join.to for join in joins))
    plain = [panel for panel in fold if panel not in tabs and panel not in goals]
    moved = [goal for goal in goals if goal in fold]
    parts = [fold_sentence(plain, model, turned)] if plain else []
    parts.append(f"Put {adhesive(joins, model.project)} on the {labels(model, tabs, turned)}.")
    them = "them" if len(tabs) > 1 else "it"
    if moved:
        parts.append(f"Fold the {labels(model, moved, turned)} onto {them} and press.")
    elif goals and any(tab in fold for tab in tabs):
        parts.append(f"Fold {them} onto the {labels(model, goals, turned)} and press.")
    elif goals:
        parts.append(f"Press the {labels(model, goals, turned)} onto {them}.")
    return " ".join(parts)


def adhesive(joins: Sequence[JoinPair], project: Project) -> str:
    """What the joins are glued with, in a word or two."""
    ids = {join.supply for join in joins if join.supply}
    for supply in project.supplies:
        if supply.id.value in ids:
            name = supply.name.split(",")[0]
            # An abbreviation keeps its capitals.
            return name if name[1:2].isupper() else name[:1].lower() + name[1:]
    return "adhesive"

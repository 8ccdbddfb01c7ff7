"""Joins in words: what is glued with what, and what is folded onto it.

In: a model, joins and the panels that fold with them. Out: sentences.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence

from booklet.flat.pattern import JoinPair, Pattern
from booklet.flat.reference import Reference
from booklet.pages.panel_words import fold_sentence, in_sentence, labels, listed, the
from booklet.pages.planned import PlannedStep
from booklet.read.project import Project
from booklet.stages import Model
from booklet.stock.adhesive import usual_adhesive

MOST_TOLD = 3
"""So many joins of one step are told tab by tab."""


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
    coated = f"Put {adhesive(joins, model.project)} on {the(labels(model, tabs, turned))}."
    carrying = _carrying(fold, joins, model)
    if carrying:
        first = [panel for panel in plain if panel not in carrying]
        told = [fold_sentence(first, model, turned)] if first else []
        bring = [panel for panel in fold if panel in carrying or panel in moved]
        lift = fold_sentence(bring, model, turned).removesuffix(".")
        aside = "," if "," in lift else ""  # "over, flat, and press"
        return " ".join([*told, coated, f"{lift}{aside} and press {_where(joins, model, turned)}."])
    parts = [fold_sentence(plain, model, turned)] if plain else []
    parts.append(coated)
    them = "them" if len(tabs) > 1 else "it"
    if moved:
        parts.append(f"Fold {the(labels(model, moved, turned))} onto {them} and press.")
    elif goals and any(tab in fold for tab in tabs):
        parts.append(f"Fold {them} onto {the(labels(model, goals, turned))} and press.")
    elif goals:
        parts.append(f"Press {the(labels(model, goals, turned))} onto {them}.")
    return " ".join(parts)


def _carrying(
    fold: Sequence[Reference], joins: Sequence[JoinPair], model: Model
) -> frozenset[Reference]:
    """The panels folded here that bring a tab to a panel which stands there already."""
    parents = {
        (pattern.id, hinge.panel): (pattern.id, hinge.parent)
        for pattern in model.patterns
        for hinge in pattern.hinges
    }
    found: set[Reference] = set()
    for join in joins:
        if join.to in fold or join.tab in fold:
            continue
        above = parents.get(join.tab)
        while above is not None:
            found |= {above} & set(fold)
            above = parents.get(above)
    return frozenset(found)


def _where(joins: Sequence[JoinPair], model: Model, turned: bool) -> str:
    """ "the front tab onto the right panel and the seam onto the back", up to some tabs."""
    if len(joins) > MOST_TOLD:
        return "each tab onto the panel that it meets"
    onto: dict[Reference, list[Reference]] = {}
    for join in joins:
        onto.setdefault(join.to, []).append(join.tab)
    pairs = [
        f"{the(labels(model, tabs, turned))} onto {the(labels(model, [to], turned))}"
        for to, tabs in onto.items()
    ]
    return listed(pairs)


def gluing_steps(
    model: Model, joined: Collection[Reference], patterns: Sequence[Pattern]
) -> list[PlannedStep]:
    """A step for each piece that is glued to others, once all are folded."""
    places = {piece.piece: piece.placement for piece in model.folded if piece.placement}
    there: set[str] = set()
    steps: list[PlannedStep] = []
    for pattern in model.patterns:
        there.add(pattern.id)
        place = places.get(pattern.id)
        if place is None or place.length or pattern not in patterns:
            continue
        joins = [
            join
            for other in model.patterns
            for join in other.joins
            if join.tab[0] != join.to[0]
            and pattern.id in (join.tab[0], join.to[0])
            and {join.tab[0], join.to[0]} <= there
            and join.tab not in joined
        ]
        if joins:
            tabs = tuple(dict.fromkeys(join.tab for join in joins))
            text = gluing_words(pattern.id, joins, model)
            title = f"Glue the {pattern.name.lower()} on"
            steps.append(PlannedStep(title, text, pattern.id, join=tabs, onto=pattern.id))
    return steps


def comes_to(tabs: Sequence[Reference], model: Model) -> str:
    """The piece that is brought to another where these tabs join pieces; "" where they do not."""
    joins = [join for p in model.patterns for join in p.joins if join.tab in tabs]
    across = {id_ for j in joins if j.tab[0] != j.to[0] for id_ in (j.tab[0], j.to[0])}
    glued = [
        piece.piece
        for piece in model.folded
        if piece.piece in across and piece.placement is not None and not piece.placement.length
    ]
    return glued[-1] if glued else ""


def gluing_words(piece: str, joins: Sequence[JoinPair], model: Model) -> str:
    """Adhesive on the tabs of both sides, then the piece is pressed onto what it meets."""
    names = {pattern.id: pattern.name.lower() for pattern in model.patterns}
    parts = []
    for owner in dict.fromkeys(join.tab[0] for join in joins):
        own = [join for join in joins if join.tab[0] == owner]
        what = labels(model, list(dict.fromkeys(join.tab for join in own)))
        parts.append(f"Put {adhesive(own, model.project)} on {the(what)} of the {names[owner]}.")
    others = [j.to[0] if j.tab[0] == piece else j.tab[0] for j in joins]
    parts.append(f"Press the {names[piece]} onto the {listed([names[one] for one in others])}.")
    return " ".join(parts)


def adhesive(joins: Sequence[JoinPair], project: Project) -> str:
    """What the joins are glued with, in a word or two."""
    usual = usual_adhesive(project.supplies)
    ids = {join.supply or usual for join in joins}
    for supply in project.supplies:
        if supply.id.value in ids:
            return in_sentence(supply.name)
    return "adhesive"

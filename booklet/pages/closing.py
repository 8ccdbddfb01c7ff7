"""The end of the plan of steps: fill, put pieces together, close.

In: a model and the steps before. Out: planned steps.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace
from typing import Final

from booklet.flat.pattern import JoinPair, Pattern
from booklet.flat.reference import Reference, find_panel
from booklet.fold.group import carrying
from booklet.fold.returns import FOLDED_BACK
from booklet.pages.filling import filling_step, homes
from booklet.pages.joining import gluing_steps, joining
from booklet.pages.panel_words import capital, fold_sentence, is_carried, spoken_label, the
from booklet.pages.planned import PlannedStep
from booklet.pages.workpiece import workpieces
from booklet.problem import Problem
from booklet.stages import Model

ROUND: Final = ("ribbon", "tie", "belly_band", "button")
"""Closures that go round all pieces which are put together."""


def closures(model: Model) -> list[tuple[str, Reference, Reference | None]]:
    """Kind, panel and the panel that it meets, of each closure whose names are known."""
    ignored: list[Problem] = []
    found = []
    for closure in model.project.closures:
        on = find_panel(closure.on, model.patterns, ignored)
        meets = find_panel(closure.meets, model.patterns, ignored) if closure.meets else None
        if on is not None:
            found.append((closure.kind, on, meets))
    return found


def unfolded_chain(pattern: Pattern, name: str, folded: Collection[str]) -> list[str]:
    """A panel and those between it and the root that are not folded yet, the nearest first."""
    parents = {hinge.panel: hinge.parent for hinge in pattern.hinges}
    chain: list[str] = []
    while name in parents:
        if name not in folded:
            chain.insert(0, name)
        name = parents[name]
    return chain


def lid_chain(pattern: Pattern, name: str) -> list[str]:
    """A panel that a closure shuts and those that carry it, as far as they wait for it."""
    parents = {hinge.panel: hinge.parent for hinge in pattern.hinges}
    glued = {one for j in pattern.joins if j.tab[0] == j.to[0] for _, one in (j.tab, j.to)}
    return [one for one in reversed(carrying(name, parents, glued)) if one in parents]


def shut_before(kind: str, on: Reference, model: Model) -> bool:
    """Whether a panel is folded before its closure: that goes round pieces put together first."""
    nests = model.project.nests
    together = {id_ for nest in nests for id_ in (nest.inner.value, nest.outer.value)}
    return kind in ROUND and on[0] in together


def closing_steps(
    model: Model, before: Sequence[PlannedStep], patterns: Sequence[Pattern]
) -> list[PlannedStep]:
    """Fill, then fold what is still open, put one into the other, then close."""
    pieces = {pattern.id: pattern for pattern in patterns}
    told = {id_ for step in before for id_ in step.fill}
    glued = gluing_steps(model, {tab for step in before for tab in step.join}, patterns)
    steps = [
        *glued,
        *(
            filling_step(id_, piece, model)
            for id_, piece in homes(model).items()
            if piece in pieces and id_ not in told
        ),
    ]
    folded = {panel for step in before if not step.crease for panel in step.fold}
    closed = {on for kind, on, _ in closures(model) if not shut_before(kind, on, model)}
    for pattern in patterns:
        done = {name for piece, name in folded if piece == pattern.id}
        held = {n for p, on in closed if p == pattern.id for n in unfolded_chain(pattern, on, done)}
        rest = [
            (pattern.id, hinge.panel)
            for hinge in pattern.hinges
            if hinge.panel not in done | held and hinge.folds
        ]
        if rest:
            text = fold_sentence(rest, model)
            steps.append(PlannedStep("Fold the rest", text, pattern.id, fold=tuple(rest)))
            folded |= set(rest)
    names = {pattern.id: pattern.name.lower() for pattern in model.patterns}
    for nest in model.project.nests:
        inner, outer = nest.inner.value, nest.outer.value
        if inner in names and outer in pieces:
            text = f"Slide the {names[inner]} into the {names[outer]}."
            if workpieces(model)[outer].is_lid:
                text = f"Put the {names[outer]} over the {names[inner]}."
            steps.append(PlannedStep("Put it together", text, outer, nest=inner))
    joined = {tab for step in (*before, *glued) for tab in step.join}
    for kind, on, meets in closures(model):
        if on[0] in pieces:
            step = _closing(kind, on, meets, pieces[on[0]], (folded, joined), model)
            folded |= set(step.fold)
            joined |= set(step.join)
            steps.append(step)
    return steps


def with_closures(given: Sequence[PlannedStep], model: Model) -> tuple[PlannedStep, ...]:
    """The steps of forms, with those for closures that the project adds to their pieces."""
    closed = {panel for step in given for panel in step.close}
    pieces = {p.id: p for p in model.patterns if any(step.piece == p.id for step in given)}
    added = [one for one in closures(model) if one[1] not in closed and one[1][0] in pieces]
    steps = list(given)
    for pattern in pieces.values():
        fixing = button_steps(pattern, model, False)
        own = [at for at, step in enumerate(steps) if step.piece == pattern.id and step.fold]
        first = next((at for at in own if not steps[at].crease), None)
        if fixing and first is not None:
            back = f"Turn the piece over again, inside up. {steps[first].text}"
            steps[first : first + 1] = [*fixing, replace(steps[first], text=back)]
    folded = {panel for step in given if not step.crease for panel in step.fold}
    joined = {tab for step in given for tab in step.join}
    for kind, on, meets in added:
        step = _closing(kind, on, meets, pieces[on[0]], (folded, joined), model)
        folded |= set(step.fold)
        joined |= set(step.join)
        steps.append(step)
    return tuple(steps)


def _closing(
    kind: str,
    on: Reference,
    meets: Reference | None,
    pattern: Pattern,
    done: tuple[set[Reference], set[Reference]],
    model: Model,
) -> PlannedStep:
    """One closure: what is still open folds, tabs that meet their panels only now are joined."""
    folded, joined = done
    ready = {name for piece, name in folded if piece == pattern.id}
    fold = tuple((pattern.id, name) for name in unfolded_chain(pattern, on[1], ready))
    there = {*folded, *fold, (pattern.id, pattern.root)}
    joins = [
        join
        for join in pattern.joins
        if join.tab not in joined and {join.tab, join.to} <= there and {join.tab, join.to} & {*fold}
    ]
    text = _closing_words(kind, on, meets, fold, joins, model)
    panels = (on,) if meets is None else (on, meets)
    tabs = tuple(dict.fromkeys(join.tab for join in joins))
    return PlannedStep("Close it", text, pattern.id, fold=fold, join=tabs, close=panels)


def _closing_words(
    kind: str,
    on: Reference,
    meets: Reference | None,
    fold: Sequence[Reference],
    joins: Sequence[JoinPair],
    model: Model,
) -> str:
    """What carries the panel comes first, with its joins; then the closure itself."""
    ends = {on, *(join.to for join in joins if join.to == on)}
    first = [panel for panel in fold if panel not in ends]
    tabs = tuple(dict.fromkeys(join.tab for join in joins))
    parts = []
    if joins:
        parts.append(joining(first, tabs, joins, model))
    elif first:
        parts.append(fold_sentence(first, model))
    parts.append(closing_text(kind, on, model, meets, bool(first), on in fold))
    return " ".join(parts)


def closing_text(
    kind: str,
    on: Reference,
    model: Model,
    meets: Reference | None,
    carried: bool = False,
    folds: bool = True,
    wound: bool = False,
) -> str:
    """How a closure is shut; a lip that is `carried` by what folded before it turns in.

    A panel that does not `fold` now stays on the table, or was folded before. What is `wound` round
    it is told elsewhere.
    """
    label = the(spoken_label(model, on))
    way = "in" if carried else _way_shut(on, model)
    if kind == "tuck":
        goal = the(spoken_label(model, meets)) if meets else "the front"
        tucked = f"fold {label} {way} and tuck it" if folds else f"tuck {label}"
        return f"{capital(tucked)} behind {goal}."
    parts = [f"Fold {label} {way}."] if folds else []
    parts += [] if wound and kind in ROUND else [fastening_text(kind, on, model, meets, folds)]
    return " ".join(parts)


def fastening_text(
    kind: str, on: Reference, model: Model, meets: Reference | None, folds: bool = False
) -> str:
    """How what keeps a panel shut is put on, when that is down; "it" if it was told of before."""
    it = "it" if folds else the(spoken_label(model, on))
    goal = f" {the(spoken_label(model, meets))}" if meets else " the front"
    return {
        "hook_and_loop": f"Stick one half of the dot under {it} and the other half on{goal}, where "
        "the two meet.",
        "magnet": f"Glue one magnet under {it} and its partner on{goal}. Try first which sides "
        "draw together.",
        "ribbon": "Wrap the ribbon round and tie a bow.",
        "tie": "Wrap the tie round and knot it.",
        "belly_band": "Slide the band over.",
        "button": "Lead the string once round and wind it round the button."
        if meets is None
        else f"Wind the string in a figure eight round the button on {it} and the one on{goal}.",
    }[kind]


def _way_shut(on: Reference, model: Model) -> str:
    """Which way a panel shuts: down from what stands by then, else as it folds off the table."""
    pattern = next((p for p in model.patterns if p.id == on[0]), None)
    if pattern is None or is_carried(pattern, on[1]):
        return "down"
    angle = next((hinge.angle for hinge in pattern.hinges if hinge.panel == on[1]), 0.0)
    if abs(angle) >= FOLDED_BACK:
        return "over" if angle > 0 else "behind"
    return "up" if angle > 0 else "back"


def button_steps(pattern: Pattern, model: Model, outside_up: bool) -> list[PlannedStep]:
    """Fix the buttons of a piece while it is flat: a brad cannot be opened behind glued panels."""
    sentences = [] if outside_up else ["Turn the piece over, outside up."]
    where: list[Reference] = []
    for kind, on, meets in closures(model):
        panels = [panel for panel in (on, meets) if panel is not None and panel[0] == pattern.id]
        if kind != "button" or not panels:
            continue
        first, *more = (the(spoken_label(model, panel, turned=True)) for panel in panels)
        text = f"Fix a button to {first}" + "".join(f" and one to {one}" for one in more)
        if on in panels:
            text += f", with the string tied under {'the first' if more else 'it'}"
        sentences.append(f"{text}.")
        where += panels
    if not where:
        return []
    text = " ".join(sentences)
    return [PlannedStep("Fix the buttons", text, pattern.id, buttons=tuple(where))]

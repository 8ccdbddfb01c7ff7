"""Sentences from the model: the steps as they are printed.

In: a model. Out: planned steps with title, text and what each of them does. Where the project has
steps they are kept in its order; missing words are written from the model. Where it has none, all
are.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from booklet.flat.pattern import JoinPair, Pattern
from booklet.flat.reference import Reference, find_panel
from booklet.measure.tolerance import ANGLE_DEG
from booklet.pages.across import across, filled
from booklet.pages.panel_words import fold_sentence, labels, listed, panel_label
from booklet.pages.score_words import own_pattern, score_words
from booklet.problem import Problem, Written
from booklet.read.photo import Photo
from booklet.read.project import Project
from booklet.read.step import Step
from booklet.stages import Model

LONGEST_TITLE = 44
"""Letters of a title that stand well beside its number."""


@dataclass(frozen=True)
class PlannedStep:
    """One step as printed; panels are (piece, panel), `fill` ids of contents.

    `nest` is the piece that goes into this one; `crease` folds and opens again; `turned` says that
    the work lies outside up.
    """

    title: str
    text: str
    piece: str
    fold: tuple[Reference, ...] = ()
    score: tuple[str, ...] = ()
    cut: tuple[str, ...] = ()
    join: tuple[Reference, ...] = ()
    attach: tuple[str, ...] = ()
    close: tuple[Reference, ...] = ()
    fill: tuple[str, ...] = ()
    nest: str = ""
    turn: bool = False
    turned: bool = False
    crease: bool = False
    photo: Photo | None = None


def planned_steps(model: Model) -> tuple[PlannedStep, ...]:
    """The steps of the booklet, in order."""
    given = _given_steps(model)
    if given and not model.project.steps_of_forms:
        return given
    led = {step.piece for step in given}
    patterns = [pattern for pattern in model.patterns if pattern.id not in led]
    steps: list[PlannedStep] = []
    for pattern in patterns:
        steps += _blank_steps(pattern, model)
    for pattern in patterns:
        steps += _making_steps(pattern, model)
    return (*steps, *given, *_closing_steps(model, steps, patterns))


def has_cutting(pattern: Pattern) -> bool:
    """Whether anything but the blank's own rectangle is cut."""
    width, height = pattern.blank
    whole = sum(panel.shape.area for panel in pattern.panels)
    return bool(pattern.slits) or abs(whole - float(width * height)) > 0.01


def _blank_steps(pattern: Pattern, model: Model) -> list[PlannedStep]:
    printer = model.printer
    stock = {s.id.value: s.name for s in model.project.stocks}.get(pattern.stock or "", "cardstock")
    count = f"{pattern.count} blanks" if pattern.count > 1 else "a blank"
    many = "the size that the table of sizes gives"
    size = across(model, lambda m: printer.size(own_pattern(m, pattern).blank), many)
    text = f"Cut {count} of {size} from {stock}."
    if has_cutting(pattern) and not pattern.scores:
        text += " Then cut along the solid lines of the template."
        return [PlannedStep(f"Cut the {pattern.name.lower()}", text, pattern.id, cut=(pattern.id,))]
    steps = [PlannedStep(f"Cut the {pattern.name.lower()}", text, pattern.id)]
    if pattern.scores:
        text = f"Lay the blank inside up. {score_words(pattern, model)}"
        steps.append(
            PlannedStep(f"Score the {pattern.name.lower()}", text, pattern.id, score=(pattern.id,))
        )
    if has_cutting(pattern):
        text = "Cut along the solid lines of the template."
        if pattern.slits:
            text += " Cut each slit only as far as the score that it ends at."
        steps.append(PlannedStep("Cut it to shape", text, pattern.id, cut=(pattern.id,)))
    return steps


def _making_steps(pattern: Pattern, model: Model) -> list[PlannedStep]:
    steps: list[PlannedStep] = []
    if pattern.hinges:
        folds = tuple((pattern.id, hinge.panel) for hinge in pattern.hinges)
        text = "Fold along every score, one after the other. Burnish each fold. Open it again."
        steps.append(PlannedStep("Fold and burnish", text, pattern.id, fold=folds, crease=True))
    mats = [mat for mat in model.mats if mat.piece == pattern.id]
    if mats:
        where = listed([f"the {panel_label(model, (mat.piece, mat.panel))}" for mat in mats])
        reveal = across(
            model,
            lambda m: model.printer.both(next(o.reveal for o in m.mats if o.id == mats[0].id)),
            "the reveal of your size",
        )
        text = (
            f"Turn the piece over, outside up. Glue the mats onto {where}, with {reveal} of the "
            "base left all round."
        )
        if len({mat.reveal for mat in mats}) > 1:
            text = f"Turn the piece over, outside up. Glue each mat onto the middle of {where}."
        ids = tuple(mat.id for mat in mats)
        steps.append(PlannedStep("Dress it with the mats", text, pattern.id, attach=ids))
    folding = _folding_steps(pattern, model)
    if mats and folding:
        back = f"Turn the piece over again, inside up. {folding[0].text}"
        folding[0] = replace(folding[0], text=back)
    return [*steps, *folding]


def _folding_steps(pattern: Pattern, model: Model) -> list[PlannedStep]:
    """The proved order of folds, what closes the piece left out; joins where both sides meet."""
    order = next((piece.order.steps for piece in model.folded if piece.piece == pattern.id), ())
    closing = {
        name for _, on, _ in closures(model) for name in unfolded_chain(pattern, on[1], set())
    }
    ready = {pattern.root}
    open_joins = [j for j in pattern.joins if j.tab[0] == j.to[0] == pattern.id]
    steps: list[PlannedStep] = []
    for turn in order:
        names = [name for name in turn if name not in closing]
        if not names:
            continue
        ready |= set(names)
        meet = [j for j in open_joins if {j.tab[1], j.to[1]} <= ready]
        open_joins = [j for j in open_joins if j not in meet]
        steps.append(_folding_step(pattern, names, meet, model))
    return steps


def _folding_step(
    pattern: Pattern, names: Sequence[str], joins: Sequence[JoinPair], model: Model
) -> PlannedStep:
    """One turn of the order: fold, and press where a tab meets its panel."""
    tabs = tuple(dict.fromkeys(join.tab for join in joins))
    goals = list(dict.fromkeys(join.to for join in joins))
    fold = tuple((pattern.id, name) for name in names)
    if joins:
        text = joining(fold, tabs, joins, model)
        title = f"Join the {labels(model, goals)}"
    else:
        text = fold_sentence(fold, model)
        title = f"Fold the {labels(model, fold)}"
    short = title if len(title) <= LONGEST_TITLE else title.partition(" the ")[0] + " the panels"
    return PlannedStep(short, text, pattern.id, fold=fold, join=tabs)


def unfolded_chain(pattern: Pattern, name: str, folded: set[str]) -> list[str]:
    """A panel and those between it and the root that are not folded yet, the nearest first."""
    parents = {hinge.panel: hinge.parent for hinge in pattern.hinges}
    chain: list[str] = []
    while name in parents:
        if name not in folded:
            chain.insert(0, name)
        name = parents[name]
    return chain


def adhesive(joins: Sequence[JoinPair], project: Project) -> str:
    """What the joins are glued with, in a word or two."""
    ids = {join.supply for join in joins if join.supply}
    for supply in project.supplies:
        if supply.id.value in ids:
            name = supply.name.split(",")[0]
            # An abbreviation keeps its capitals.
            return name if name[1:2].isupper() else name[:1].lower() + name[1:]
    return "adhesive"


def _closing_steps(
    model: Model, before: Sequence[PlannedStep], patterns: Sequence[Pattern]
) -> list[PlannedStep]:
    """Fill, then fold what is still open, put one into the other, then close."""
    steps: list[PlannedStep] = []
    first = model.patterns[0].id if model.patterns else ""
    pieces = [pattern.id for pattern in patterns]
    for contents in model.project.contents:
        piece = contents.inside.value if contents.inside else first
        if piece not in pieces:
            continue
        text = f"Put the {contents.name} in."
        steps.append(PlannedStep("Fill it", text, piece, fill=(contents.id.value,)))
    closing = closures(model)
    folded = {panel for step in before if not step.crease for panel in step.fold}
    closed = {on for _, on, _ in closing}
    for pattern in patterns:
        done = {name for piece, name in folded if piece == pattern.id}
        held = {n for p, on in closed if p == pattern.id for n in unfolded_chain(pattern, on, done)}
        rest = [h.panel for h in pattern.hinges if h.panel not in done | held]
        if rest:
            fold = tuple((pattern.id, name) for name in rest)
            text = fold_sentence(fold, model)
            steps.append(PlannedStep("Fold the rest", text, pattern.id, fold=fold))
    names = {pattern.id: pattern.name.lower() for pattern in model.patterns}
    for nest in model.project.nests:
        inner, outer = nest.inner.value, nest.outer.value
        if inner in names and outer in pieces:
            text = f"Slide the {names[inner]} into the {names[outer]}."
            steps.append(PlannedStep("Put it together", text, outer, nest=inner))
    for kind, on, meets in closing:
        if on[0] not in pieces:
            continue
        pattern = next(p for p in patterns if p.id == on[0])
        done = {name for piece, name in folded if piece == on[0]}
        fold = tuple((on[0], name) for name in unfolded_chain(pattern, on[1], done))
        folded |= set(fold)
        text = _closing_text(kind, panel_label(model, on), model, meets)
        panels = (on,) if meets is None else (on, meets)
        steps.append(PlannedStep("Close it", text, on[0], fold=fold, close=panels))
    return steps


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


def _closing_text(kind: str, on: str, model: Model, meets: Reference | None) -> str:
    goal = f" the {panel_label(model, meets)}" if meets else " the front"
    return {
        "tuck": f"Fold the {on} down and tuck it behind{goal}.",
        "hook_and_loop": f"Fold the {on} down. Stick one half of the dot under it and the other "
        f"half on{goal}, where the two meet.",
        "magnet": f"Fold the {on} down. Glue one magnet under it and its partner on{goal}. "
        "Try first which sides draw together.",
        "ribbon": f"Fold the {on} down. Wrap the ribbon round and tie a bow.",
        "tie": f"Fold the {on} down. Wrap the tie round and knot it.",
        "belly_band": f"Fold the {on} down. Slide the band over.",
    }.get(kind, f"Fold the {on} down.")


def _given_steps(model: Model) -> tuple[PlannedStep, ...]:
    """The project's own steps; pieces stay turned over until they are turned again."""
    turned: dict[str, bool] = {}
    steps: list[PlannedStep] = []
    piece = model.patterns[0].id if model.patterns else ""
    unsaid = _unsaid_folds(model)
    for number, step in enumerate(model.project.steps):
        planned = _acting(step, model, piece)
        planned = replace(planned, fold=(*planned.fold, *unsaid.get(number, ())))
        # A step that names nothing goes on with the piece of the step before.
        piece = planned.piece
        turned[piece] = turned.get(piece, False) != planned.turn
        planned = replace(planned, turned=turned[piece])
        text = _words(planned, model)
        if step.say is not None:
            text = filled(step.say, model)
        steps.append(replace(planned, title=step.title or _title(planned, model), text=text))
    return tuple(steps)


def _unsaid_folds(model: Model) -> dict[int, list[Reference]]:
    """By step from 0, the panels that fold where a `join` or `close` first names them.

    The order of folds that is proved takes them so where `fold` names other panels of the piece.
    """
    said = {panel for step in model.project.steps for panel in _panels(step.fold, model)}
    folding = {piece for piece, _ in said}
    hinged = {
        (pattern.id, hinge.panel)
        for pattern in model.patterns
        for hinge in pattern.hinges
        if pattern.id in folding and abs(hinge.angle) > ANGLE_DEG
    }
    unsaid: dict[int, list[Reference]] = {}
    done = set(said)
    for number, step in enumerate(model.project.steps):
        for panel in _panels((*step.join, *step.close), model):
            if panel in hinged and panel not in done:
                unsaid.setdefault(number, []).append(panel)
            done.add(panel)
    return unsaid


def _acting(step: Step, model: Model, last: str) -> PlannedStep:
    """What a step of the project does, and to which piece."""
    fold = _panels(step.fold, model)
    join = _panels((*step.join, *step.glue), model)
    close = _panels(step.close, model)
    pieces = tuple(name.value.partition(".")[0] for name in (*step.score, *step.cut))
    mats = tuple(name.value for name in step.attach)
    on_mats = [mat.piece for mat in model.mats if mat.id in mats]
    owners = [piece for piece, _ in (*fold, *join, *close)] + [*pieces, *on_mats]
    known = [p.id for p in model.patterns]
    return PlannedStep(
        title="",
        text="",
        piece=next((owner for owner in owners if owner in known), last),
        fold=fold,
        score=tuple(name.value for name in step.score),
        cut=tuple(name.value for name in step.cut),
        join=join,
        attach=mats,
        close=close,
        turn=step.turn is not None,
        photo=step.photo and step.photo.inside(model.project.folder),
    )


def _panels(names: Sequence[Written[str]], model: Model) -> tuple[Reference, ...]:
    ignored: list[Problem] = []
    found = [find_panel(name, model.patterns, ignored) for name in names]
    return tuple(panel for panel in found if panel is not None)


def _title(step: PlannedStep, model: Model) -> str:
    """A title from what the step does; the short form where panels have long names."""
    piece = next((p.name.lower() for p in model.patterns if p.id == step.piece), "piece")
    goals = [j.to for p in model.patterns for j in p.joins if j.tab in step.join]
    for words, verb, panels, short in (
        (step.score, f"Score the {piece}", (), "Score"),
        (step.cut, f"Cut the {piece}", (), "Cut"),
        (step.attach, "Dress it with the mats", (), ""),
        (step.join, "Join the", goals or step.join, "Join"),
        (step.close, "Close the", step.close, "Close it"),
        (step.fold, "Fold the", step.fold, "Fold the panels"),
    ):
        if words:
            whole = f"{verb} {labels(model, panels, step.turned)}" if panels else verb
            return whole if len(whole) <= LONGEST_TITLE else short
    return "Turn it over" if step.turn else "Next"


def _words(step: PlannedStep, model: Model) -> str:
    """What a step says when the project leaves it to booklet."""
    parts: list[str] = []
    if step.turn:
        parts.append(f"Turn the piece over, {'outside' if step.turned else 'inside'} up.")
    pattern = next((p for p in model.patterns if p.id == step.piece), None)
    if step.score and pattern is not None:
        parts.append(score_words(pattern, model))
    if step.cut:
        parts.append("Cut along the solid lines of the template.")
    if step.attach:
        names = listed([f"the {mat.name.lower()}" for mat in model.mats if mat.id in step.attach])
        parts.append(f"With the outside up, glue {names} in place, the same margin all round.")
    if step.join:
        joins = [j for p in model.patterns for j in p.joins if j.tab in step.join]
        parts.append(joining(step.fold, step.join, joins, model, step.turned))
    elif step.fold and pattern is not None:
        parts.append(fold_sentence(step.fold, model, step.turned))
    if step.close:
        told = [
            _closing_text(k, panel_label(model, on), model, meets)
            for k, on, meets in closures(model)
            if on in step.close
        ]
        parts += told or [f"Close the {labels(model, step.close, step.turned)}."]
    return " ".join(parts)


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

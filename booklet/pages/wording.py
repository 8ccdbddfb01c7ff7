"""Sentences from the model: the steps as they are printed.

In: a model. Out: planned steps with title, text and what each of them does. Where the project has
steps they are kept in its order; missing words are written from the model. Where it has none, all
are.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace

from booklet.flat.pattern import JoinPair, Pattern, meeting_of
from booklet.flat.reference import Reference, find_panel
from booklet.pages.across import across, filled
from booklet.pages.closing import (
    button_steps,
    closing_steps,
    closing_text,
    closures,
    lid_chain,
    shut_before,
    with_closures,
)
from booklet.pages.filling import filled_by, filling_words, piece_filled, with_fillings
from booklet.pages.joining import comes_to, gluing_words, joining
from booklet.pages.panel_words import fold_sentence, labels, listed, spoken_label, the
from booklet.pages.planned import PlannedStep
from booklet.pages.score_words import own_pattern, score_words
from booklet.problem import Problem, Written
from booklet.read.step import Step
from booklet.stages import Model

CREASE = "Fold, burnish, open again"
CREASE_ALL = (
    "Fold along every score, one after the other. Burnish each fold, then open it flat again."
)
LONGEST_TITLE = 44
"""Letters of a title that stand well beside its number."""


def planned_steps(model: Model) -> tuple[PlannedStep, ...]:
    """The steps of the booklet, in order."""
    given = _given_steps(model)
    if given and not model.project.steps_of_forms:
        return given
    given = with_closures(given, model)
    led = {step.piece for step in given}
    patterns = [pattern for pattern in model.patterns if pattern.id not in led]
    steps: list[PlannedStep] = []
    for pattern in patterns:
        steps += _blank_steps(pattern, model)
    for pattern in patterns:
        steps += _making_steps(pattern, model)
    return (*steps, *given, *closing_steps(model, steps, patterns))


def has_cutting(pattern: Pattern) -> bool:
    """Whether anything but the blank's own rectangle is cut."""
    width, height = pattern.blank
    whole = sum(panel.shape.area for panel in pattern.panels)
    return bool(pattern.slits) or abs(whole - float(width * height)) > 0.01


def blank_text(pattern: Pattern, model: Model) -> str:
    """How many blanks to cut, of what size and from what."""
    printer = model.printer
    stock = {s.id.value: s.name for s in model.project.stocks}.get(pattern.stock or "", "cardstock")
    count = f"{pattern.count} blanks" if pattern.count > 1 else "a blank"
    many = "the size that the table of sizes gives"
    size = across(model, lambda m: printer.size(own_pattern(m, pattern).blank), many)
    if size != many and len({own_pattern(one, pattern).blank for one in model.sizes}) > 1:
        return f"Cut {count} from {stock}: {size}."
    return f"Cut {count} of {size} from {stock}."


def _blank_steps(pattern: Pattern, model: Model) -> list[PlannedStep]:
    text = blank_text(pattern, model)
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


def _the_mats(mats: Sequence[object]) -> str:
    return "the mat" if len(mats) == 1 else "the mats"


def _making_steps(pattern: Pattern, model: Model) -> list[PlannedStep]:
    steps: list[PlannedStep] = []
    if pattern.hinges:
        folds = tuple((pattern.id, hinge.panel) for hinge in pattern.hinges)
        alone = all(other is pattern or not other.hinges for other in model.patterns)
        # Pieces alike, as a tray and its lid, have steps alike: here it begins to be the other one.
        title = CREASE if alone else f"Fold and open the {pattern.name.lower()}"
        steps.append(PlannedStep(title, CREASE_ALL, pattern.id, fold=folds, crease=True))
    mats = [mat for mat in model.mats if mat.piece == pattern.id]
    if mats:
        where = listed([the(spoken_label(model, (mat.piece, mat.panel), True)) for mat in mats])
        reveal = across(
            model,
            lambda m: model.printer.both(next(o.reveal for o in m.mats if o.id == mats[0].id)),
            "the reveal of your size",
        )
        how = f"{_the_mats(mats)} onto {where}, with {reveal} of the card left all round."
        if len({mat.reveal for mat in mats}) > 1:
            how = f"each mat onto the middle of {where}."
        text = f"Cut {_the_mats(mats)}. Turn the piece over, outside up. Glue {how}"
        ids = tuple(mat.id for mat in mats)
        steps.append(PlannedStep(f"Dress it with {_the_mats(mats)}", text, pattern.id, attach=ids))
    buttons = button_steps(pattern, model, bool(mats))
    steps += buttons
    folding = with_fillings(pattern, _folding_steps(pattern, model), model)
    if (mats or buttons) and folding:
        back = f"Turn the piece over again, inside up. {folding[0].text}"
        folding[0] = replace(folding[0], text=back)
    return [*steps, *folding]


def _folding_steps(pattern: Pattern, model: Model) -> list[PlannedStep]:
    """The proved order of folds, what closes the piece left out; joins where both sides meet."""
    order = next((piece.order.steps for piece in model.folded if piece.piece == pattern.id), ())
    closing = {
        name
        for kind, on, _ in closures(model)
        if not shut_before(kind, on, model)
        for name in lid_chain(pattern, on[1])
    }
    ready = {pattern.root}
    open_joins = [j for j in pattern.joins if j.tab[0] == j.to[0] == pattern.id]
    steps: list[PlannedStep] = []
    for turn in order:
        names = [name for name in turn if name not in closing]
        if not names:
            continue
        ready |= set(names)
        meet = [j for j in open_joins if meeting_of(pattern, j.tab[1], j.to[1]) <= ready]
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
        title = f"Join {the(labels(model, goals))}"
    else:
        text = fold_sentence(fold, model)
        title = f"Fold {the(labels(model, fold))}"
    short = title if len(title) <= LONGEST_TITLE else f"{title.split()[0]} the panels"
    return PlannedStep(short, text, pattern.id, fold=fold, join=tabs)


def _given_steps(model: Model) -> tuple[PlannedStep, ...]:
    """The project's own steps; pieces stay turned over until they are turned again."""
    turned: dict[str, bool] = {}
    steps: list[PlannedStep] = []
    piece = model.patterns[0].id if model.patterns else ""
    unsaid = _unsaid_folds(model)
    for number, step in enumerate(model.project.steps):
        if not model.project.contents and _only_fills(step):
            continue
        planned = _acting(step, model, step.begins or piece)
        planned = replace(planned, fold=(*planned.fold, *unsaid.get(number, ())))
        # A step that names nothing goes on with the piece of the step before.
        piece = planned.piece
        turned[piece] = turned.get(piece, False) != planned.turn
        planned = replace(planned, turned=turned[piece])
        text = action_words(planned, model, bool(step.fill))
        if step.say is not None:
            text = filled(step.say, model)
        title = step.title or _title(planned, model, bool(step.fill))
        if step.begins and max(len(model.patterns), len(model.sizes)) > 1:
            # Of many blanks, a form does not know which is its own.
            pattern = next(one for one in model.patterns if one.id == step.begins)
            title, text = f"Cut the {pattern.name.lower()}", blank_text(pattern, model)
        steps.append(replace(planned, title=title, text=text))
    return tuple(steps)


def _only_fills(step: Step) -> bool:
    """Whether a step does nothing but put in what a project without contents does not have."""
    other = (step.say, step.turn, step.photo)
    return (
        bool(step.fill)
        and other == (None, None, None)
        and not any(
            (
                step.fold,
                step.score,
                step.cut,
                step.glue,
                step.join,
                step.attach,
                step.close,
                step.crease,
            )
        )
    )


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
        if pattern.id in folding and hinge.folds
    }
    unsaid: dict[int, list[Reference]] = {}
    done = set(said)
    for number, step in enumerate(model.project.steps):
        for panel in _panels((*step.join, *step.close), model):
            if panel in hinged and panel not in done:
                unsaid.setdefault(number, []).append(panel)
            done.add(panel)
    return unsaid


def _creasing(step: PlannedStep, model: Model) -> str:
    """Along which scores to fold there and back."""
    folding = {(p.id, h.panel) for p in model.patterns for h in p.hinges if p.id == step.piece}
    if folding <= set(step.fold):
        return CREASE_ALL
    them = "them" if len(step.fold) > 1 else "it"
    what = labels(model, step.fold, step.turned)
    return f"Fold {the(what)} and burnish. Then open {them} flat again."


def _acting(step: Step, model: Model, last: str) -> PlannedStep:
    """What a step of the project does, and to which piece."""
    creased = _creased(step.crease, model)
    fold = creased or _moving(_panels(step.fold, model), model)
    join = _panels((*step.join, *step.glue), model)
    close = _panels(step.close, model)
    pieces = tuple(name.value.partition(".")[0] for name in (*step.score, *step.cut))
    mats = tuple(name.value for name in step.attach)
    on_mats = [mat.piece for mat in model.mats if mat.id in mats]
    owners = [piece for piece, _ in (*fold, *join, *close)] + [*pieces, *on_mats]
    filled_piece = piece_filled(step.fill, model)
    owners += [filled_piece] if filled_piece else []
    known = [p.id for p in model.patterns]
    onto = "" if fold else comes_to(join, model)
    owners = [onto, *owners] if onto else owners
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
        fill=filled_by(step.fill, model),
        nest=_held_piece(step, model),
        crease=bool(creased),
        onto=onto,
        turn=step.turn is not None,
        photo=step.photo and step.photo.inside(model.project.folder),
    )


def _held_piece(step: Step, model: Model) -> str:
    """The piece that a form's step puts in where it fills its own piece: what that is nested in."""
    if not model.project.steps_of_forms or step.fold or step.close or filled_by(step.fill, model):
        return ""
    named = {name.value for name in step.fill}
    ids = {pattern.id for pattern in model.patterns}
    nests = [nest for nest in model.project.nests if nest.outer.value in named]
    return next((nest.inner.value for nest in nests if nest.inner.value in ids), "")


def _creased(names: Sequence[Written[str]], model: Model) -> tuple[Reference, ...]:
    """The panels to fold and open again: a piece's name means all of its own."""
    found: list[Reference] = []
    for name in names:
        piece = next((p for p in model.patterns if p.id == name.value), None)
        found += (
            [(piece.id, hinge.panel) for hinge in piece.hinges]
            if piece is not None
            else _panels((name,), model)
        )
    return tuple(dict.fromkeys(found))


def _moving(panels: Sequence[Reference], model: Model) -> tuple[Reference, ...]:
    """Those of the panels that fold in any size; the proof has told the maker of the others."""
    return tuple(
        (piece, name)
        for piece, name in panels
        if any(p.id == piece and name in p.folding for one in model.sizes for p in one.patterns)
    )


def _panels(names: Sequence[Written[str]], model: Model) -> tuple[Reference, ...]:
    ignored: list[Problem] = []
    found = [find_panel(name, model.patterns, ignored) for name in names]
    return tuple(panel for panel in found if panel is not None)


def _title(step: PlannedStep, model: Model, fills: bool) -> str:
    """A title from what the step does; the short form where panels have long names."""
    if fills:
        return "Fill and close it" if step.close else "Fill it"
    piece = next((p.name.lower() for p in model.patterns if p.id == step.piece), "piece")
    goals = [j.to for p in model.patterns for j in p.joins if j.tab in step.join]
    shuts = [panel for panel in step.close if panel in step.fold]
    for words, verb, panels, short in (
        (step.score, f"Score the {piece}", (), "Score"),
        (step.cut, f"Cut the {piece}", (), "Cut"),
        (step.attach, f"Dress it with {_the_mats(step.attach)}", (), ""),
        (step.join, "Join", goals or step.join, "Join"),
        (step.close, "Close" if shuts else "Close it", shuts, "Close it"),
        (step.crease, CREASE, (), ""),
        (step.fold, "Fold", step.fold, "Fold the panels"),
    ):
        if words:
            whole = f"{verb} {the(labels(model, panels, step.turned))}" if panels else verb
            return whole if len(whole) <= LONGEST_TITLE else short
    return "Turn it over" if step.turn else "Next"


def action_words(
    step: PlannedStep,
    model: Model,
    fills: bool = False,
    begun: bool = False,
    wound: Collection[Reference] = (),
) -> str:
    """What a step says when the project leaves it to booklet; `begun`: of a part after others.

    What goes round the `wound` panels has words of its own.
    """
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
    closing = [one for one in closures(model) if one[1] in step.close]
    # What a closure shuts is told with it.
    folds = [panel for panel in step.fold if panel not in {on for _, on, _ in closing}]
    if fills:
        parts.append(filling_words(step.fill, model))
    if step.join:
        joins = [j for p in model.patterns for j in p.joins if j.tab in step.join]
        if step.onto:
            parts.append(gluing_words(step.piece, joins, model))
        else:
            parts.append(joining(folds, step.join, joins, model, step.turned))
    elif step.crease:
        parts.append(_creasing(step, model))
    elif folds and pattern is not None:
        parts.append(fold_sentence(folds, model, step.turned))
    if step.close:
        carried = begun or bool(folds)
        told = [
            closing_text(kind, on, model, meets, carried, on in step.fold, on in wound)
            for kind, on, meets in closing
        ]
        parts += (
            list(filter(None, told))
            if told
            else [f"Close {the(labels(model, step.close, step.turned))}."]
        )
    return " ".join(parts)

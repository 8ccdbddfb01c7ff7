"""The stage: what each step's picture shows, before its scale is known.

In: a model and its planned steps. Out: for each step flat work as it lies, or a folded scene as
seen; the finished piece; and the piece open with its contents. Cover and step pages share them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TypeAlias

from booklet.draw.arrow import TurnOver
from booklet.draw.diagram import Highlight
from booklet.draw.folded import Shown, flat_state, skins, stage
from booklet.draw.motion import State, glue_side, let_go
from booklet.draw.skin import Skin
from booklet.draw.solid import SeenScene
from booklet.flat.pattern import Pattern
from booklet.fold.view import View
from booklet.pages.lying import Lot, lots, sheet_or_blocks
from booklet.pages.wording import (
    PlannedStep,
    closures,
    has_cutting,
    labels,
    panel_label,
    unfolded_chain,
)
from booklet.stages import Model


@dataclass(frozen=True)
class Flat:
    """A picture of flat work; `known` says that the outline is cut or drawn already."""

    pattern: Pattern
    show: Highlight
    known: bool
    alt: str


@dataclass(frozen=True)
class Folded:
    """A folded picture: `moving` are the faces that it is about; `flat` while no fold is made."""

    seen: SeenScene
    alt: str
    moving: tuple[str, ...] = ()
    flat: bool = False


Staged: TypeAlias = Flat | Folded | None


@dataclass(frozen=True)
class Stage:
    """All pictures of a booklet: one for each step, then what the cover shows.

    `filled_open` says that nothing closes over the contents: open is how it ends.
    """

    steps: tuple[Staged, ...]
    finished: Folded | None
    opened: Folded | None
    filled_open: bool = False


@dataclass(frozen=True)
class _Work:
    """A piece on the table between two steps, and how the last picture showed it."""

    state: State = field(default_factory=flat_state)
    turned: bool = False
    outside_up: bool = False
    filled: tuple[Lot, ...] = ()
    view: View | None = None
    cut: bool = False
    scored: bool = False


def set_stage(model: Model, steps: Sequence[PlannedStep]) -> Stage:
    """Every picture of the booklet, each worked out once."""
    works: dict[str, _Work] = {}
    staged: list[Staged] = []
    for step in steps:
        pattern = _pattern(model, step.piece)
        if pattern is None:
            staged.append(None)
            continue
        work = works.get(pattern.id, _Work(cut=not has_cutting(pattern)))
        picture, works[pattern.id] = _step(model, pattern, work, step)
        staged.append(picture)
    folding = [p for p in model.patterns if p.hinges]
    main = max(folding, key=lambda p: p.blank[0] * p.blank[1], default=None)
    if main is None:
        return Stage(tuple(staged), None, None)
    whole = _whole(model, main, works.get(main.id, _Work()))
    opened = _opened(model, main, whole)
    ends_open = opened is not None and not any(on[0] == main.id for _, on, _ in closures(model))
    return Stage(tuple(staged), _finished(model, main, whole), opened, ends_open)


def _step(model: Model, pattern: Pattern, work: _Work, step: PlannedStep) -> tuple[Staged, _Work]:
    """The picture of one step, and the work when it is done."""
    acts = bool(step.fold or step.join or step.attach or step.close or step.score or step.cut)
    turned = work.turned != step.turn
    if acts:
        # What is turned and worked on in one step is shown as it lies for the work.
        work = replace(work, turned=turned)
    moves = tuple(name for piece, name in step.fold if piece == pattern.id)
    picture: Staged
    if work.state.angles or (moves and not step.crease) or step.fill:
        side = work.turned
        sign = side != work.outside_up or (step.turn and not acts)
        picture = _folded(model, pattern, work, step, sign)
        work = replace(work, view=picture.seen.sight.view)
    else:
        side = work.turned or bool(step.attach)
        sign = side != work.outside_up or (step.turn and not acts)
        picture = _flat(model, pattern, work, step, side, sign)
    return picture, replace(
        work,
        state=after(model, pattern, work.state, step),
        turned=turned,
        # A step that only turns the work over has shown the sign for it already.
        outside_up=turned if not acts else side,
        filled=(*work.filled, *(lot for lot in lots(model, pattern.id) if lot.id in step.fill)),
        cut=work.cut or bool(step.cut),
        scored=work.scored or bool(step.score),
    )


def after(model: Model, pattern: Pattern, before: State, step: PlannedStep) -> State:
    """The state of a piece when a step is done; tabs count as folded before what covers them."""
    targets = {hinge.panel: hinge.angle for hinge in pattern.hinges}
    angles = dict(before.angles)
    mats = (*before.mats, *(mat for mat in model.mats if mat.id in step.attach))
    if not step.crease:
        moved = [name for piece, name in step.fold if piece == pattern.id]
        tabs = [name for name in moved if (pattern.id, name) in step.join]
        for name in (*tabs, *(n for n in moved if n not in tabs)):
            angles.setdefault(name, targets.get(name, 0.0))
    return State(angles, mats)


def _folded(model: Model, pattern: Pattern, work: _Work, step: PlannedStep, sign: bool) -> Folded:
    moves = [n for p, n in step.fold if p == pattern.id and n not in work.state.angles]
    pairs = {j.tab[1]: j.to[1] for j in pattern.joins if j.tab[0] == j.to[0] == pattern.id}
    tabs = [name for piece, name in step.join if piece == pattern.id]
    state = work.state
    if any(name not in tabs for name in moves):
        # Tabs lie ready before what is pressed onto them moves.
        ready = tuple((pattern.id, name) for name in moves if name in tabs)
        state = after(model, pattern, state, PlannedStep("", "", pattern.id, fold=ready))
        moves = [name for name in moves if name not in tabs]
    shut = [let_go(pattern, state, tab, pairs[tab]) for tab in tabs if tab in pairs and not moves]
    opened = tuple(dict.fromkeys(name for name in shut if name is not None))
    mats = tuple(mat for mat in model.mats if mat.id in step.attach and mat.piece == pattern.id)
    state = State(state.angles, (*state.mats, *mats))
    glued = {tab: glue_side(pattern, tab, pairs[tab]) if tab in pairs else "back" for tab in tabs}
    closes = [name for piece, name in step.close if piece == pattern.id]
    named = {
        name: panel_label(model, (pattern.id, name))
        for name in dict.fromkeys((*moves, *glued, *opened, *closes))
    }
    named |= {f"mat:{mat.id}": mat.name for mat in mats}
    inside = [lot for lot in lots(model, pattern.id) if lot.id in step.fill]
    lying = sheet_or_blocks(pattern, state, work.filled, inside)
    shown = Shown(
        folding=tuple(moves),
        glued=glued,
        opened=opened,
        named=named | lying.named,
        contents=lying.faces,
        arrows=(*lying.arrows, *([TurnOver()] if sign else [])),
        about=(*(f"mat:{mat.id}" for mat in mats), *lying.going_in),
        turned=work.turned,
    )
    seen = stage(pattern, state, shown, _looks(model, pattern), work.view)
    moving = (*moves, *glued, *opened)
    return Folded(seen, alt(model, step), moving, flat=not work.state.angles)


def _flat(
    model: Model, pattern: Pattern, work: _Work, step: PlannedStep, back: bool, sign: bool
) -> Flat:
    show = Highlight(
        fold=tuple(name for piece, name in step.fold if piece == pattern.id),
        glued=tuple(name for piece, name in step.join if piece == pattern.id),
        mats=tuple(m for m in model.mats if m.id in step.attach and m.piece == pattern.id),
        worn=work.state.mats if back else (),
        close=tuple(name for piece, name in step.close if piece == pattern.id),
        score=bool(step.score),
        cut=bool(step.cut),
        plain=not work.scored and bool(step.cut or not step.fold),
        back=back,
        turn=sign,
    )
    known = work.cut or (work.scored and not step.score and not step.cut)
    return Flat(pattern, show, known, alt(model, step))


def _whole(model: Model, pattern: Pattern, work: _Work) -> _Work:
    """The piece with every fold made and every mat on it."""
    angles = dict(work.state.angles)
    for hinge in pattern.hinges:
        angles.setdefault(hinge.panel, hinge.angle)
    mats = tuple(mat for mat in model.mats if mat.piece == pattern.id)
    return replace(work, state=State(angles, mats))


def _finished(model: Model, pattern: Pattern, work: _Work) -> Folded:
    seen = stage(pattern, work.state, Shown(), _looks(model, pattern))
    return Folded(seen, f"{pattern.name}, finished.")


def _opened(model: Model, pattern: Pattern, work: _Work) -> Folded | None:
    """The piece before its last closing, with its contents; None if nothing closes or fills it."""
    turns = list(work.state.angles)
    chains = [
        unfolded_chain(pattern, on[1], set())
        for _, on, _ in closures(model)
        if on[0] == pattern.id and on[1] in turns
    ]
    lid = max(chains, key=lambda chain: turns.index(chain[-1])) if chains else []
    angles = {name: angle for name, angle in work.state.angles.items() if name not in lid}
    state = State(angles, work.state.mats)
    lying = sheet_or_blocks(pattern, state, lots(model, pattern.id), ())
    if not lid and not lying.faces:
        return None
    shown = Shown(contents=lying.faces, named=lying.named, about=lying.going_in)
    seen = stage(pattern, state, shown, _looks(model, pattern))
    what = ", open" if lid else ""
    return Folded(seen, f"{pattern.name}{what}" + (", with its contents." if lying.faces else "."))


def _looks(model: Model, pattern: Pattern) -> Mapping[str, Skin]:
    """The colours of the stocks."""
    stocks = {stock.id.value: stock.colour for stock in model.project.stocks}
    own = {mat.id: stocks.get(mat.stock or "") for mat in model.mats if mat.piece == pattern.id}
    return skins(stocks.get(pattern.stock or ""), own)


def _pattern(model: Model, piece: str) -> Pattern | None:
    return next((p for p in model.patterns if p.id == piece), None)


def alt(model: Model, step: PlannedStep) -> str:
    """What the picture of a step shows, in words."""
    parts = [f"{step.title}."]
    if step.fold:
        parts.append(f"Arrows show how to fold the {labels(model, step.fold)}.")
    if step.join:
        parts.append(f"Hatching shows where the {labels(model, step.join)} take adhesive.")
    if step.attach:
        parts.append("The outside is up, and the mats lie in place.")
    if step.turn:
        parts.append("The arrow with a loop says to turn the work over.")
    return " ".join(parts)

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
from booklet.draw.folded import Shown, flat_state, inward_layers, skins, stage
from booklet.draw.motion import State, Touch, let_go, touch, tucked_layers
from booklet.draw.skin import Skin
from booklet.draw.solid import SeenScene
from booklet.flat.pattern import Pattern
from booklet.fold.layer import layers
from booklet.fold.view import View
from booklet.pages.lying import Lot, lots, sheet_or_blocks
from booklet.pages.panel_words import labels, panel_label
from booklet.pages.wording import (
    PlannedStep,
    closures,
    has_cutting,
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


COVERED_PIECES = 3
"""The cover shows this many pieces, the largest; more would be too small to look at."""

ONE_BY_ONE = 60
"""Up to this many folds are taken one by one to see which ends on top."""

Staged: TypeAlias = Flat | Folded | None


@dataclass(frozen=True)
class Stage:
    """All pictures of a booklet: one for each step, then what the cover shows.

    `filled_open` says that nothing closes over the contents: open is how it ends.
    """

    steps: tuple[Staged, ...]
    finished: tuple[Folded, ...]
    opened: Folded | None
    filled_open: bool = False

    @property
    def end(self) -> Folded | None:
        """How the main piece ends."""
        if self.filled_open:
            return self.opened
        return self.finished[0] if self.finished else None


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
    last_close = {step.piece: index for index, step in enumerate(steps) if step.close}
    told = {id_ for step in steps for id_ in step.fill}
    for index, step in enumerate(steps):
        pattern = _pattern(model, step.piece)
        if pattern is None:
            staged.append(None)
            continue
        work = works.get(pattern.id, _Work(cut=not has_cutting(pattern)))
        if last_close.get(pattern.id) == index:
            # What no step puts in has to be there before the piece is shut.
            rest = tuple(lot for lot in lots(model, pattern.id) if lot.id not in told)
            work = replace(work, filled=(*work.filled, *rest))
        picture, works[pattern.id] = _step(model, pattern, work, step)
        staged.append(picture)
    folding = sorted(
        (p for p in model.patterns if p.hinges), key=lambda p: -p.blank[0] * p.blank[1]
    )[:COVERED_PIECES]
    whole = {p.id: _whole(model, p, works.get(p.id, _Work())) for p in folding}
    finished = tuple(_finished(model, p, whole[p.id]) for p in folding)
    for pattern in folding:
        opened = _opened(model, pattern, whole[pattern.id])
        if opened is not None:
            shut = any(on[0] == pattern.id for _, on, _ in closures(model))
            ends_open = not shut and pattern is folding[0]
            return Stage(tuple(staged), finished, opened, ends_open)
    return Stage(tuple(staged), finished, None)


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
    turns = _turns(model, pattern)
    joined = [] if moves else [tab for tab in tabs if tab in pairs]
    shut = [let_go(pattern, state, tab, pairs[tab], turns) for tab in joined]
    opened = tuple(dict.fromkeys(name for name in shut if name is not None))
    mats = tuple(mat for mat in model.mats if mat.id in step.attach and mat.piece == pattern.id)
    state = State(state.angles, (*state.mats, *mats))
    glued = {
        tab: touch(pattern, tab, pairs[tab], turns).tab if tab in pairs else "back" for tab in tabs
    }
    closes = [name for piece, name in step.close if piece == pattern.id]
    named = {
        name: panel_label(model, (pattern.id, name))
        for name in dict.fromkeys((*moves, *glued, *opened, *closes))
    }
    named |= {f"mat:{mat.id}": mat.name for mat in mats}
    inside = [lot for lot in lots(model, pattern.id) if lot.id in step.fill]
    lying = sheet_or_blocks(pattern, state, _layers(model, pattern), work.filled, inside)
    shown = Shown(
        folding=tuple(moves),
        glued=glued,
        opened=opened,
        named=named | lying.named,
        contents=lying.faces,
        arrows=(*lying.arrows, *([TurnOver()] if sign else [])),
        about=(*(f"mat:{mat.id}" for mat in mats), *(lying.about if inside else ())),
        turned=work.turned,
    )
    over, looks = _layers(model, pattern), _looks(model, pattern)
    seen = stage(pattern, state, shown, over, looks, work.view)
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
    over, looks = _layers(model, pattern), _looks(model, pattern)
    seen = stage(pattern, work.state, Shown(), over, looks)
    return Folded(seen, f"{pattern.name}, finished.")


def _opened(model: Model, pattern: Pattern, work: _Work) -> Folded | None:
    """The piece before its last closing, with its contents; None if nothing closes or fills it."""
    turns = _turns(model, pattern)
    chains = [
        unfolded_chain(pattern, on[1], set()) for _, on, _ in closures(model) if on[0] == pattern.id
    ]
    lid = max(chains, key=lambda chain: max(turns.get(n, -1) for n in chain)) if chains else []
    glued = {name for join in pattern.joins for _, name in (join.tab, join.to)}
    # What folds together with the lid or after it lies in the way of the contents too.
    first = min((turns.get(name, 0) for name in lid), default=len(turns))
    angles = {
        name: angle
        for name, angle in work.state.angles.items()
        if name not in lid and (name in glued or turns.get(name, -1) < first)
    }
    state = State(angles, work.state.mats)
    over = _layers(model, pattern)
    lying = sheet_or_blocks(pattern, state, over, lots(model, pattern.id))
    if not lid and not lying.faces:
        return None
    shown = Shown(contents=lying.faces, named=lying.named, about=lying.about)
    seen = stage(pattern, state, shown, over, _looks(model, pattern))
    what = ", open" if lid else ""
    return Folded(seen, f"{pattern.name}{what}" + (", with its contents." if lying.faces else "."))


def _turns(model: Model, pattern: Pattern) -> Mapping[str, int]:
    """In which round of the proved order each panel folds."""
    folded = next((piece for piece in model.folded if piece.piece == pattern.id), None)
    steps = () if folded is None else folded.order.steps
    return {name: turn for turn, names in enumerate(steps) for name in names}


def _layers(model: Model, pattern: Pattern) -> Mapping[str, int]:
    """Which panel lies over which, as proved; nothing where a piece was not folded.

    Tabs lie where they touch their panel, and what is tucked in lies behind it.
    """
    folded = next((piece for piece in model.folded if piece.piece == pattern.id), None)
    if folded is None:
        return {}
    turns = _turns(model, pattern)
    touches = [
        (join.tab[1], join.to[1], touch(pattern, join.tab[1], join.to[1], turns))
        for join in pattern.joins
        if join.tab[0] == join.to[0] == pattern.id
    ]
    touches += [
        (on[1], meets[1], Touch("back", "front"))
        for kind, on, meets in closures(model)
        if kind == "tuck" and meets is not None and on[0] == meets[0] == pattern.id
    ]
    proved = folded.layers
    if len(turns) <= ONE_BY_ONE:
        # Panels named in one step are folded in the order in which it names them.
        proved = layers(folded.posed, [[name] for names in folded.order.steps for name in names])
    return tucked_layers(inward_layers(folded.posed, proved), touches)


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
        parts.append(f"Arrows show how to fold the {labels(model, step.fold, step.turned)}.")
    if step.join:
        parts.append(
            f"Hatching shows where the {labels(model, step.join, step.turned)} take adhesive."
        )
    if step.attach:
        parts.append("The outside is up, and the mats lie in place.")
    if step.turn:
        parts.append("The arrow with a loop says to turn the work over.")
    return " ".join(parts)

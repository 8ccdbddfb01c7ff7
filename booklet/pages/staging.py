"""The stage: what each step's picture shows, before its scale is known.

In: a model and its planned steps. Out: for each step flat work as it lies, or a folded scene as
seen; the finished piece; and the piece open with its contents. Cover and step pages share them.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import TypeAlias

from booklet.draw.arrow import TurnOver
from booklet.draw.diagram import Highlight
from booklet.draw.folded import LOW, TURNED_LOW, Shown, flat_state, stage
from booklet.draw.motion import State
from booklet.draw.solid import SeenScene
from booklet.flat.pattern import Pattern
from booklet.fold.touch import let_go
from booklet.fold.view import View
from booklet.pages.assembly import Assembly, assembled, assemblies
from booklet.pages.closing import closures, unfolded_chain
from booklet.pages.lying import Lot, sheet_or_blocks
from booklet.pages.panel_words import labels, listed, panel_label
from booklet.pages.planned import PlannedStep
from booklet.pages.wording import has_cutting
from booklet.pages.workpiece import Workpiece, workpieces
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

FLAT_FOLD = 170.0
"""Degrees from which a fold lies flat."""
HALF_OPEN = 0.6
"""The share of their angle at which flat folds are shown half open."""

Staged: TypeAlias = Flat | Folded | None


@dataclass(frozen=True)
class Stage:
    """All pictures of a booklet: one for each step, then what the cover shows.

    `filled_open` says that nothing closes over the contents: open is how it ends. `going_in` are
    pictures of contents that a step puts in before it folds: they come before that of that number.
    """

    steps: tuple[Staged, ...]
    finished: tuple[Folded, ...]
    opened: Folded | None
    filled_open: bool = False
    going_in: Mapping[int, Folded] = field(default_factory=dict)

    @property
    def shown(self) -> list[Folded]:
        """What the cover shows: nothing both empty and full, if it looks the same else."""
        closed = self.finished[1:] if self.filled_open else self.finished
        return [*closed, *([self.opened] if self.opened is not None else [])]

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
    pieces = workpieces(model)
    works = {id_: _Work(cut=not has_cutting(piece.pattern)) for id_, piece in pieces.items()}
    staged: list[Staged] = []
    last_close = {step.piece: index for index, step in enumerate(steps) if step.close}
    told = {id_ for step in steps for id_ in step.fill}
    going_in: dict[int, Folded] = {}
    for index, step in enumerate(steps):
        piece = pieces.get(step.piece)
        if piece is None:
            staged.append(None)
            continue
        work = works[step.piece]
        first = [lot for lot in piece.lots if lot.id in step.fill and _acts(step)]
        if last_close.get(step.piece) == index and work.state.angles:
            # What no step puts in has to be there before the piece is shut.
            first += [lot for lot in piece.lots if lot.id not in told]
        if first and not step.turn:
            # What a step puts in goes in before what it folds, in a picture of its own.
            going_in[index], work = _filling(piece, work, step, first)
        else:
            work = replace(work, filled=(*work.filled, *first))
        if first:
            step = replace(step, fill=())
        if step.nest:
            staged.append(_nested(pieces, works, step))
            continue
        picture, works[step.piece] = _step(piece, work, step)
        staged.append(picture)
    return replace(_ended(tuple(staged), pieces, works), going_in=going_in)


def _filling(
    piece: Workpiece, work: _Work, step: PlannedStep, first: Sequence[Lot]
) -> tuple[Folded, _Work]:
    """Contents on their way in before what a step folds, and the work with them."""
    names = listed([lot.name for lot in first])
    fill = PlannedStep(f"Put the {names} in", "", step.piece, fill=tuple(lot.id for lot in first))
    picture = _folded(piece, work, replace(fill, turned=step.turned), sign=False)
    filled = (*work.filled, *first)
    return picture, replace(work, filled=filled, view=picture.seen.sight.view)


def _ended(
    staged: tuple[Staged, ...], pieces: Mapping[str, Workpiece], works: Mapping[str, _Work]
) -> Stage:
    """The stage with what the cover shows: pieces finished, and one open."""
    groups = assemblies(pieces)
    together = {piece.pattern.id for group in groups for piece in group.pieces}
    folding = [piece for piece in pieces.values() if piece.pattern.hinges]
    folding.sort(key=lambda piece: -piece.pattern.blank[0] * piece.pattern.blank[1])
    states = {id_: _whole(piece, works[id_].state) for id_, piece in pieces.items()}
    alone = [piece for piece in folding if piece.pattern.id not in together]
    finished = [
        Folded(assembled(group, states, out=False), f"{_named(group)}, put together.")
        for group in groups
    ]
    finished += [_finished(piece, states[piece.pattern.id]) for piece in alone]
    shown = tuple(finished[:COVERED_PIECES])
    for group in groups:
        if group.nested:
            whole = Folded(assembled(group, states, out=True), f"{_named(group)}, drawn out.")
            return Stage(staged, shown, whole)
    for piece in folding:
        opened = _opened(piece, states[piece.pattern.id])
        if opened is not None:
            full = bool(piece.lots) and not groups and not _closed_by(piece)
            ends_open = full and piece is folding[0]
            return Stage(staged, shown, opened, ends_open)
    return Stage(staged, shown, None)


def _nested(
    pieces: Mapping[str, Workpiece], works: Mapping[str, _Work], step: PlannedStep
) -> Folded | None:
    """One piece on its way into another."""
    states = {id_: _whole(piece, works[id_].state) for id_, piece in pieces.items()}
    for group in assemblies(pieces):
        if any(piece.pattern.id == step.nest for piece in group.pieces):
            seen = assembled(group, states, out=True, slides=step.nest)
            return Folded(seen, f"{step.title}. An arrow shows which way.")
    return None


def _named(group: Assembly) -> str:
    return listed([piece.pattern.name for piece in group.pieces])


def _acts(step: PlannedStep) -> bool:
    """Whether a step does more than to turn the work or to put something in."""
    works = (step.fold, step.join, step.attach, step.buttons, step.close, step.score, step.cut)
    return any(works)


def _step(piece: Workpiece, work: _Work, step: PlannedStep) -> tuple[Staged, _Work]:
    """The picture of one step, and the work when it is done."""
    acts = _acts(step)
    turned = work.turned != step.turn
    if acts:
        # What is turned and worked on in one step is shown as it lies for the work.
        work = replace(work, turned=turned)
    moves = any(owner == step.piece for owner, _ in step.fold)
    picture: Staged
    if work.state.angles or (moves and not step.crease) or step.fill:
        side = work.turned
        sign = side != work.outside_up or (step.turn and not acts)
        picture = _folded(piece, work, step, sign)
        view = picture.seen.sight.view
        work = replace(work, view=work.view if view in (*LOW, *TURNED_LOW) else view)
    else:
        side = work.turned or bool(step.attach or step.buttons)
        sign = side != work.outside_up or (step.turn and not acts)
        picture = _flat(piece, work, step, side, sign)
    return picture, replace(
        work,
        state=after(piece, work.state, step),
        turned=turned,
        # A step that only turns the work over has shown the sign for it already.
        outside_up=turned if not acts else side,
        filled=(*work.filled, *(lot for lot in piece.lots if lot.id in step.fill)),
        cut=work.cut or bool(step.cut),
        scored=work.scored or bool(step.score),
    )


def after(piece: Workpiece, before: State, step: PlannedStep) -> State:
    """The state of a piece when a step is done; tabs count as folded before what covers them."""
    own = piece.pattern.id
    targets = {hinge.panel: hinge.angle for hinge in piece.pattern.hinges}
    angles = dict(before.angles)
    mats = (*before.mats, *(mat for mat in piece.mats if mat.id in step.attach))
    if not step.crease:
        moved = [name for owner, name in step.fold if owner == own]
        tabs = [name for name in moved if (own, name) in step.join]
        for name in (*tabs, *(n for n in moved if n not in tabs)):
            angles.setdefault(name, targets.get(name, 0.0))
    return State(angles, mats)


def _folded(piece: Workpiece, work: _Work, step: PlannedStep, sign: bool) -> Folded:
    own = piece.pattern.id
    moves = [n for p, n in step.fold if p == own and n not in work.state.angles]
    tabs = [name for owner, name in step.join if owner == own]
    state = work.state
    if any(name not in tabs for name in moves):
        # Tabs lie ready before what is pressed onto them moves.
        ready = tuple((own, name) for name in moves if name in tabs)
        state = after(piece, state, PlannedStep("", "", own, fold=ready))
        moves = [name for name in moves if name not in tabs]
    opened = () if moves else _let_go(piece, state, tabs)
    mats = tuple(mat for mat in piece.mats if mat.id in step.attach)
    state = State(state.angles, (*state.mats, *mats))
    glued: dict[str, str] = {
        tab: piece.touches[tab].tab if tab in piece.touches else "back" for tab in tabs
    }
    closes = [name for owner, name in step.close if owner == own]
    named = {
        name: panel_label(piece.model, (own, name))
        for name in dict.fromkeys((*moves, *glued, *opened, *closes))
    }
    named |= {f"mat:{mat.id}": mat.name for mat in mats}
    going_in = [lot for lot in piece.lots if lot.id in step.fill]
    lying = sheet_or_blocks(piece.rest, state, piece.layers, work.filled, going_in)
    shown = Shown(
        folding=tuple(moves),
        glued=glued,
        opened=opened,
        # What lies inside has been named on its way in.
        named=named | (lying.named if going_in else {}),
        contents=lying.faces,
        arrows=(*lying.arrows, *([TurnOver()] if sign else [])),
        about=(*(f"mat:{mat.id}" for mat in mats), *(lying.about if going_in else ())),
        lands=piece.lands if tabs else {},
        turned=work.turned,
        opens=step.crease,
    )
    seen = stage(piece.rest, state, shown, piece.layers, piece.looks, work.view)
    # Where glue goes is what a picture with glue has to show, and what is often too small.
    small = tuple(glued) or tuple(moves)
    return Folded(seen, alt(piece.model, step), small, flat=not work.state.angles)


def _let_go(piece: Workpiece, state: State, tabs: Sequence[str]) -> tuple[str, ...]:
    """The panels to open a little so that glue reaches these tabs."""
    pairs = [(tab, piece.joined[tab]) for tab in tabs if tab in piece.joined]
    shut = [let_go(piece.pattern, state.angles, tab, to, piece.turns) for tab, to in pairs]
    return tuple(dict.fromkeys(name for name in shut if name is not None))


def _flat(piece: Workpiece, work: _Work, step: PlannedStep, back: bool, sign: bool) -> Flat:
    own = piece.pattern.id
    bare = not _acts(step)
    wide, high = (piece.model.printer.both(side) for side in piece.pattern.blank)
    show = Highlight(
        fold=tuple(name for owner, name in step.fold if owner == own),
        glued=tuple(name for owner, name in step.join if owner == own),
        mats=tuple(mat for mat in piece.mats if mat.id in step.attach),
        worn=work.state.mats if back else (),
        close=tuple(name for owner, name in (*step.close, *step.buttons) if owner == own),
        score=bool(step.score),
        cut=bool(step.cut),
        plain=not work.scored and bool(step.cut or not step.fold),
        back=back,
        turn=sign,
        name=piece.pattern.name,
        size=(wide, high) if bare and not (work.scored or step.turn) else None,
    )
    known = work.cut or (work.scored and not step.score and not step.cut)
    return Flat(piece.pattern, show, known, alt(piece.model, step))


def finished_piece(model: Model, pattern: Pattern) -> Folded:
    """A piece with every fold made, whatever the steps show."""
    piece = workpieces(model)[pattern.id]
    return _finished(piece, _whole(piece, flat_state()))


def _whole(piece: Workpiece, state: State) -> State:
    """The piece with every fold made and every mat on it."""
    angles = dict(state.angles)
    for hinge in piece.pattern.hinges:
        angles.setdefault(hinge.panel, hinge.angle)
    return State(angles, piece.mats)


def _finished(piece: Workpiece, state: State) -> Folded:
    # A piece that is open at the back is shown from there: else it looks like a block.
    shown = Shown(behind=piece.opens_behind)
    seen = stage(piece.rest, state, shown, piece.layers, piece.looks)
    return Folded(seen, f"{piece.pattern.name}, finished.")


def _closed_by(piece: Workpiece) -> list[str]:
    """The panels of this piece that closures sit on."""
    return [on[1] for _, on, _ in closures(piece.model) if on[0] == piece.pattern.id]


def _opened(piece: Workpiece, whole: State) -> Folded | None:
    """The piece before its last closing, with its contents; None if nothing closes or fills it."""
    turns = piece.turns
    chains = [unfolded_chain(piece.pattern, name, set()) for name in _closed_by(piece)]
    lid = max(chains, key=lambda chain: max(turns.get(n, -1) for n in chain)) if chains else []
    glued = {name for join in piece.pattern.joins for _, name in (join.tab, join.to)}
    # What folds together with the lid or after it lies in the way of the contents too.
    first = min((turns.get(name, 0) for name in lid), default=len(turns))
    angles = {
        name: angle
        for name, angle in whole.angles.items()
        if name not in lid and (name in glued or turns.get(name, -1) < first)
    }
    state = State(angles, whole.mats)
    lying = sheet_or_blocks(piece.rest, state, piece.layers, piece.lots)
    if not lid and not lying.faces:
        return _unfolding(piece, whole, glued)
    shown = Shown(contents=lying.faces, named=lying.named, about=lying.about)
    seen = stage(piece.rest, state, shown, piece.layers, piece.looks)
    what = ", open" if lid else ""
    tail = ", with its contents." if lying.faces else "."
    return Folded(seen, f"{piece.pattern.name}{what}{tail}")


def _unfolding(piece: Workpiece, whole: State, glued: Collection[str]) -> Folded | None:
    """A piece whose last folds lie flat and are not glued, with these half open; else None."""
    turns = piece.turns
    names = [name for name, turn in turns.items() if turn == max(turns.values())]
    if not names or any(
        name in glued or abs(whole.angles.get(name, 0.0)) < FLAT_FOLD for name in names
    ):
        return None
    angles = {
        name: angle * HALF_OPEN if name in names else angle for name, angle in whole.angles.items()
    }
    state = State(angles, whole.mats)
    seen = stage(piece.rest, state, Shown(), piece.layers, piece.looks)
    return Folded(seen, f"{piece.pattern.name}, half open.")


def alt(model: Model, step: PlannedStep) -> str:
    """What the picture of a step shows, in words."""
    parts = [f"{step.title}."]
    if step.crease:
        parts.append("Arrows with two heads show what to fold and open again.")
    elif step.fold:
        parts.append(f"Arrows show how to fold the {labels(model, step.fold, step.turned)}.")
    if step.join:
        parts.append(
            f"Hatching shows where the {labels(model, step.join, step.turned)} take adhesive."
        )
    if step.fill:
        parts.append("An arrow shows the way in.")
    if step.attach:
        parts.append("The outside is up; hatching shows where the mats take adhesive.")
    if step.buttons:
        where = listed([f"the {labels(model, (panel,))}" for panel in step.buttons])
        parts.append(f"The outside is up; {where} are tinted: the buttons go there.")
    if step.turn:
        parts.append("The arrow with a loop says to turn the work over.")
    return " ".join(parts)

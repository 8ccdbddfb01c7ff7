"""The stage: what each step's pictures show, before their scale is known.

In: a model and its planned steps. Out: for each step flat work as it lies, or folded scenes as
seen; the finished piece; and the piece open with its contents. Cover and step pages share them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from booklet.draw.arrow import TurnOver
from booklet.draw.diagram import Highlight
from booklet.draw.folded import LOW, TURNED_LOW, Shown, flat_state, stage
from booklet.draw.motion import State, led_along
from booklet.draw.skin import flat_outside
from booklet.fold.face import Loop
from booklet.fold.touch import let_go
from booklet.fold.view import View
from booklet.pages.alt_text import alt
from booklet.pages.assembly import Moment, assembled, assemblies, round_about
from booklet.pages.ending import ended, whole
from booklet.pages.fastened import WORDS
from booklet.pages.filling import filling_words
from booklet.pages.lying import Lot, sheet_or_blocks
from booklet.pages.panel_words import in_sentence, listed, panel_labels
from booklet.pages.phases import in_phases
from booklet.pages.planned import PlannedStep
from booklet.pages.shot import Flat, Folded, Shot, Stage, Staged
from booklet.pages.winding import Winding, winding, wound_panels
from booklet.pages.wording import action_words, has_cutting
from booklet.pages.workpiece import Workpiece, workpieces
from booklet.stages import Model


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
    worked: bool = False


def set_stage(model: Model, steps: Sequence[PlannedStep]) -> Stage:
    """Every picture of the booklet, each worked out once."""
    pieces = workpieces(model)
    works = {id_: _Work(cut=not has_cutting(piece.pattern)) for id_, piece in pieces.items()}
    shots: list[tuple[Shot, ...]] = []
    last_close = {step.piece: index for index, step in enumerate(steps) if step.close}
    told = {id_ for step in steps for id_ in step.fill}
    for index, step in enumerate(steps):
        piece = pieces.get(step.piece)
        if piece is None:
            shots.append((Shot(None),))
            continue
        together = _nested(pieces, works, step) if step.nest else None
        if _all_folded(pieces, works, step) and (step.onto or (step.fill and not _acts(step))):
            together = _glued(pieces, works, step)
        if together is not None or step.nest:
            shots.append((Shot(together),))
            continue
        work = works[step.piece]
        first = [lot for lot in piece.lots if lot.id in step.fill and _acts(step)]
        if last_close.get(step.piece) == index and work.state.angles:
            # What no step puts in has to be there before the piece is shut.
            first += [lot for lot in piece.lots if lot.id not in told]
        own, works[step.piece] = _shots(piece, work, step, first)
        together = _wound_together(pieces, works, step)
        if together is not None:
            own = (*own[:-1], replace(own[-1], picture=together))
        shots.append(own)
    states = {id_: work.state for id_, work in works.items()}
    return ended(tuple(shots), pieces, states, {id_: work.view for id_, work in works.items()})


def _all_folded(
    pieces: Mapping[str, Workpiece], works: Mapping[str, _Work], step: PlannedStep
) -> bool:
    """Whether the pieces that this one is glued to are finished, and it as well."""
    return all(
        hinge.panel in works[piece.pattern.id].state.angles or not hinge.folds
        for group in assemblies(pieces)
        if not group.nested and step.piece in [piece.pattern.id for piece in group.pieces]
        for piece in group.pieces
        for hinge in piece.pattern.hinges
    )


def _shots(
    piece: Workpiece, work: _Work, step: PlannedStep, first: Sequence[Lot]
) -> tuple[tuple[Shot, ...], _Work]:
    """The pictures of a step: what goes in `first`, then what it folds, part by part.

    Where booklet words the step, each picture has the words of its own part; the maker's words
    stand whole beside the first, and those after it say what they move.
    """
    model = piece.model
    whole = action_words(step, model, fills=bool(step.fill))
    ours = step.text.endswith(whole)
    shots: list[Shot] = []
    if first and not step.turn:
        going_in, work = _filling(piece, work, step, first)
        words = filling_words(step.fill, model) if step.fill else ""
        shots.append(Shot(going_in, words))
    elif first:
        work = replace(work, filled=(*work.filled, *first))
    if first:
        step = replace(step, fill=())
    around = winding(piece, step, len(work.state.wraps))
    on_it = work.state.wraps
    bare = around is not None and not _folds_too(step)
    for part in () if bare else in_phases(piece, work.state.angles, step):
        picture, work = _step(piece, work, part)
        told = part if ours else replace(part, close=())
        words = action_words(told, model, begun=bool(shots), wound=wound_panels(piece, step))
        shots.append(Shot(picture, words, part))
    if around is not None:
        last = step if bare else replace(step, turn=False)
        tied, work = _wound(piece, work, last, around, on_it)
        shots.append(Shot(tied, around.words, step if bare else None))
    begin = step.text.removesuffix(whole) + shots[0].words
    split = ours and len(shots) > 1 and bool(shots[0].words)
    shots[0] = replace(shots[0], words=begin if split else "")
    return tuple(shots), work


def _filling(
    piece: Workpiece, work: _Work, step: PlannedStep, first: Sequence[Lot]
) -> tuple[Folded, _Work]:
    """Contents on their way in before what a step folds, and the work with them."""
    names = listed([in_sentence(lot.name) for lot in first])
    fill = PlannedStep(f"Put in the {names}", "", step.piece, fill=tuple(lot.id for lot in first))
    picture = _folded(piece, work, replace(fill, turned=step.turned), sign=False)
    filled = (*work.filled, *first)
    return picture, replace(work, filled=filled, view=picture.seen.sight.view)


def _nested(
    pieces: Mapping[str, Workpiece], works: Mapping[str, _Work], step: PlannedStep
) -> Folded | None:
    """One piece on its way into another."""
    states = {id_: whole(piece, works[id_].state) for id_, piece in pieces.items()}
    for group in assemblies(pieces):
        if any(piece.pattern.id == step.nest for piece in group.pieces):
            there = round_about(group, step.nest)
            seen = assembled(there, states, Moment(out=True, slides=step.nest))
            return Folded(seen, f"{step.title}. An arrow shows which way.")
    return None


def _glued(
    pieces: Mapping[str, Workpiece], works: Mapping[str, _Work], step: PlannedStep
) -> Folded | None:
    """Pieces that are glued to each other: one on its way to the others, or contents to all."""
    states = {id_: whole(piece, works[id_].state) for id_, piece in pieces.items()}
    for group in assemblies(pieces):
        ids = [piece.pattern.id for piece in group.pieces]
        if step.piece not in ids or group.nested:
            continue
        joins = [j for piece in group.pieces for j in piece.pattern.joins if j.tab in step.join]
        across = tuple(join for join in joins if join.tab[0] != join.to[0])
        called = tuple(dict.fromkeys(id_ for j in across for id_ in (j.tab[0], j.to[0])))
        there = round_about(group, step.piece, called) if step.onto else group
        moment = Moment(slides=step.onto or None, fill=step.fill, glue=across, named=called)
        seen = assembled(there, states, moment)
        return Folded(seen, alt(there.pieces[-1], step))
    return None


def _wound_together(
    pieces: Mapping[str, Workpiece], works: Mapping[str, _Work], step: PlannedStep
) -> Folded | None:
    """What goes round several pieces that are put together."""
    around = winding(pieces[step.piece], step)
    for group in assemblies(pieces):
        if around is not None and step.piece in [piece.pattern.id for piece in group.pieces]:
            states = {id_: whole(piece, works[id_].state) for id_, piece in pieces.items()}
            states[step.piece] = replace(states[step.piece], wraps=around.loops)
            seen = assembled(group, states, Moment(winding={step.piece: around}))
            return Folded(seen, f"{step.title}. {around.alt}")
    return None


def _acts(step: PlannedStep) -> bool:
    """Whether a step does more than to turn the work or to put something in."""
    works = (step.fold, step.join, step.attach, step.buttons, step.close, step.score, step.cut)
    return any(works)


def _folds_too(step: PlannedStep) -> bool:
    """Whether a step that closes a piece does something else as well."""
    return _acts(replace(step, close=()))


def _wound(
    piece: Workpiece, work: _Work, step: PlannedStep, around: Winding, on_it: Sequence[Loop]
) -> tuple[Folded, _Work]:
    """The shut piece while a ribbon or the like goes round it, and the work when it is tied."""
    work = replace(work, turned=work.turned != step.turn, state=after(piece, work.state, step))
    on_way = replace(work.state, wraps=(*on_it, *around.loops))
    sign = [TurnOver()] if work.turned != work.outside_up else []
    shown = Shown(
        named=around.names,
        contents=sheet_or_blocks(piece.rest, on_way, piece.layers, work.filled).faces,
        arrows=(*around.arrows, *sign),
        turned=work.turned,
    )
    seen = stage(piece.rest, on_way, shown, piece.layers, piece.looks, work.view)
    picture = Folded(seen, f"{step.title}. {around.alt}")
    return picture, replace(work, outside_up=work.turned, view=seen.sight.view)


def _step(piece: Workpiece, work: _Work, step: PlannedStep) -> tuple[Staged, _Work]:
    """The picture of one step, and the work when it is done."""
    turned = work.turned != step.turn
    # What is turned is shown as it lies then.
    work = replace(work, turned=turned)
    moves = any(owner == step.piece for owner, _ in step.fold)
    picture: Staged
    if work.state.angles or (moves and not step.crease) or step.fill:
        side = work.turned
        sign = side != work.outside_up
        picture = _folded(piece, work, step, sign)
        view = picture.seen.sight.view
        work = replace(work, view=work.view if view in (*LOW, *TURNED_LOW) else view)
    else:
        side = work.turned or bool(step.attach or step.buttons)
        sign = side != work.outside_up
        picture = _flat(piece, work, step, side, sign)
    return picture, replace(
        work,
        state=after(piece, work.state, step),
        outside_up=side,
        filled=(*work.filled, *(lot for lot in piece.lots if lot.id in step.fill)),
        cut=work.cut or bool(step.cut),
        scored=work.scored or bool(step.score),
        worked=work.worked or _acts(step),
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
    return replace(_fastened(piece, replace(before, mats=mats), step), angles=angles)


def _fastened(piece: Workpiece, state: State, step: PlannedStep) -> State:
    """The state with what keeps it shut, if this step puts that on."""
    own = piece.pattern.id
    fixed = [
        disc
        for disc in piece.discs
        if disc in state.fixed
        or (own, disc.closure) in step.close
        or (own, disc.panel) in step.buttons
    ]
    around = [
        loop for on, wrap in piece.wraps.items() if (own, on) in step.close for loop in wrap.there
    ]
    return replace(state, fixed=tuple(fixed), wraps=(*state.wraps, *around))


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
    state = replace(_fastened(piece, state, step), mats=(*state.mats, *mats))
    glued: dict[str, str] = {
        tab: piece.touches[tab].tab if tab in piece.touches else "back" for tab in tabs
    }
    closes = [name for owner, name in step.close if owner == own]
    alone = led_along(piece.pattern, moves)
    called = dict.fromkeys(n for n in (*moves, *glued, *opened, *closes) if n not in alone)
    named = panel_labels(piece.model, [(own, name) for name in called], work.turned)
    if not step.crease:
        targets = {hinge.panel: hinge.angle for hinge in piece.pattern.hinges}
        turned = [name for name in moves if name not in alone]
        named |= {name: f"{named[name]} {round(abs(targets[name]))}°" for name in turned}
        named = _named_once(piece, named, turned)
    named |= {f"mat:{mat.id}": mat.name for mat in mats}
    named |= {
        f"fixed:{number}": WORDS[disc.kind]
        for number, disc in enumerate(state.fixed)
        if disc not in work.state.fixed
    }
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
    return Folded(
        seen, alt(piece, step, lying.arrows if going_in else ()), small, flat=not work.state.angles
    )


def _named_once(piece: Workpiece, named: Mapping[str, str], moves: Sequence[str]) -> dict[str, str]:
    """The names without those of neighbours that move alike: a strip along a row is named once."""
    head = {name: name for name in moves}
    for score in piece.pattern.scores:
        first, second = score.between
        if first in head and second in head and named[first] == named[second]:
            one, other = head[first], head[second]
            head = {name: one if own == other else own for name, own in head.items()}
    return {name: words for name, words in named.items() if head.get(name, name) == name}


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
        paint=flat_outside(piece.looks) if back else "paper",
        turn=sign,
        name=piece.pattern.name,
        size=(wide, high) if bare and not (work.worked or step.turn) else None,
        discs=tuple(
            disc.shape
            for disc in _fastened(piece, work.state, step).fixed
            if (disc.side == "back") == back
        ),
    )
    known = work.cut or (work.scored and not step.score and not step.cut)
    return Flat(piece.pattern, show, known, alt(piece, step))

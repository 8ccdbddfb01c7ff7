"""The ending: what the cover shows, and the last picture of the steps.

In: workpieces and their states when all steps are done. Out: a `Stage` with pieces finished, put
together, and one open with its contents.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import replace
from types import MappingProxyType

from booklet.draw.folded import Shown, flat_state, stage
from booklet.draw.motion import State
from booklet.draw.solid import SeenScene
from booklet.flat.pattern import FLAT_DEG, Pattern
from booklet.fold.view import View
from booklet.pages.assembly import Assembly, Moment, assembled, assemblies
from booklet.pages.closing import closures, lid_chain
from booklet.pages.lying import sheet_or_blocks
from booklet.pages.panel_words import in_sentence, listed
from booklet.pages.shot import Folded, Shot, Stage
from booklet.pages.workpiece import Workpiece, workpieces
from booklet.stages import Model

HALF_OPEN = 0.6
"""The share of their angle at which flat folds are shown half open."""
LOOK_IN = 0.05
"""The share of a picture by which one has to look into a piece that is shown for that."""
COVERED_PIECES = 3
"""The cover shows this many pieces, the largest; more would be too small to look at."""


def ended(
    shots: tuple[tuple[Shot, ...], ...],
    pieces: Mapping[str, Workpiece],
    done: Mapping[str, State],
    views: Mapping[str, View | None] = MappingProxyType({}),
) -> Stage:
    """The stage with what the cover shows: pieces finished, and one open.

    `views` are those of the last picture of each piece: the finished one keeps it if it can.
    """
    groups = assemblies(pieces)
    together = {piece.pattern.id for group in groups for piece in group.pieces}
    folding = [piece for piece in pieces.values() if piece.pattern.hinges]
    folding.sort(key=lambda piece: -piece.pattern.blank[0] * piece.pattern.blank[1])
    states = {id_: shut(piece, done[id_]) for id_, piece in pieces.items()}
    alone = [piece for piece in folding if piece.pattern.id not in together]
    finished = [
        Folded(assembled(group, states, Moment()), f"{named(group)}, put together.")
        for group in groups
    ]
    finished += [
        _finished(piece, states[piece.pattern.id], views.get(piece.pattern.id)) for piece in alone
    ]
    shown = tuple(finished[:COVERED_PIECES])
    first = named(groups[0]) if groups else alone[0].pattern.name if alone else ""
    words = f"This is the finished {first.lower()}." if first else ""
    for group in groups:
        if group.nested:
            whole_out = assembled(group, states, Moment(out=True))
            drawn = Folded(whole_out, f"{named(group)}, drawn out.")
            return Stage(shots, shown, drawn, end_words=words)
    for piece in folding:
        opened = _opened(piece, states[piece.pattern.id], views.get(piece.pattern.id))
        if opened is not None:
            full = bool(piece.lots) and not groups and not _closed_by(piece)
            told = full and piece is folding[0]
            # A flap half open over what it hides is no ending.
            ends_open = told and _shows_contents(opened.seen)
            if told:
                inside = listed([in_sentence(lot.name) for lot in piece.lots])
                words = f"{words[:-1]}, with the {inside} inside."
            return Stage(shots, shown, opened, ends_open, words)
    return Stage(shots, shown, None, end_words=words)


def named(group: Assembly) -> str:
    """The names of its pieces."""
    return listed([piece.pattern.name for piece in group.pieces])


def finished_piece(model: Model, pattern: Pattern) -> Folded:
    """A piece with every fold made, whatever the steps show."""
    piece = workpieces(model)[pattern.id]
    return _finished(piece, shut(piece, flat_state()))


def whole(piece: Workpiece, state: State) -> State:
    """The piece with every fold made and every mat on it."""
    angles = dict(state.angles)
    for hinge in piece.pattern.hinges:
        angles.setdefault(hinge.panel, hinge.angle)
    return State(angles, piece.mats, state.fixed)


def shut(piece: Workpiece, state: State) -> State:
    """The whole piece, with all that keeps it shut."""
    around = tuple(loop for wrap in piece.wraps.values() for loop in wrap.there)
    return replace(whole(piece, state), fixed=piece.discs, wraps=around)


def _finished(piece: Workpiece, state: State, last: View | None = None) -> Folded:
    seen = None
    if piece.opens_behind and not _closed_by(piece):
        # A piece that stays open at the back is shown from there: else it looks like a block.
        behind = stage(piece.rest, state, Shown(behind=True), piece.layers, piece.looks, last)
        seen = behind if _shows_inside(behind) else None
    if seen is None:
        seen = stage(piece.rest, state, Shown(), piece.layers, piece.looks, last)
    tied = f" It is shut with {listed(piece.tied)}." if piece.tied else ""
    return Folded(seen, f"{piece.pattern.name}, finished.{tied}")


def _shows_inside(seen: SeenScene) -> bool:
    """Whether one looks into the piece: not into a flat pocket, nor where a flap lies over it."""
    areas = [(one.side == "front", one.region.area) for one in seen.sight.seen]
    return sum(area for inside, area in areas if inside) > LOOK_IN * sum(a for _, a in areas)


def _shows_contents(seen: SeenScene) -> bool:
    """Whether anything that lies inside is in the picture."""
    return any(one.face.id.startswith("contents:") for one in seen.sight.seen)


def _closed_by(piece: Workpiece) -> list[str]:
    """The panels of this piece that closures sit on."""
    return [on[1] for _, on, _ in closures(piece.model) if on[0] == piece.pattern.id]


def _opened(piece: Workpiece, end: State, last: View | None) -> Folded | None:
    """The piece before its last closing, with its contents; None if nothing closes or fills it."""
    turns = piece.turns
    chains = [lid_chain(piece.pattern, name) for name in _closed_by(piece)]
    # A closure on the panel that stays has no chain: nothing opens there.
    lid = max(filter(None, chains), key=lambda c: max(turns.get(n, -1) for n in c), default=[])
    glued = {name for join in piece.pattern.joins for _, name in (join.tab, join.to)}
    # What folds together with the lid or after it lies in the way of the contents too.
    first = min((turns.get(name, 0) for name in lid), default=len(turns))
    angles = {
        name: angle
        for name, angle in end.angles.items()
        if name not in lid and (name in glued or turns.get(name, -1) < first)
    }
    # What goes round it has been taken off.
    state = State(angles, end.mats, end.fixed)
    lying = sheet_or_blocks(piece.rest, state, piece.layers, piece.lots)
    if not lid and not lying.faces:
        return _unfolding(piece, end, glued)
    shown = Shown(contents=lying.faces, named=lying.named, about=lying.about)
    seen = stage(piece.rest, state, shown, piece.layers, piece.looks, last)
    what = ", open" if lid else ""
    tail = ", with its contents." if lying.faces else "."
    return Folded(seen, f"{piece.pattern.name}{what}{tail}")


def _unfolding(piece: Workpiece, end: State, glued: Collection[str]) -> Folded | None:
    """A piece whose last folds lie flat and are not glued, with these half open; else None."""
    turns = piece.turns
    names = [name for name, turn in turns.items() if turn == max(turns.values())]
    if not names or any(
        name in glued or abs(end.angles.get(name, 0.0)) < FLAT_DEG for name in names
    ):
        return None
    angles = {
        name: angle * HALF_OPEN if name in names else angle for name, angle in end.angles.items()
    }
    state = State(angles, end.mats, end.fixed)
    seen = stage(piece.rest, state, Shown(), piece.layers, piece.looks)
    return Folded(seen, f"{piece.pattern.name}, half open.")

"""What keeps a piece shut, as pictures show it: dots, magnets and buttons, ribbons and bands.

In: a model and one of its folded pieces. Out: discs on panels, and what goes round the shut piece,
for each panel that a closure sits on.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

from booklet.flat.reference import find_panel
from booklet.fold.fastening import Fastening, fastenings
from booklet.fold.prove import Folded
from booklet.fold.winding import Wrap, crossed, wound
from booklet.fold.wrapping import company, crossing, ring_round, wrap_axis
from booklet.problem import Problem
from booklet.read.closure import Closure
from booklet.stages import Model

WIDTH_MM: Final[Mapping[str, float]] = {
    "ribbon": 10.0,
    "tie": 2.0,
    "belly_band": 30.0,
    "button": 1.5,
}
"""How wide what goes round is where the file does not say; common practice, no source."""
WORDS: Final[Mapping[str, str]] = {
    "hook_and_loop": "dot",
    "magnet": "magnet",
    "button": "button",
}
"""What a disc is called in a picture."""
AROUND: Final[Mapping[str, str]] = {
    "ribbon": "a ribbon and a bow",
    "tie": "a tie and a bow",
    "belly_band": "a band round it",
    "button": "a string",
}
"""What goes round a piece, for those who cannot see it."""


def discs(model: Model, folded: Folded, turns: Mapping[str, int]) -> tuple[Fastening, ...]:
    """Every dot, magnet and button of the piece."""
    found: list[Fastening] = []
    meeting = {fit.on: fit.meets for fit in folded.closures}
    for closure, on, meets in _own(model, folded):
        to = meets or meeting.get(on)
        if closure.kind in WORDS:
            size = _size(closure, model)
            found += fastenings(folded.posed, closure.kind, on, to, size, turns)
    return tuple(found)


def wraps(model: Model, folded: Folded, fixed: Sequence[Fastening]) -> dict[str, Wrap]:
    """What goes round the piece, and the pieces that it goes together with.

    By the panel that it keeps shut; `fixed` are the discs on the piece. Nothing where paper is
    bent.
    """
    if any(piece.bent is not None for piece in model.folded):
        return {}
    poses = {piece.piece: piece.posed for piece in model.folded}
    ways = {piece.piece: piece.placement for piece in model.folded if piece.placement is not None}
    others = company(folded.piece, poses, ways)
    found: dict[str, Wrap] = {}
    for closure, on, meets in _own(model, folded):
        if closure.kind not in WIDTH_MM:
            continue
        # The size of a button is not that of its string.
        size = None if closure.kind == "button" else _size(closure, model)
        width = WIDTH_MM[closure.kind] if size is None else size
        if closure.kind == "button" and closure.meets is not None:
            pair = [disc for disc in fixed if disc.kind == "button" and disc.closure == on]
            both = len(pair) == 2
            sides = crossing(folded.posed, pair[0], pair[1]) if both else ()
            found[on] = crossed(sides, width)
            continue
        axis = wrap_axis(folded.posed, [on, *([meets] if meets else [])])
        found[on] = wound(ring_round(folded.posed, axis, on, width, others), closure.kind)
    return found


def tied(model: Model, folded: Folded, around: Mapping[str, Wrap]) -> list[str]:
    """What goes round the piece, in words, of that which is drawn."""
    kinds = [c.kind for c, on, _ in _own(model, folded) if on in around and around[on].there]
    return [AROUND[kind] for kind in kinds if kind in AROUND]


def _own(model: Model, folded: Folded) -> list[tuple[Closure, str, str | None]]:
    """Closures on panels of the piece; what they meet, where that is of the piece too."""
    ignored: list[Problem] = []  # unknown names have their own report
    found = []
    for closure in model.project.closures:
        on = find_panel(closure.on, model.patterns, ignored)
        meets = find_panel(closure.meets, model.patterns, ignored) if closure.meets else None
        if on is not None and on[0] == folded.piece:
            own = meets[1] if meets is not None and meets[0] == folded.piece else None
            found.append((closure, on[1], own))
    return found


def _size(closure: Closure, model: Model) -> float | None:
    silent: list[Problem] = []  # a wrong size is reported by the stage that owns it
    size = None if closure.size is None else model.scope.facts.length(closure.size, silent)
    return None if size is None else float(size)

"""Which picture a step gets: flat while the piece lies flat, folded from the first fold on.

In: a model, its planned steps, the room for a picture. Out: a drawing for each step: flat
diagrams, sheets spread out in space and folded states each on a scale of their own; and one more of
the finished piece where it folds.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from booklet.draw.diagram import Highlight, step_diagram
from booklet.draw.folded import (
    Shown,
    State,
    block,
    choose_view,
    extent,
    flat_state,
    folded_picture,
    folded_scene,
    skins,
)
from booklet.draw.mark import Drawing
from booklet.draw.solid import SeenScene
from booklet.draw.typeface import Faces
from booklet.flat.pattern import Pattern
from booklet.fold.face import Face
from booklet.fold.view import View
from booklet.pages.wording import PlannedStep, closures, has_cutting, labels, unfolded_chain
from booklet.stages import Model

LIFT = 0.2
"""How far contents are kept off the floor in pictures, in mm: two faces in one plane would mix."""
ARROWS = 0.86
"""The share of a picture's room that the figure takes: arrows and names need the rest."""


@dataclass(frozen=True)
class Scene:
    """A folded picture before its scale is known."""

    pattern: Pattern
    state: State
    shown: Shown
    view: View
    alt: str


def step_pictures(
    model: Model, steps: Sequence[PlannedStep], width: float, height: float, faces: Faces
) -> list[Drawing | None]:
    """One drawing for each step; the finished piece last if anything folds."""
    k = _flat_scale(model, width, height)
    states: dict[str, State] = {}
    views: dict[str, View] = {}
    pictures: list[Drawing | Scene | None] = []
    for index, step in enumerate(steps):
        pattern = _pattern(model, step.piece)
        if pattern is None:
            pictures.append(None)
            continue
        before = states.get(pattern.id, flat_state())
        moves = tuple(name for piece, name in step.fold if piece == pattern.id)
        if before.angles or (moves and not step.crease):
            scene = _scene(model, pattern, before, step, moves, views.get(pattern.id))
            views[pattern.id] = scene.view
            pictures.append(scene)
        else:
            pictures.append(_flat(model, pattern, steps[:index], step, k, faces))
        states[pattern.id] = after(model, pattern, before, step)
    main = max(
        (p for p in model.patterns if p.hinges), key=lambda p: p.blank[0] * p.blank[1], default=None
    )
    if main is not None:
        pictures.append(finished(model, steps, main))
    return _drawn(model, pictures, width, height, faces)


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


def finished(model: Model, steps: Sequence[PlannedStep], pattern: Pattern) -> Scene:
    """The piece with every fold made and every mat on it."""
    state = flat_state()
    for step in steps:
        if step.piece == pattern.id:
            state = after(model, pattern, state, step)
    angles = dict(state.angles)
    for hinge in pattern.hinges:
        angles.setdefault(hinge.panel, hinge.angle)
    whole = State(angles, tuple(mat for mat in model.mats if mat.piece == pattern.id))
    alt = f"{pattern.name}, finished."
    return Scene(pattern, whole, Shown(), choose_view(pattern, whole, Shown()), alt)


def opened(model: Model, steps: Sequence[PlannedStep], pattern: Pattern) -> Scene | None:
    """The finished piece before its last closing, with its contents; None if nothing closes it."""
    whole = finished(model, steps, pattern).state
    turns = list(whole.angles)
    chains = [
        unfolded_chain(pattern, on[1], set())
        for _, on, _ in closures(model)
        if on[0] == pattern.id and on[1] in turns
    ]
    if not chains:
        return None
    lid = max(chains, key=lambda chain: turns.index(chain[-1]))
    angles = {name: angle for name, angle in whole.angles.items() if name not in lid}
    state = State(angles, whole.mats)
    shown = Shown(contents=_contents(model, pattern))
    alt = f"{pattern.name}, open" + (", with its contents." if shown.contents else ".")
    return Scene(pattern, state, shown, choose_view(pattern, state, shown), alt)


def _contents(model: Model, pattern: Pattern) -> tuple[Face, ...]:
    """The contents that are known to fit, as one block each in the middle of the cavity's floor."""
    piece = next((p for p in model.folded if p.piece == pattern.id), None)
    if piece is None or piece.cavity is None or piece.cavity.pocket:
        return ()
    faces: list[Face] = []
    low, high = piece.cavity.low, piece.cavity.high
    for fit in piece.contents:
        if not fit.fits:
            continue
        sides = [fit.size[axis] for axis in fit.turned]
        start = [(a + b - side) / 2 for a, b, side in zip(low, high, sides, strict=True)]
        corner = (start[0], start[1], low[2] + LIFT)
        top = (corner[0] + sides[0], corner[1] + sides[1], corner[2] + sides[2])
        faces += block(f"contents:{fit.id}", corner, top)
    return tuple(faces)


def drawn_scene(model: Model, scene: Scene, k: float, faces: Faces) -> Drawing:
    """A folded picture at `k` print mm per mm of paper."""
    return folded_picture(_seen(model, scene), k, scene.alt, faces)


def _seen(model: Model, scene: Scene) -> SeenScene:
    """The scene as seen, in the colours of its stocks."""
    stocks = {stock.id.value: stock.colour for stock in model.project.stocks}
    own = {mat.id: stocks.get(mat.stock or "") for mat in scene.state.mats}
    looks = skins(stocks.get(scene.pattern.stock or ""), own)
    return folded_scene(scene.pattern, scene.state, scene.shown, scene.view, looks)


def fitting_scale(scene: Scene, width: float, height: float) -> float:
    """The scale at which the figure fills the room."""
    w, h = extent(scene.pattern, scene.state, scene.view)
    return min(width / w, height / h, 1.0)


def _scene(
    model: Model,
    pattern: Pattern,
    before: State,
    step: PlannedStep,
    moves: tuple[str, ...],
    view: View | None,
) -> Scene:
    glued = tuple(name for piece, name in step.join if piece == pattern.id)
    ready = PlannedStep(
        "", "", pattern.id, fold=tuple((pattern.id, n) for n in glued if n in moves)
    )
    state = after(model, pattern, before, ready) if glued else before
    folding = tuple(name for name in moves if name not in state.angles)
    closes = tuple(name for piece, name in step.close if piece == pattern.id)
    shown = Shown(folding, glued, tuple(dict.fromkeys((*folding, *glued, *closes))))
    return Scene(pattern, state, shown, choose_view(pattern, state, shown, view), alt(model, step))


def _drawn(
    model: Model,
    pictures: Sequence[Drawing | Scene | None],
    width: float,
    height: float,
    faces: Faces,
) -> list[Drawing | None]:
    """Scenes drawn: those that still lie flat on one scale, those with folds made on another.

    A sheet spread out is far larger than what is folded from it: on one scale for both, the folded
    pictures would be too small to follow.
    """
    drawn = {i: p for i, p in enumerate(pictures) if not isinstance(p, Scene)}
    for is_flat in (True, False):
        group = {
            i: p
            for i, p in enumerate(pictures)
            if isinstance(p, Scene) and (not p.state.angles) == is_flat
        }
        drawn |= _on_one_scale(model, group, width, height, faces)
    return [drawn[i] for i in range(len(pictures))]


def _on_one_scale(
    model: Model, scenes: Mapping[int, Scene], width: float, height: float, faces: Faces
) -> dict[int, Drawing]:
    """The scenes on the one scale at which the largest of them fits with its words."""
    drawn: dict[int, Drawing] = {}
    rooms = (fitting_scale(s, width * ARROWS, height * ARROWS) for s in scenes.values())
    k = min(rooms, default=1.0)
    seen = {i: _seen(model, scene) for i, scene in scenes.items()}
    for _ in range(3):
        drawn = {i: folded_picture(seen[i], k, scene.alt, faces) for i, scene in scenes.items()}
        over = max((max(d.box[2] / width, d.box[3] / height) for d in drawn.values()), default=1.0)
        if over <= 1.0:
            break
        k /= over * 1.02
    return drawn


def _pattern(model: Model, piece: str) -> Pattern | None:
    return next((p for p in model.patterns if p.id == piece), None)


def _flat_scale(model: Model, width: float, height: float) -> float:
    """One scale for every flat diagram: the largest piece fills its cell."""
    sizes = [tuple(float(side) for side in pattern.blank) for pattern in model.patterns]
    return min(1.0, *(min(width / w, height / h) for w, h in sizes)) if sizes else 1.0


def _flat(
    model: Model,
    pattern: Pattern,
    before: Sequence[PlannedStep],
    step: PlannedStep,
    k: float,
    faces: Faces,
) -> Drawing:
    own = [earlier for earlier in before if earlier.piece == pattern.id]
    show = Highlight(
        fold=tuple(name for piece, name in step.fold if piece == pattern.id),
        glued=tuple(name for piece, name in step.join if piece == pattern.id),
        mats=tuple(m for m in model.mats if m.id in step.attach and m.piece == pattern.id),
        close=tuple(name for piece, name in step.close if piece == pattern.id),
        score=bool(step.score),
        cut=bool(step.cut),
        plain=not any(earlier.score for earlier in own) and bool(step.cut or not step.fold),
        back=bool(step.attach),
    )
    shaped = any(earlier.cut for earlier in own) or not has_cutting(pattern)
    scored = any(earlier.score for earlier in own)
    known = shaped or (scored and not step.score and not step.cut)
    return step_diagram(pattern, k, show, known, faces, alt(model, step))


def alt(model: Model, step: PlannedStep) -> str:
    """What the picture of a step shows, in words."""
    parts = [f"{step.title}."]
    if step.fold:
        parts.append(f"Arrows show how to fold the {labels(model, step.fold)}.")
    if step.join:
        parts.append(f"Hatching shows where the {labels(model, step.join)} take adhesive.")
    if step.attach:
        parts.append("The outside is up, and the mats lie in place.")
    return " ".join(parts)

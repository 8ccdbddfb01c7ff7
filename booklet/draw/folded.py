"""Pictures of the folded piece: the state of its panels as a scene.

In: a pattern, the state before a step, and what the step moves, glues and adds. Out: scenes as seen
from the best place, and drawings of them in print mm.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from shapely.geometry import Polygon

from booklet.draw.arrow import SlideArrow, TurnOver
from booklet.draw.mark import Drawing, move
from booklet.draw.motion import (
    State,
    arrows,
    ghosts,
    is_valley,
    opened_again,
    posed,
    under_way,
)
from booklet.draw.panel_name import Name
from booklet.draw.skin import SKINS, Skin, coloured
from booklet.draw.solid import Hatch, Scene, SeenScene, draw_seen, figure_box, see_scene
from booklet.draw.typeface import Faces
from booklet.flat.pattern import Pattern
from booklet.fold.best_view import VIEWPOINTS, best_sight
from booklet.fold.face import Face, Hinge, Loop, Point3
from booklet.fold.pose import Floats, Posed, as_points, in_space
from booklet.fold.view import View, turned_over

MAT_HEIGHT = 0.1
"""How far a mat stands off its panel in pictures, in mm."""
TURNED = tuple(turned_over(view) for view in VIEWPOINTS)
"""The same places of the reader, once the work was turned over."""


def flat_state() -> State:
    """Nothing folded, nothing attached."""
    return State({})


def state_faces(pattern: Pattern, state: State, pose: Posed) -> tuple[Face, ...]:
    """Panels and mats in space; faces are named by panel, mats by "mat:" and their id."""
    faces = []
    order = state.order
    for panel in pattern.panels:
        loops = _loops(panel.shape, pose.matrix(panel.name))
        face = Face(panel.name, loops[0], loops[1:])
        # Twice the turn leaves a place between two folds for what lies between them.
        faces.append(_layered(face, 2 * order.get(panel.name, 0)))
    for mat in state.mats:
        if mat.piece != pattern.id:
            continue
        loops = _loops(mat.shape, pose.matrix(mat.panel))
        skin = f"mat:{mat.id}"
        back = Face(skin, loops[0][::-1], loops[1:], skin, skin)
        faces.append(back.raised(MAT_HEIGHT))
    return tuple(faces)


def _loops(shape: Polygon, matrix: Floats) -> tuple[Loop, ...]:
    rings = [shape.exterior, *shape.interiors]
    loops = []
    for index, ring in enumerate(rings):
        points = np.asarray(ring.coords, dtype=np.float64)[:-1, :2]
        if index == 0 and not ring.is_ccw:
            points = points[::-1]
        loops.append(as_points(in_space(matrix, points)))
    return tuple(loops)


def _layered(face: Face, turn: int) -> Face:
    """The face with its place among others in one plane: later folds lie further outside."""
    out = tuple(-part for part in face.normal)
    main = next((part for part in (out[2], out[1], out[0]) if abs(part) > 1e-6), 1.0)
    sign = 1 if main > 0 else -1
    return Face(face.id, face.points, face.holes, face.front, face.back, sign * turn)


def hinges(pattern: Pattern, pose: Posed, folding: Sequence[str], view: View) -> tuple[Hinge, ...]:
    """Every score between two faces: made folds thin, the ones to be made dashed as one sees it."""
    by_panel = {hinge.panel: hinge for hinge in pattern.hinges}
    result = []
    for score in pattern.scores:
        first, second = score.between
        moved = next((n for n in (first, second) if n in folding and n in by_panel), None)
        style = "fold"
        if moved is not None:
            hinge = by_panel[moved]
            if {hinge.panel, hinge.parent} == {first, second}:
                valley = is_valley(pose, hinge, hinge.angle, view)
                style = "valley" if valley else "mountain"
        result.append(Hinge(first, second, style))
    return tuple(result)


@dataclass(frozen=True)
class Shown:
    """What a picture adds to its state.

    Panels that fold, tabs that take adhesive on a side ("front" or "back"), panels let go again so
    that it can be put there, names of faces, blocks of contents, and arrows. `turned` shows the
    piece from its other side.
    """

    folding: tuple[str, ...] = ()
    glued: Mapping[str, str] | None = None
    opened: tuple[str, ...] = ()
    named: Mapping[str, str] | None = None
    contents: tuple[Face, ...] = ()
    arrows: tuple[SlideArrow | TurnOver, ...] = ()
    about: tuple[str, ...] = ()
    turned: bool = False


def block(id_: str, low: Point3, high: Point3) -> tuple[Face, ...]:
    """A box of contents between two corners, its six faces seen from outside."""
    (x0, y0, z0), (x1, y1, z1) = low, high
    loops: tuple[Loop, ...] = (
        ((x0, y0, z1), (x1, y0, z1), (x1, y1, z1), (x0, y1, z1)),
        ((x0, y1, z0), (x1, y1, z0), (x1, y0, z0), (x0, y0, z0)),
        ((x0, y0, z0), (x1, y0, z0), (x1, y0, z1), (x0, y0, z1)),
        ((x1, y1, z0), (x0, y1, z0), (x0, y1, z1), (x1, y1, z1)),
        ((x0, y1, z0), (x0, y0, z0), (x0, y0, z1), (x0, y1, z1)),
        ((x1, y0, z0), (x1, y1, z0), (x1, y1, z1), (x1, y0, z1)),
    )
    return tuple(
        Face(f"{id_}:{side}", loop, (), "contents", "contents") for side, loop in enumerate(loops)
    )


def skins(colour: str | None, mats: Mapping[str, str | None]) -> dict[str, Skin]:
    """The looks of stock and mats: their colours, or greys."""
    table = dict(coloured(colour) if colour else SKINS)
    for mat, own in mats.items():
        base = SKINS["mat"]
        table[f"mat:{mat}"] = Skin(base.light, base.dark, own, base.edge, base.dots)
    return table


def stage(
    pattern: Pattern,
    before: State,
    shown: Shown,
    looks: Mapping[str, Skin],
    last: View | None = None,
) -> SeenScene:
    """The piece with what moves half on its way, seen from the place that shows that best.

    `last` is the view of the picture before, kept where it is nearly as good.
    """
    start = opened_again(pattern, before, shown.opened) if shown.opened else before
    moving = (*shown.folding, *shown.opened)
    now = start if shown.opened else under_way(pattern, start, shown.folding)
    pose = posed(pattern, now)
    faces = (*state_faces(pattern, now, pose), *shown.contents)
    glued = shown.glued or {}
    changed = (*moving, *glued, *shown.about)
    places = TURNED if shown.turned else VIEWPOINTS
    sight = best_sight(faces, changed, last, places, glued)
    view = sight.view
    scene = Scene(
        faces=faces,
        hinges=hinges(pattern, pose, shown.folding, view),
        arrows=(*arrows(pattern, start, now, moving, view), *shown.arrows),
        ghosts=() if shown.opened else ghosts(pattern, before, shown.folding),
        hatches=tuple(Hatch(name, None, side) for name, side in glued.items()),
        names=tuple(Name(face, words) for face, words in (shown.named or {}).items()),
        skins=looks,
    )
    return see_scene(scene, view, sight)


def extent(seen: SeenScene) -> tuple[float, float]:
    """Width and height of the paper as seen, before and on its way, in mm of paper."""
    x0, y0, x1, y1 = figure_box(seen.scene, seen.sight.view)
    return x1 - x0, y1 - y0


def folded_picture(seen: SeenScene, scale: float, alt: str, letters: Faces) -> Drawing:
    """The picture, its box's lower left corner at the origin."""
    drawing = draw_seen(seen, scale, alt, letters)
    return move(drawing, -drawing.box[0], -drawing.box[1])

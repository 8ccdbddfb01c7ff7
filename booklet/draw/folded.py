"""Pictures of the folded piece: the state of its panels as a scene.

In: a pattern, the angle of each panel, the mats that are on it, and what a step moves or glues.
Out: faces in space, and drawings of them in print mm.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from shapely.geometry import Polygon

from booklet.draw.arrow import FoldArrow
from booklet.draw.mark import Drawing, move
from booklet.draw.panel_name import Name
from booklet.draw.skin import SKINS, Skin, coloured
from booklet.draw.solid import Hatch, Scene, SeenScene, draw_seen, see_scene
from booklet.draw.typeface import Faces
from booklet.flat.pattern import MatLayer, Pattern
from booklet.fold.best_view import best_view
from booklet.fold.face import Face, Hinge, Loop, Point3, dot
from booklet.fold.pose import Floats, Posed, as_points, in_space, pose_piece
from booklet.fold.view import View

MAT_HEIGHT = 0.1
"""How far a mat stands off its panel in pictures, in mm."""


@dataclass(frozen=True)
class State:
    """A piece on its way: the angle of each folded panel, and the mats on it.

    `order` counts the folds made so far: a panel folded later lies outside one folded before it.
    """

    angles: Mapping[str, float]
    mats: tuple[MatLayer, ...] = ()

    @property
    def order(self) -> dict[str, int]:
        """The folded panels by their turn, from 1."""
        return {name: turn for turn, name in enumerate(self.angles, 1)}


def flat_state() -> State:
    """Nothing folded, nothing attached."""
    return State({})


def posed(pattern: Pattern, state: State) -> Posed:
    """The piece with each panel of the state at its angle, all others flat."""
    degrees = np.array([state.angles.get(panel.name, 0.0) for panel in pattern.panels])
    return pose_piece(pattern, 0.0, degrees)


def state_faces(pattern: Pattern, state: State) -> tuple[Face, ...]:
    """Panels and mats in space; faces are named by panel, mats by "mat:" and their id."""
    pose = posed(pattern, state)
    faces = []
    for panel in pattern.panels:
        matrix = pose.matrix(panel.name)
        loops = _loops(panel.shape, matrix)
        face = Face(panel.name, loops[0], loops[1:])
        faces.append(_layered(face, state.order.get(panel.name, 0)))
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


def hinges(pattern: Pattern, state: State, folding: Sequence[str] = ()) -> tuple[Hinge, ...]:
    """Every score between two faces: made folds thin, the ones to be made dashed."""
    angles = {hinge.panel: hinge for hinge in pattern.hinges}
    result = []
    for score in pattern.scores:
        first, second = score.between
        moved = next((n for n in (first, second) if n in folding and n in angles), None)
        style = "fold"
        if moved is not None and {angles[moved].panel, angles[moved].parent} == {first, second}:
            style = "valley" if angles[moved].angle >= 0 else "mountain"
        result.append(Hinge(first, second, style))
    return tuple(result)


def arrows(pattern: Pattern, state: State, folding: Sequence[str]) -> tuple[FoldArrow, ...]:
    """The way that each panel travels from this state to its target."""
    pose = posed(pattern, state)
    by_panel = {hinge.panel: hinge for hinge in pattern.hinges}
    result = []
    for name in folding:
        hinge = by_panel.get(name)
        if hinge is None:
            continue
        row = pose.bones.index[name]
        parent = pose.matrix(hinge.parent)
        start = np.asarray(pose.bones.starts[row], dtype=np.float64)[:2]
        axis = np.asarray(pose.bones.axes[row], dtype=np.float64)[:2]
        line = as_points(in_space(parent, np.array([start, start + axis])))
        middle = pattern.panel(name).shape.representative_point()
        centre = pattern.panel(name).shape.centroid
        spot = centre if pattern.panel(name).shape.contains(centre) else middle
        at = as_points(in_space(pose.matrix(name), np.array([[spot.x, spot.y]])))[0]
        left = hinge.angle - state.angles.get(name, 0.0)
        if abs(left) > 1:
            head = "valley" if left > 0 else "mountain"
            result.append(FoldArrow(at, (line[0], line[1]), left, head))  # type: ignore[arg-type]
    return tuple(result)


@dataclass(frozen=True)
class Shown:
    """What a picture adds to its state: panels that fold, tabs that are glued, names."""

    folding: tuple[str, ...] = ()
    glued: tuple[str, ...] = ()
    named: tuple[str, ...] = ()
    contents: tuple[Face, ...] = ()


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


def choose_view(pattern: Pattern, state: State, shown: Shown, before: View | None = None) -> View:
    """A view that shows what changes; without changes, the whole."""
    return best_view(state_faces(pattern, state), (*shown.folding, *shown.glued), before)


def extent(pattern: Pattern, state: State, view: View) -> tuple[float, float]:
    """Width and height of the state as seen, in mm of paper."""
    points: list[Point3] = [p for face in state_faces(pattern, state) for p in face.points]
    us = [dot(p, view.right) for p in points]
    vs = [dot(p, view.up) for p in points]
    return max(us) - min(us), max(vs) - min(vs)


def folded_scene(
    pattern: Pattern, state: State, shown: Shown, view: View, looks: Mapping[str, Skin]
) -> SeenScene:
    """The piece as seen, for pictures of any scale."""
    labels = {panel.name: panel.label for panel in pattern.panels}
    scene = Scene(
        faces=(*state_faces(pattern, state), *shown.contents),
        hinges=hinges(pattern, state, shown.folding),
        arrows=arrows(pattern, state, shown.folding),
        hatches=tuple(Hatch(name, None, side) for name in shown.glued for side in ("back",)),
        names=tuple(Name(name, labels[name]) for name in shown.named if name in labels),
        skins=looks,
    )
    return see_scene(scene, view)


def folded_picture(seen: SeenScene, scale: float, alt: str, letters: Faces) -> Drawing:
    """The picture, its box's lower left corner at the origin."""
    drawing = draw_seen(seen, scale, alt, letters)
    return move(drawing, -drawing.box[0], -drawing.box[1])

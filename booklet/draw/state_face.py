"""State faces: panels, mats and what is fastened on, as faces in space.

In: a pattern, the state of its panels and a pose. Out: faces for a scene, with layers that say
what lies on what where they share a plane.
"""

from __future__ import annotations

from collections.abc import Container, Mapping

import numpy as np
from shapely.geometry import Polygon

from booklet.draw.motion import State
from booklet.flat.pattern import Pattern
from booklet.fold.face import Face, Loop
from booklet.fold.pose import Floats, Posed, as_points, in_space
from booklet.fold.touch import inside_up

LAYERS = 4
"""Places that a layer of panels has for what lies on it: a mat one off, contents two."""
INSIDE, OUTSIDE = 1, -2
"""Where what is fastened on lies, on the inside of its panel, or on its outside and over a mat."""


def state_faces(
    pattern: Pattern, state: State, pose: Posed, layers: Mapping[str, int], rough: float = 0.0
) -> tuple[Face, ...]:
    """Panels and mats in space; faces are named by panel, mats by "mat:" and their id.

    `layers` says for each panel how far it lies on the side of its inside (`inward_layers`).
    Outlines may be off by `rough` mm where that spares points of curves.
    """
    faces = []
    for panel in pattern.panels:
        matrix = pose.matrix(panel.name)
        loops = loops_of(_roughly(panel.sketch, rough), matrix)
        place = layer_now(pose, panel.name, layers)
        faces.append(Face(panel.name, loops[0], loops[1:], layer=place))
    for mat in state.mats:
        if mat.piece != pattern.id:
            continue
        loops = loops_of(mat.shape, pose.matrix(mat.panel))
        skin = f"mat:{mat.id}"
        # A mat lies on the outside of its panel, and is seen from there.
        place = layer_now(pose, mat.panel, layers) - inside_up(pose, mat.panel)
        faces.append(Face(skin, loops[0][::-1], loops[1:], skin, skin, place))
    return tuple(faces)


def _roughly(shape: Polygon, rough: float) -> Polygon:
    """The shape with fewer points, off by no more than `rough` mm."""
    fewer = shape.simplify(rough) if rough else shape
    return fewer if isinstance(fewer, Polygon) and not fewer.is_empty else shape


def inward_layers(done: Posed, layers: Mapping[str, int]) -> dict[str, int]:
    """Layers of the finished piece, told along each panel's own inside: they hold in every pose."""
    return {name: layer * inside_up(done, name) for name, layer in layers.items()}


def layer_now(pose: Posed, panel: str, layers: Mapping[str, int]) -> int:
    """The layer of a panel in this pose, with places for what lies on it."""
    return LAYERS * layers.get(panel, 0) * inside_up(pose, panel)


def loops_of(shape: Polygon, matrix: Floats) -> tuple[Loop, ...]:
    rings = [shape.exterior, *shape.interiors]
    loops = []
    for index, ring in enumerate(rings):
        points = np.asarray(ring.coords, dtype=np.float64)[:-1, :2]
        if index == 0 and not ring.is_ccw:
            points = points[::-1]
        loops.append(as_points(in_space(matrix, points)))
    return tuple(loops)


def fastened_faces(
    state: State, pose: Posed, layers: Mapping[str, int], bends: Container[str] = ()
) -> tuple[Face, ...]:
    """Dots, magnets and buttons ("fixed:0" ...) on panels that are flat, and what is wrapped round.

    `bends` are the panels that are not flat. The parts of a wrap are "wrap:0" ...
    """
    faces = []
    for number, one in enumerate(state.fixed):
        if one.panel in bends:
            continue
        loop = loops_of(one.shape, pose.matrix(one.panel))[0]
        inside = one.side == "front"
        step = (INSIDE if inside else OUTSIDE) * inside_up(pose, one.panel)
        place = layer_now(pose, one.panel, layers) + step
        skin = "dot"
        faces.append(Face(f"fixed:{number}", loop if inside else loop[::-1], (), skin, skin, place))
    faces += [
        Face(f"wrap:{number}", loop, (), "ribbon", "ribbon")
        for number, loop in enumerate(state.wraps)
    ]
    return tuple(faces)

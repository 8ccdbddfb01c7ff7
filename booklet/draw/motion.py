"""Motion: what a step moves, half on its way, with where it was and the curve that it travels.

In: a pattern, the state before a step, and the panels that the step folds. Out: the state on the
way, ghosts of the position before, and arrows in space.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely.geometry import LineString, Polygon

from booklet.draw.arrow import FoldArrow, Head
from booklet.draw.solid import Ghost
from booklet.flat.flatten import points_of
from booklet.flat.pattern import Hinge, MatLayer, Pattern
from booklet.fold.bend import BentPose
from booklet.fold.face import Loop, Point3, turned_about
from booklet.fold.fastening import Fastening
from booklet.fold.join import landing, meets
from booklet.fold.pose import Floats, Posed, as_points, in_space
from booklet.fold.touch import at_angles, spot
from booklet.fold.view import View
from booklet.measure.tolerance import ANGLE_DEG, TOUCH_MM

PART = 0.35
"""The share of its way at which a picture catches a panel: past its start, most yet to come."""
FARTHEST = 32.0
"""Degrees past which a picture takes no panel: one on its way over would hide what it goes to."""
BY_HAND = 4
"""Where more panels move at once, those that follow by themselves have no arrow."""
COVERED = 0.05
"""A panel lies under another one where that covers more than this share of it."""
STRETCHES = 12
"""An outline on bent paper is drawn in about so many straight parts."""
LET_GO = (0.4, 0.7)
"""The shares by which a panel is opened again that meets its tab already, until one sees the tab:
glue goes in between."""


@dataclass(frozen=True)
class State:
    """A piece on its way: the angle of each folded panel, in their turn, and the mats on it.

    `fixed` are discs that are on it; `wraps` what goes round it, in parts, once it is shut.
    """

    angles: Mapping[str, float]
    mats: tuple[MatLayer, ...] = ()
    fixed: tuple[Fastening, ...] = ()
    wraps: tuple[Loop, ...] = ()


def posed(rest: Posed, state: State) -> Posed:
    """The piece with each panel of the state at its angle, all others flat."""
    return at_angles(rest, state.angles)


def under_way(rest: Posed, before: State, folding: Sequence[str]) -> State:
    """The state with each of these panels part of its way from where it is to its target.

    What ends under another panel that moves is there already.
    """
    done = laid_first(rest, folding)
    targets = {hinge.panel: hinge.angle for hinge in rest.pattern.hinges}
    angles = dict(before.angles)
    for name in (*done, *(n for n in folding if n not in done)):
        if name in targets:
            now = before.angles.get(name, 0.0)
            way = targets[name] - now
            part = math.copysign(min(PART * abs(way), FARTHEST), way)
            angles[name] = now + (way if name in done else part)
    # What goes round it is off while something moves.
    return replace(before, angles=angles, wraps=() if folding else before.wraps)


def laid_first(rest: Posed, folding: Sequence[str]) -> tuple[str, ...]:
    """Those of the folding panels that end under another one of them: they are done before it."""
    if len(folding) < 2:
        return ()
    targets = {hinge.panel: hinge.angle for hinge in rest.pattern.hinges}
    whole = posed(rest, State(targets))
    first = []
    for place, name in enumerate(folding):
        for later in folding[place + 1 :]:
            if targets.get(name, 0.0) * targets.get(later, 0.0) <= 0:
                continue  # one folds over and the other behind: they do not meet
            if any(targets[n] * targets[name] < 0 for n in _between(rest, name, later)):
                continue  # a fan closes at once
            if meets(whole, name, later) and landing(whole, name, later).share > COVERED:
                first.append(name)
                break
    return tuple(first)


def _between(rest: Posed, name: str, later: str) -> list[str]:
    """The panels by which a later one hangs on another; none if it does not."""
    parents = {hinge.panel: hinge.parent for hinge in rest.pattern.hinges}
    found: list[str] = []
    while later in parents and later != name:
        later = parents[later]
        found.append(later)
    return found[:-1] if later == name else []


def led_along(pattern: Pattern, folding: Sequence[str]) -> tuple[str, ...]:
    """Panels that move by themselves when a hand moves the others, where many move at once.

    They lie between two panels that move, one their hinge's and one at another score, and carry
    nothing: a wing between gable and roof.
    """
    if len(folding) <= BY_HAND:
        return ()
    hinged = {hinge.score: hinge for hinge in pattern.hinges}
    carriers = {hinge.parent for hinge in pattern.hinges if hinge.panel in folding}
    tied: set[str] = set()
    held: set[str] = set()
    for number, score in enumerate(pattern.scores):
        still = not set(score.between) <= set(folding)
        for name in score.between:
            if still:
                held.add(name)
            elif number not in hinged:
                tied.add(name)
    return tuple(name for name in folding if name in tied - held - carriers)


def opened_again(state: State, panels: Sequence[str], share: float) -> State:
    """The state with these folded panels let go by a share of their angle."""
    angles = {
        name: angle * (1 - share) if name in panels else angle
        for name, angle in state.angles.items()
    }
    return replace(state, angles=angles, wraps=())


def ghosts(
    rest: Posed, before: State, folding: Sequence[str], bent: BentPose | None = None
) -> tuple[Ghost, ...]:
    """Outlines of what moves where it was before, without the scores that it turns about.

    On `bent` paper what a curved score carries goes on as its panel bends.
    """
    pattern, pose = rest.pattern, posed(rest, before)
    result: list[Ghost] = []
    for group in _rigid_flat(pattern, before, folding):
        shape = shapely.union_all([pattern.panel(name).shape for name in group], grid_size=1e-6)
        scores = [
            LineString((score.start, score.end)).buffer(TOUCH_MM * 2)
            for score in pattern.scores
            if len(set(score.between) & set(group)) == 1
        ]
        for part in getattr(shape, "geoms", [shape]):
            if not isinstance(part, Polygon) or part.is_empty:
                continue
            edge = shapely.difference(part.exterior, shapely.union_all(scores))
            edge = shapely.line_merge(edge) if edge.geom_type == "MultiLineString" else edge
            for line in getattr(edge, "geoms", [edge]):
                points = np.asarray(line.coords)[:, :2]
                if len(points) < 2:
                    continue
                if bent is not None and group[0] in bent.bends:
                    fine = shapely.segmentize(LineString(points), line.length / STRETCHES)
                    chain = as_points(bent.place(group[0], np.asarray(fine.coords)))
                else:
                    chain = as_points(in_space(pose.matrix(group[0]), points))
                result.append(Ghost(chain, closed=False))
    return tuple(result)


def _rigid_flat(
    pattern: Pattern, before: State, folding: Sequence[str]
) -> tuple[tuple[str, ...], ...]:
    """What the folding panels carry along, in groups that lie in one plane before the step."""
    group: dict[str, list[str]] = {}
    for hinge in pattern.hinges:
        carried = hinge.parent in group
        if not carried and hinge.panel not in folding:
            continue
        flat = abs(before.angles.get(hinge.panel, 0.0)) <= ANGLE_DEG
        own = group[hinge.parent] if carried and flat else []
        own.append(hinge.panel)
        group[hinge.panel] = own
    unique = {id(names): tuple(names) for names in group.values()}
    return tuple(unique.values())


def arrows(
    now: Posed,
    before: State,
    folding: Sequence[str],
    view: View,
    bent: BentPose | None = None,
) -> tuple[FoldArrow, ...]:
    """The way of each panel about its score, from where it was to its target.

    The head tells valley from mountain as the reader sees the paper: what is a valley on the inside
    is a mountain on the outside. Where paper is `bent` the ways of flaps along curves go with it.
    """
    result = []
    for hinge in now.pattern.hinges:
        start_angle = before.angles.get(hinge.panel, 0.0)
        left = hinge.angle - start_angle
        if hinge.panel not in folding or abs(left) <= ANGLE_DEG:
            continue
        line, flat, free, slide = _lever(now, hinge)
        if bent is not None and now.pattern.scores[hinge.score].curve is not None:
            line, flat = _carried(now, hinge, bent, (line, flat))
        start = turned_about(flat, *line, start_angle)
        result.append(FoldArrow(start, line, left, _head(now, hinge, left, view), free, slide))
    return tuple(result)


def _lever(pose: Posed, hinge: Hinge) -> tuple[tuple[Point3, Point3], Point3, float, float]:
    """The score as a line in space, the panel's middle as if flat, and the panel's size.

    That is how far its free edge reaches, as a multiple of the middle's distance from the score,
    and the quarter of its length along the score. A curved score turns about its middle.
    """
    row = pose.bones.index[hinge.panel]
    parent = pose.matrix(hinge.parent)
    start = np.asarray(pose.bones.starts[row], dtype=np.float64)[:2]
    axis = np.asarray(pose.bones.axes[row], dtype=np.float64)[:2]
    out = np.array([-axis[1], axis[0]])
    if pose.pattern.scores[hinge.score].curve is not None:
        start = start + out * float((_crown(pose.pattern, hinge) - start) @ out)
    line = as_points(in_space(parent, np.array([start, start + axis])))
    panel = pose.panels[hinge.panel]
    middle = spot(panel)
    own = float((middle - start) @ out)
    corners = np.asarray(panel.shape.exterior.coords)[:, :2] - start
    far, slide = float((corners @ out).max()), float(np.ptp(corners @ axis)) / 4
    at = as_points(in_space(parent, middle[None, :]))[0]
    reach_ = max(1.0, far / own) if own > TOUCH_MM else 1.0
    return (line[0], line[1]), at, reach_, slide


def _crown(pattern: Pattern, hinge: Hinge) -> Floats:
    """The middle of a curved score, in the flat."""
    curve = LineString(points_of(pattern.scores[hinge.score].path))
    middle = curve.interpolate(0.5, normalized=True)
    return np.array([middle.x, middle.y])


def _carried(
    pose: Posed, hinge: Hinge, bent: BentPose, lever: tuple[tuple[Point3, Point3], Point3]
) -> tuple[tuple[Point3, Point3], Point3]:
    """A score's line and the panel's middle, moved as bending the paper moves the score."""
    crown = _crown(pose.pattern, hinge)[None, :]
    flat = in_space(pose.matrix(hinge.parent), crown)
    shift = (bent.place(hinge.parent, crown) - flat)[0]
    (first, second), middle = lever
    one, other, at = as_points(np.array([first, second, middle]) + shift)
    return (one, other), at


def is_valley(pose: Posed, hinge: Hinge, angle: float, view: View) -> bool:
    """Whether a fold by this angle comes toward a reader who sees the paper from there."""
    toward = np.asarray(view.toward)
    facing = float(pose.matrix(hinge.parent)[:3, 2] @ toward)
    if abs(facing) < math.sin(math.radians(5)):
        facing = float(pose.matrix(hinge.panel)[:3, 2] @ toward)
    return (angle > 0) == (facing >= 0)


def _head(pose: Posed, hinge: Hinge, angle: float, view: View) -> Head:
    return "valley" if is_valley(pose, hinge, angle, view) else "mountain"

"""Assemblies: pieces that are glued or nested together, as one picture.

In: workpieces with their proved placements, and the finished state of each. Out: scenes of the
whole, put together or drawn out as the project asks for.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from booklet.draw.arrow import FoldArrow, SlideArrow
from booklet.draw.folded import hinges
from booklet.draw.glue import Hatch
from booklet.draw.motion import State, posed
from booklet.draw.panel_name import Name
from booklet.draw.skin import Skin
from booklet.draw.solid import Scene, SeenScene, see_scene
from booklet.draw.state_face import fastened_faces, state_faces
from booklet.flat.pattern import JoinPair
from booklet.fold.best_view import best_glance
from booklet.fold.face import Face, Hinge, Loop, Point3
from booklet.fold.hidden import Glance
from booklet.fold.layer import turned_up
from booklet.fold.pose import Floats, as_points, in_space, outline
from booklet.fold.view import FLAT
from booklet.pages.lying import Lying, sheet_or_blocks
from booklet.pages.winding import Winding
from booklet.pages.workpiece import Workpiece

HALF_OUT = 0.5
"""How far a nested piece is drawn out where the project does not say."""
LIFTED = 0.4
"""How far a piece stands off the place that it is glued to, as a share of its longer side."""
UPSIDE_DOWN: Floats = np.diag([1.0, -1.0, -1.0, 1.0])
SHOWN = 8
"""A picture of one piece on its way shows about so many: more would be too small to follow."""
OVER = 100
"""Layers between those of a piece and those of the one glued onto it."""


@dataclass(frozen=True)
class Assembly:
    """Pieces that belong together: the one that stays put first; `nested` if one is drawn out."""

    pieces: tuple[Workpiece, ...]
    nested: bool


def assemblies(pieces: Mapping[str, Workpiece]) -> tuple[Assembly, ...]:
    """The groups of two or more placed pieces, in the order of the file."""
    groups: dict[str, list[Workpiece]] = {}
    for id_, piece in pieces.items():
        way = _way(pieces, id_)
        if way is not None:
            groups.setdefault(way[-1], []).append(piece)
    found = []
    for root, members in groups.items():
        if len(members) > 1:
            ordered = sorted(members, key=lambda piece: piece.pattern.id != root)
            nested = any(_length(piece) > 0 for piece in members)
            found.append(Assembly(tuple(ordered), nested))
    return tuple(found)


def round_about(group: Assembly, id_: str, called: Sequence[str] = ()) -> Assembly:
    """The group as a picture shows it when this piece comes to it: those that come later are away.

    Of many the ones stay that came last, those `called`, and all that one of these lies in.
    """
    pieces = {piece.pattern.id: piece for piece in group.pieces}
    ids = list(pieces)
    before = ids[: ids.index(id_)]
    kept: set[str] = {ids[0]}
    for name in (id_, *called, *reversed(before)):
        way = _way(pieces, name) or []
        if len(kept) < SHOWN or name == id_ or name in called:
            kept.update(way)
    return replace(group, pieces=tuple(piece for n, piece in pieces.items() if n in kept))


def _length(piece: Workpiece) -> float:
    place = piece.folded.placement if piece.folded is not None else None
    return place.length if place is not None else 0.0


def _way(pieces: Mapping[str, Workpiece], id_: str) -> list[str] | None:
    """The piece, the one that it lies in, and so on; None where one was not folded."""
    way = [id_]
    while True:
        folded = pieces[way[-1]].folded if way[-1] in pieces else None
        if folded is None:
            return None
        if folded.placement is None or folded.placement.within in way:
            return way
        way.append(folded.placement.within)


@dataclass(frozen=True)
class Moment:
    """What a picture of several pieces catches: one that `slides` in, contents that go in.

    `out` draws nested pieces out and shows what lies in them. `glue` are the joins that take
    adhesive, `named` the pieces that are called by name. `winding` is what a piece has round it on
    its way there.
    """

    out: bool = False
    slides: str | None = None
    fill: tuple[str, ...] = ()
    glue: tuple[JoinPair, ...] = ()
    named: tuple[str, ...] = ()
    winding: Mapping[str, Winding] = field(default_factory=dict)


def assembled(assembly: Assembly, states: Mapping[str, State], moment: Moment) -> SeenScene:
    """The pieces in their places, or one of them on its way there, with an arrow."""
    pieces = {piece.pattern.id: piece for piece in assembly.pieces}
    faces: list[Face] = []
    on_them: list[Face] = []
    folds: list[Hinge] = []
    names: list[Name] = []
    about: list[str] = []
    looks: dict[str, Skin] = {}
    arrows: list[FoldArrow | SlideArrow] = []
    for number, (id_, piece) in enumerate(pieces.items()):
        matrix = _place(pieces, id_, moment)
        pose = posed(piece.rest, states[id_])
        own: Sequence[Face] = state_faces(piece.pattern, states[id_], pose, piece.layers)
        lying = _lying(piece, states[id_], moment)
        over = _over(piece) * number * OVER
        between = _between(pieces) if lying.faces else 0
        faces += [_placed(face, id_, matrix, over) for face in own]
        faces += [_placed(face, id_, matrix, between) for face in lying.faces]
        # What goes round them is off while one is drawn out or comes to the others.
        whole = replace(states[id_], wraps=()) if moment.out or moment.slides else states[id_]
        fixed = fastened_faces(whole, pose, piece.layers)
        on_them += [_placed(face, id_, matrix, over) for face in fixed]
        names += [Name(f"{id_}/{face}", words) for face, words in lying.named.items()]
        about += [f"{id_}/{face}" for face in lying.about]
        arrows += [_carried(arrow, matrix) for arrow in lying.arrows]
        if id_ in moment.winding:
            around = moment.winding[id_]
            names += [Name(f"{id_}/{face}", words) for face, words in around.names.items()]
            arrows += [_carried(arrow, matrix) for arrow in around.arrows]
        if id_ in moment.named:
            names.append(Name(f"{id_}/{piece.pattern.root}", piece.pattern.name))
            about.append(f"{id_}/{piece.pattern.root}")
        if id_ == moment.slides:
            home = _place(pieces, id_, Moment())
            way = _way_in((*own, *lying.faces), matrix, home)
            arrows.append(_way_down(pieces, states, way) if _under_lid(pieces) else way)
        looks |= {f"{id_}/{side}": skin for side, skin in piece.looks.items()}
        made = hinges(piece.pattern, pose, (), FLAT)
        folds += [Hinge(f"{id_}/{h.first}", f"{id_}/{h.second}", h.style) for h in made]
    glue = tuple(_glue(join, pieces, states, moment) for join in moment.glue)
    glance = best_glance(faces, [*about, *(hatch.face for hatch in glue)])
    looks["inside"] = looks[f"{assembly.pieces[0].pattern.id}/inside"]
    faces += on_them
    if on_them:  # they are small: they have no say in where the reader stands
        glance = Glance(faces, glance.view)
    scene = Scene(tuple(faces), tuple(folds), tuple(arrows), (), glue, tuple(names), looks)
    return see_scene(scene, glance.view, glance.sight())


def _lying(piece: Workpiece, state: State, moment: Moment) -> Lying:
    """The contents of a piece that a picture shows."""
    going_in = [lot for lot in piece.lots if lot.id in moment.fill]
    inside = [lot for lot in piece.lots if moment.out and lot not in going_in]
    return sheet_or_blocks(piece.rest, state, piece.layers, inside, going_in)


def _over(piece: Workpiece) -> int:
    """Whether a glued piece lies on the upper side of what it is glued to, 1, or the lower, -1."""
    off = piece.off
    return 0 if off is None else 1 if turned_up(np.array(off)) else -1


def _between(pieces: Mapping[str, Workpiece]) -> int:
    """A place between the first piece and those glued onto it, for flat contents of both."""
    return OVER // 2 * next((_over(one) for one in pieces.values() if one.off is not None), 0)


def _glue(
    join: JoinPair, pieces: Mapping[str, Workpiece], states: Mapping[str, State], moment: Moment
) -> Hatch:
    """Adhesive as it is seen: on a tab that stays put, or where one that comes will lie."""
    own, to = (pieces[id_] for id_ in (join.tab[0], join.to[0]))
    tab = _place(pieces, join.tab[0], Moment())
    tab = tab @ posed(own.rest, states[join.tab[0]]).matrix(join.tab[1])
    goal = _place(pieces, join.to[0], Moment())
    goal = goal @ posed(to.rest, states[join.to[0]]).matrix(join.to[1])
    mover = pieces.get(moment.slides or "", own)
    toward = np.array(mover.off or (0.0, 0.0, 1.0))
    if join.tab[0] != moment.slides:
        side = "front" if float(tab[:3, 2] @ toward) > 0 else "back"
        return Hatch("/".join(join.tab), None, side)
    loop = as_points(in_space(tab, outline(own.pattern.panel(join.tab[1]).shape)))
    side = "front" if float(goal[:3, 2] @ toward) > 0 else "back"
    return Hatch("/".join(join.to), loop, side, meets=True)


def _place(pieces: Mapping[str, Workpiece], id_: str, moment: Moment) -> Floats:
    """The matrix from the folded frame of a piece to that of the one that stays put.

    A lid is shown from its outside, over what it closes.
    """
    matrix: Floats = np.eye(4)
    for step in _way(pieces, id_) or []:
        folded = pieces[step].folded
        place = folded.placement if folded is not None else None
        if place is not None:
            share = (place.pulled or HALF_OUT) if moment.out else 0.0
            matrix = place.drawn(share) @ matrix
            if step == moment.slides and not place.length:
                matrix[:3, 3] += np.array(place.off or (0.0, 0.0, 1.0)) * _lift(pieces[step])
    return UPSIDE_DOWN @ matrix if _under_lid(pieces) else matrix


def _under_lid(pieces: Mapping[str, Workpiece]) -> bool:
    """Whether the piece that stays put is a lid."""
    return next(iter(pieces.values())).is_lid


def _lift(piece: Workpiece) -> float:
    """How far a piece is held off the place that it is glued to, mm."""
    wide, tall = (float(side) for side in piece.pattern.blank)
    return LIFTED * max(wide, tall)


def _carried(arrow: FoldArrow | SlideArrow, matrix: Floats) -> FoldArrow | SlideArrow:
    def moved(*points: Point3) -> tuple[Point3, ...]:
        return as_points(np.array(points) @ matrix[:3, :3].T + matrix[:3, 3])

    if isinstance(arrow, SlideArrow):
        start, end = moved(arrow.start, arrow.end)
        return SlideArrow(start, end)
    start, first, second = moved(arrow.start, *arrow.hinge)
    return replace(arrow, start=start, hinge=(first, second))


def _way_in(faces: Sequence[Face], out: Floats, home: Floats) -> SlideArrow:
    """From the middle of the piece where it is drawn out to most of the way home."""
    middle = np.array([point for face in faces for point in face.points]).mean(axis=0)
    start, end = (matrix[:3, :3] @ middle + matrix[:3, 3] for matrix in (out, home))
    ends = as_points(np.array([start, start + 0.8 * (end - start)]))
    return SlideArrow(ends[0], ends[1])


def _way_down(
    pieces: Mapping[str, Workpiece], states: Mapping[str, State], way: SlideArrow
) -> SlideArrow:
    """The way of a lid over a piece: that of the piece into it, the other way round."""
    name, lid = next(iter(pieces.items()))
    faces = state_faces(lid.pattern, states[name], posed(lid.rest, states[name]), lid.layers)
    matrix = _place(pieces, name, Moment())
    middle = np.array([point for face in faces for point in face.points]).mean(axis=0)
    start = matrix[:3, :3] @ middle + matrix[:3, 3]
    ends = as_points(np.array([start, start + np.array(way.start) - np.array(way.end)]))
    return SlideArrow(ends[0], ends[1])


def _placed(face: Face, piece: str, matrix: Floats, over: int) -> Face:
    def moved(loop: Loop) -> Loop:
        return as_points(np.asarray(loop) @ matrix[:3, :3].T + matrix[:3, 3])

    normal = np.asarray(face.normal)
    # Layers count upward, so a piece that is turned over has them the other way round.
    kept = turned_up(normal) == turned_up(matrix[:3, :3] @ normal)
    return replace(
        face,
        id=f"{piece}/{face.id}",
        layer=(face.layer if kept else -face.layer) + over,
        points=moved(face.points),
        holes=tuple(moved(hole) for hole in face.holes),
        front=f"{piece}/{face.front}",
        back=f"{piece}/{face.back}",
    )

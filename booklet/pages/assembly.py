"""Assemblies: pieces that are glued or nested together, as one picture.

In: workpieces with their proved placements, and the finished state of each. Out: scenes of the
whole, put together or drawn out as the project asks for.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from booklet.draw.arrow import SlideArrow
from booklet.draw.folded import hinges, state_faces
from booklet.draw.motion import State, posed
from booklet.draw.panel_name import Name
from booklet.draw.skin import Skin
from booklet.draw.solid import Scene, SeenScene, see_scene
from booklet.fold.best_view import best_sight
from booklet.fold.face import Face, Hinge, Loop
from booklet.fold.layer import turned_up
from booklet.fold.pose import Floats, as_points
from booklet.fold.view import FLAT
from booklet.pages.lying import sheet_or_blocks
from booklet.pages.workpiece import Workpiece

HALF_OUT = 0.5
"""How far a nested piece is drawn out where the project does not say."""


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


def assembled(
    assembly: Assembly, states: Mapping[str, State], out: bool, slides: str | None = None
) -> SeenScene:
    """The pieces in their places; `out` draws nested ones out and shows what lies in them.

    An arrow leads the piece `slides` in.
    """
    pieces = {piece.pattern.id: piece for piece in assembly.pieces}
    faces: list[Face] = []
    folds: list[Hinge] = []
    names: list[Name] = []
    about: list[str] = []
    looks: dict[str, Skin] = {}
    arrows: list[SlideArrow] = []
    for id_, piece in pieces.items():
        matrix = _place(pieces, id_, out)
        pose = posed(piece.rest, states[id_])
        own: Sequence[Face] = state_faces(piece.pattern, states[id_], pose, piece.layers)
        if out:
            lying = sheet_or_blocks(piece.rest, states[id_], piece.layers, piece.lots)
            own = (*own, *lying.faces)
            names += [Name(f"{id_}/{face}", words) for face, words in lying.named.items()]
            about += [f"{id_}/{face}" for face in lying.about]
        faces += [_placed(face, id_, matrix) for face in own]
        if id_ == slides:
            arrows.append(_way_in(own, matrix, _place(pieces, id_, out=False)))
        looks |= {f"{id_}/{side}": skin for side, skin in piece.looks.items()}
        made = hinges(piece.pattern, pose, (), FLAT)
        folds += [Hinge(f"{id_}/{h.first}", f"{id_}/{h.second}", h.style) for h in made]
    sight = best_sight(faces, about)
    looks["inside"] = looks[f"{assembly.pieces[0].pattern.id}/inside"]
    scene = Scene(tuple(faces), tuple(folds), tuple(arrows), names=tuple(names), skins=looks)
    return see_scene(scene, sight.view, sight)


def _place(pieces: Mapping[str, Workpiece], id_: str, out: bool) -> Floats:
    """The matrix from the folded frame of a piece to that of the one that stays put."""
    matrix: Floats = np.eye(4)
    for step in _way(pieces, id_) or []:
        folded = pieces[step].folded
        place = folded.placement if folded is not None else None
        if place is not None:
            share = (place.pulled or HALF_OUT) if out else 0.0
            matrix = place.drawn(share) @ matrix
    return matrix


def _way_in(faces: Sequence[Face], out: Floats, home: Floats) -> SlideArrow:
    """From the middle of the piece where it is drawn out to most of the way home."""
    middle = np.array([point for face in faces for point in face.points]).mean(axis=0)
    start, end = (matrix[:3, :3] @ middle + matrix[:3, 3] for matrix in (out, home))
    ends = as_points(np.array([start, start + 0.8 * (end - start)]))
    return SlideArrow(ends[0], ends[1])


def _placed(face: Face, piece: str, matrix: Floats) -> Face:
    def moved(loop: Loop) -> Loop:
        return as_points(np.asarray(loop) @ matrix[:3, :3].T + matrix[:3, 3])

    normal = np.asarray(face.normal)
    # Layers count upward, so a piece that is turned over has them the other way round.
    kept = turned_up(normal) == turned_up(matrix[:3, :3] @ normal)
    return replace(
        face,
        id=f"{piece}/{face.id}",
        layer=face.layer if kept else -face.layer,
        points=moved(face.points),
        holes=tuple(moved(hole) for hole in face.holes),
        front=f"{piece}/{face.front}",
        back=f"{piece}/{face.back}",
    )

"""The fold stage as a whole: every piece folded, measured and proved.

In: the patterns of a project (with joins), the project and its scope. Out: one `Folded` for each
pattern, and all problems of this stage.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from booklet.flat.pattern import Pattern
from booklet.flat.reference import find_panel
from booklet.fold.approach import ways_together
from booklet.fold.assemble import Members, fit_across, frame_of, place_pieces
from booklet.fold.bend import BentPose, curved_panels
from booklet.fold.bent_collide import check_bent_way, checked_plates, is_swept, settled_order
from booklet.fold.bent_join import check_bent_joins
from booklet.fold.beside import beside_each_other
from booklet.fold.button import check_buttons
from booklet.fold.cavity import Cavity, Triple, carried, find_cavity, is_square
from booklet.fold.closure import ClosureFit, fit_closures
from booklet.fold.collide import sweep
from booklet.fold.company import Placement
from booklet.fold.contents import ContentsFit, fit_contents
from booklet.fold.curved import bend_checked
from booklet.fold.face import Point3
from booklet.fold.filling import Home as Filled
from booklet.fold.filling import check_fillings
from booklet.fold.flat_corner import check_flat_corners
from booklet.fold.hull import Hull, find_hull
from booklet.fold.join import JoinFit, fit_joins
from booklet.fold.layer import touching
from booklet.fold.motion import Motion, ring_motion
from booklet.fold.nest import Home, NestFit, fit_nests
from booklet.fold.order import FoldOrder, FoldStep, following, printed_steps, prove_order
from booklet.fold.over import check_over
from booklet.fold.plate import plates, ring_clusters
from booklet.fold.pocket import find_glued_pocket
from booklet.fold.pose import Posed, as_points, placed, pose_piece
from booklet.fold.returns import check_returns
from booklet.fold.ring import Ring, close_rings
from booklet.fold.room import find_room
from booklet.fold.seam import Seam, find_seams
from booklet.fold.search import find_order
from booklet.fold.strip import bent_outline
from booklet.fold.touch import settled_layers
from booklet.measure.resolve import Scope
from booklet.problem import Problem
from booklet.read.piece import Piece
from booklet.read.project import Project

MOST_PANELS = 300
"""Panels of pieces that are glued together up to which the room between them is looked for along
the axes of each of them; the room along those of the first is looked for in any case."""
MOST_CLUSTERS = 20
"""Closed corners of one piece whose way is looked for."""


Orders = Mapping[str, tuple[tuple[str, ...], ...]]
"""The folds step by step, by piece."""


@dataclass(frozen=True, eq=False)
class Folded:
    """One piece, folded; lengths mm, angles degrees, in the root's frame.

    `panels` are outer outlines as middle surfaces, `layers` tell panels in one plane apart (higher
    along the plane's normal, turned to z, else y, else x positive). `cavity` is None where nothing
    is enclosed. `contents` are those that lie in this piece. `posed` has the matrices. `bent` is
    None where no score is curved; `joins` and `layers` are those of the piece before paper is bent.
    `hull` is the box that it takes up outside.

    For pictures of several pieces: `placement` says where this piece lies in the frame of another
    (None: on its own) and how far it is drawn out; `nests` are the pieces that lie in this one.
    `joins` are those of this piece's tabs; a panel of another piece is named "piece.panel".
    """

    piece: str
    posed: Posed
    panels: Mapping[str, tuple[Point3, ...]]
    layers: Mapping[str, int]
    rings: tuple[Ring, ...]
    joins: tuple[JoinFit, ...]
    seams: tuple[Seam, ...]
    closures: tuple[ClosureFit, ...]
    cavity: Cavity | None
    order: FoldOrder
    hull: Hull
    contents: tuple[ContentsFit, ...] = ()
    placement: Placement | None = None
    nests: tuple[NestFit, ...] = ()
    bent: BentPose | None = None


def prove(
    patterns: Sequence[Pattern],
    project: Project,
    scope: Scope,
    found: list[Problem],
    orders: Orders | None = None,
) -> tuple[Folded, ...]:
    """Fold every pattern, prove what can be proved, and fit the contents.

    `orders` are those of another size that this one is to follow where the file gives none.
    """
    pieces = {piece.id.value: piece for piece in project.pieces}
    folded = [
        _fold(pattern, pieces[pattern.id], patterns, project, scope, found, orders or {})
        for pattern in patterns
    ]
    if not folded:
        return ()
    folded = _together(folded, pieces, project, scope, found)
    homes = {pattern.id: (pieces[pattern.id], pattern) for pattern in patterns}
    cavities = {piece.piece: piece.cavity for piece in folded}
    outer = {piece.piece for piece in folded if piece.nests}
    loose = {piece.piece for piece in folded if any(fit.share <= 0 for fit in piece.joins)}
    fits = fit_contents(project.contents, homes, cavities, scope, found, outer, loose)
    places = {item.id.value: item.place for item in project.contents}
    whole = tuple(
        replace(
            piece,
            contents=beside_each_other(
                [fit for fit in fits if fit.piece == piece.piece], piece.cavity, places, found
            ),
        )
        for piece in folded
    )
    rooms = [Filled(p.posed, p.cavity, p.contents, p.bent is not None) for p in whole]
    check_fillings(rooms, patterns, project, found)
    return whole


def _together(
    folded: Sequence[Folded],
    pieces: Mapping[str, Piece],
    project: Project,
    scope: Scope,
    found: list[Problem],
) -> list[Folded]:
    """Place the pieces that are glued or nested; a box of two halves has its room only then."""
    placements, groups = place_pieces({piece.piece: piece.posed for piece in folded})
    joins = fit_across(groups, found)
    roomless = {piece.piece for piece in folded if piece.cavity is None}
    rooms = {name: room for group in groups for name, room in _rooms(group, roomless)}
    result: list[Folded] = []
    for piece in folded:
        room = piece.cavity or rooms.get(piece.piece)
        own = (*piece.joins, *joins.get(piece.piece, ()))
        place = placements.get(piece.piece)
        result.append(replace(piece, joins=own, cavity=room, placement=place))
    homes = {
        piece.piece: Home(pieces[piece.piece], piece.posed.pattern, piece.hull, piece.cavity)
        for piece in result
    }
    nests = fit_nests(project.nests, homes, scope, found)
    lies = {fit.inner: fit.placement for fit in nests}
    bent = {piece.piece: piece.bent for piece in result if piece.bent is not None}
    ways = ways_together({p.piece: p.posed for p in result}, placements, lies, groups, bent)
    for name, place in (lies | placements).items():
        if ways.get(name) is None:
            found.append(_not_together(pieces[name], place))
    return [
        replace(
            piece,
            nests=tuple(fit for fit in nests if fit.outer == piece.piece),
            placement=_with_way(piece.placement or lies.get(piece.piece), ways),
        )
        for piece in result
    ]


def _rooms(group: Members, roomless: Collection[str]) -> Iterator[tuple[str, Cavity | None]]:
    """For pieces without a room of their own, the one that their group has, in their frame."""
    names = [name for name in group if name in roomless]
    if not names:
        return
    patterns = {name: posed.pattern for name, (posed, _) in group.items()}
    first, *_ = group
    shared = find_cavity(frame_of(group, first))
    few = sum(len(pattern.panels) for pattern in patterns.values()) <= MOST_PANELS
    for name in names:
        frame = frame_of(group, name)
        back = np.linalg.inv(group[name][1]) @ group[first][1]
        if is_square(back):
            room = None if shared is None else carried(shared, back)
        else:
            room = find_cavity(frame) if few else None
        yield name, room or find_glued_pocket(name, frame, patterns)


def _with_way(place: Placement | None, ways: Mapping[str, Triple | None]) -> Placement | None:
    return None if place is None else replace(place, off=ways.get(place.piece))


def _not_together(piece: Piece, place: Placement) -> Problem:
    how = "goes into" if place.length else "is glued to"
    return Problem(
        "way-together-not-proved",
        f'"{place.piece}" {how} "{place.within}" when both are folded: no straight way there is '
        "free of paper, so that it gets there is not proved",
        piece.id.place,
        "fold paper models to try it, or glue the two before the folds that are in the way",
    )


def contents_of(folded: Sequence[Folded]) -> tuple[ContentsFit, ...]:
    """The contents of all pieces."""
    return tuple(fit for piece in folded for fit in piece.contents)


def _fold(
    pattern: Pattern,
    piece: Piece,
    patterns: Sequence[Pattern],
    project: Project,
    scope: Scope,
    found: list[Problem],
    orders: Orders,
) -> Folded:
    posed = pose_piece(pattern, thickness_of(pattern, project, scope))
    rings = close_rings(pattern, piece, posed.bones, posed.matrices, found)
    check_flat_corners(pattern, piece, found)
    bent = bend_checked(posed, found)
    joins = fit_joins(posed, found)
    closures = fit_closures(posed, project.closures, patterns, scope, found)
    check_buttons(posed, project.closures, patterns, scope, found)
    order = _order(posed, bent, rings, patterns, project, found, orders.get(pattern.id))
    pairs = touching(posed)
    above = settled_layers(posed, order.steps, pairs, _tucks(pattern, patterns, project))
    names = posed.bones.names
    lying = [(names[i], names[j]) for i, j in zip(pairs.first, pairs.second, strict=True)]
    if all(ring.closes for ring in rings) and not order.collisions:
        check_returns(posed, above, order.steps, found)
        check_over(posed, above, lying, found)
    if bent is not None:
        check_bent_joins(bent, found)
        check_bent_way(bent, order, found)
    outlines = _outlines(posed, bent)
    return Folded(
        piece=pattern.id,
        posed=posed,
        panels=outlines,
        layers=above,
        hull=find_hull(posed, above, outlines),
        rings=rings,
        joins=joins,
        seams=find_seams(posed, found),
        closures=closures,
        cavity=find_room(posed, bent, _asked(piece, scope)),
        order=order,
        bent=bent,
    )


def _outlines(posed: Posed, bent: BentPose | None) -> dict[str, tuple[Point3, ...]]:
    """The outer outline of each panel in space; that of a bent panel follows its bend."""
    panels = posed.pattern.panels
    if bent is not None:
        return {panel.name: as_points(bent_outline(bent, panel)) for panel in panels}
    return {
        name: as_points(points)
        for name, points in placed(posed.bones, posed.matrices, panels).items()
    }


def _asked(piece: Piece, scope: Scope) -> Triple | None:
    """The inside that a form's piece was asked for, mm."""
    silent: list[Problem] = []
    sides = [scope.length(side, silent) for side in piece.inside or ()]
    if len(sides) != 3 or not all(sides):
        return None  # a side without a value was told where it stands
    wide, tall, deep = (float(side or 0) for side in sides)
    return wide, tall, deep


def thickness_of(pattern: Pattern, project: Project, scope: Scope) -> float:
    """The thickness in mm of a piece's stock; 0 where the file does not give it."""
    silent: list[Problem] = []  # the stock's own check reports what is wrong with it
    for stock in project.stocks:
        if stock.id.value == pattern.stock and stock.thickness is not None:
            return float(scope.facts.length(stock.thickness, silent, positive=True) or 0)
    return 0.0


def _order(
    posed: Posed,
    bent: BentPose | None,
    rings: Sequence[Ring],
    patterns: Sequence[Pattern],
    project: Project,
    found: list[Problem],
    leading: tuple[tuple[str, ...], ...] | None,
) -> FoldOrder:
    pattern = posed.pattern
    pairs = _closures(pattern, patterns, project)
    bends = [(on, meets) for kind, on, meets in pairs if kind == "tuck"]
    if bent is None or not is_swept(bent):
        bends += [(name, None) for name in sorted(curved_panels(pattern))]
    clusters = ring_clusters(pattern) if all(ring.closes for ring in rings) else ()
    steps = printed_steps(project, patterns, pattern, found)
    ways = {
        cluster: ring_motion(pattern, posed.bones, cluster)
        for cluster in clusters[:MOST_CLUSTERS]
        if steps is None or _in_one_step(pattern, cluster, steps)
    }
    known = {
        cluster: way
        for cluster, way in ways.items()
        if way is not None and (way.only or _goes(posed, cluster, way))
    }
    unproved = [cluster for cluster in ring_clusters(pattern) if cluster not in known]
    if unproved:
        found.append(_no_way(unproved[0], pattern))
    solid = plates(posed, bends, unproved, tuple(known.values()))
    if bent is not None:
        solid = checked_plates(solid, bent, _tucks(pattern, patterns, project), found)
    if steps is not None:
        order = prove_order(posed, solid, steps, found)
    elif leading is not None:
        order = following(posed, solid, leading)
    else:
        held = [(on, meets or pattern.root) for _, on, meets in pairs]
        order = find_order(posed, solid, held, found)
    return settled_order(order, solid)


def _goes(posed: Posed, cluster: frozenset[str], way: Motion) -> bool:
    """Whether this way, one of many, brings no two of the cluster's panels into each other."""
    solid = plates(posed, (), (), (way,))
    flat = np.zeros(len(posed.bones.names))
    after = flat.copy()
    after[way.members] = posed.bones.targets[way.members]
    inside = {posed.bones.index[name] for name in cluster}
    return not any({hit.first, hit.second} <= inside for hit in sweep(solid, flat, after))


def _in_one_step(pattern: Pattern, cluster: frozenset[str], steps: Sequence[FoldStep]) -> bool:
    """Whether one printed step folds everything round a corner."""
    moving = {
        hinge.panel
        for hinge in pattern.hinges
        if {hinge.panel, hinge.parent} <= cluster and hinge.folds
    }
    return any(moving <= set(step.panels) for step in steps)


def _no_way(cluster: frozenset[str], pattern: Pattern) -> Problem:
    return Problem(
        "ring-sweep-not-proved",
        f"the panels {', '.join(sorted(cluster))} lie round a corner and move together: only where "
        "they end is proved, not their way there",
        pattern.place,
        "fold a paper model to try it",
    )


def _tucks(
    pattern: Pattern, patterns: Sequence[Pattern], project: Project
) -> list[tuple[str, str]]:
    """Each lip that is tucked in, with the panel that it goes behind."""
    pairs = _closures(pattern, patterns, project)
    return [(on, meets) for kind, on, meets in pairs if kind == "tuck" and meets is not None]


def _closures(
    pattern: Pattern, patterns: Sequence[Pattern], project: Project
) -> list[tuple[str, str, str | None]]:
    """Kind, panel, and the panel that it meets, of the closures inside one piece."""
    result: list[tuple[str, str, str | None]] = []
    silent: list[Problem] = []  # unknown names have their own report
    for closure in project.closures:
        on = find_panel(closure.on, patterns, silent)
        meets = find_panel(closure.meets, patterns, silent) if closure.meets else None
        if on is not None and on[0] == pattern.id:
            other = meets[1] if meets is not None and meets[0] == pattern.id else None
            result.append((closure.kind, on[1], other))
    return result

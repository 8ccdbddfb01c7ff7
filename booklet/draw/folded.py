"""Pictures of the folded piece: the state of its panels as a scene.

In: a pattern, the state before a step, and what the step moves, glues and adds. Out: scenes as seen
from the best place, and drawings of them in print mm.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from shapely.geometry import Polygon

from booklet.draw.arrow import Arrow, FoldArrow
from booklet.draw.bent import bent_before, bent_faces, bent_hinges, roughly
from booklet.draw.glue import Hatch
from booklet.draw.motion import (
    LET_GO,
    State,
    arrows,
    ghosts,
    is_valley,
    led_along,
    opened_again,
    posed,
    under_way,
)
from booklet.draw.panel_name import Name
from booklet.draw.skin import SKINS, Skin, coloured
from booklet.draw.solid import Scene, SeenScene, see_scene
from booklet.draw.state_face import fastened_faces, layer_now, loops_of, state_faces
from booklet.flat.pattern import Pattern
from booklet.fold.bend import BentPose
from booklet.fold.bent_state import bent_now
from booklet.fold.best_view import USUAL, VIEWPOINTS, best_glance
from booklet.fold.face import Face, Hinge, Loop, Point3
from booklet.fold.hidden import Glance
from booklet.fold.pose import Posed
from booklet.fold.touch import Side
from booklet.fold.view import View, placed, turned_over

LOW = tuple(placed(turn, 15) for turn in (-30, 30, -150, 150))
"""Where a reader looks in under a panel to see the glue behind it, for that one picture."""
TURNED_LOW = tuple(turned_over(view) for view in LOW)
SEEN_GLUE = 0.2
"""The share of a tab that has to appear for its glue to be seen."""
LITTLE = 0.05
"""That share below which no place is chosen for what it shows of the glue."""
FAIR = 0.2
"""The share of a face that has to appear for a picture to show it."""
ROUGH = 1.0
"""How far outlines may be off, in mm, where a picture only chooses its place."""
BEHIND = tuple(placed(turn, 35) for turn in (155, -155))
"""Where a reader looks into what opens toward the back of the table."""
TURNED = tuple(turned_over(view) for view in VIEWPOINTS)
"""The same places of the reader, once the work was turned over."""


def flat_state() -> State:
    """Nothing folded, nothing attached."""
    return State({})


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
class Landed:
    """Where a tab lies when all is done: on this panel, on this side of it."""

    panel: str
    side: Side
    shape: Polygon


@dataclass(frozen=True)
class Shown:
    """What a picture adds to its state.

    Panels that fold, tabs that take adhesive on a side ("front" or "back"), panels let go again so
    that it can be put there, names of faces, blocks of contents, and arrows. `turned` shows the
    piece from its other side, `behind` from the back of the table; what folds `opens` again in a
    crease. `lands` tells for tabs where they will lie: the panel, its side, its shape in the flat.
    """

    folding: tuple[str, ...] = ()
    glued: Mapping[str, str] | None = None
    opened: tuple[str, ...] = ()
    named: Mapping[str, str] | None = None
    contents: tuple[Face, ...] = ()
    arrows: tuple[Arrow, ...] = ()
    about: tuple[str, ...] = ()
    lands: Mapping[str, Landed] = field(default_factory=dict)
    turned: bool = False
    behind: bool = False
    opens: bool = False


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
    rest: Posed,
    before: State,
    shown: Shown,
    layers: Mapping[str, int],
    looks: Mapping[str, Skin],
    last: View | None = None,
) -> SeenScene:
    """The piece with what moves half on its way, seen from the place that shows that best.

    `last` is the view of the picture before, kept where it is nearly as good.
    """
    look = _best_look(rest, before, shown, layers, last)
    faces, glance = look.faces, look.glance
    strips: tuple[Face, ...] = ()
    bent = look.bent
    if bent is not None:  # the place was chosen with flat panels, which is quicker by far
        strips, faces = _with_strips(rest.pattern, look, bent, layers)
        glance = Glance(faces, _bent_view(rest.pattern, look, bent, shown, layers))
    view = glance.view
    folds = hinges(rest.pattern, look.pose, shown.folding, view)
    if bent is not None:
        folds = bent_hinges(bent, strips, folds)
    # What is fastened on is small: it has no say in where the reader stands.
    bends = bent.bends if bent is not None else ()
    was = bent_before(rest, before.angles, look.now.angles) if bent is not None else None
    on_it = fastened_faces(look.now, look.pose, layers, bends)
    if on_it:
        faces = (*faces, *on_it)
        glance = Glance(faces, view)
    scene = Scene(
        faces=faces,
        hinges=folds,
        arrows=(*_ways(look, shown, view, bent), *shown.arrows),
        ghosts=() if shown.opened else ghosts(rest, before, shown.folding, was),
        hatches=_glue(look, shown),
        names=tuple(Name(face, words) for face, words in (shown.named or {}).items()),
        skins=looks,
    )
    return see_scene(scene, view, glance.sight())


def _with_strips(
    pattern: Pattern, look: _Look, bent: BentPose, layers: Mapping[str, int]
) -> tuple[tuple[Face, ...], tuple[Face, ...]]:
    """All panels, bent ones as strips; and with them all else that the picture shows."""
    strips = bent_faces(bent, look.now.angles, lambda name: layer_now(look.pose, name, layers))
    flat = {panel.name for panel in pattern.panels}
    flat |= {f"mat:{mat.id}" for mat in look.now.mats if mat.panel in bent.bends}
    return strips, (*strips, *(face for face in look.faces if face.id not in flat))


def _bent_view(
    pattern: Pattern, look: _Look, bent: BentPose, shown: Shown, layers: Mapping[str, int]
) -> View:
    """The place chosen, or one from where what moves is seen if it bows out of sight there."""
    here = look.glance.view
    moving = set(shown.folding) & set(bent.bends)
    if not moving:
        return here
    _, faces = _with_strips(pattern, look, roughly(bent), layers)
    parts = [[i for i, f in enumerate(faces) if _panel_of(f) == name] for name in shown.folding]
    usual, low = (TURNED, TURNED_LOW) if shown.turned else (VIEWPOINTS, LOW)
    # What the near side hides is seen from low down before it is seen from behind or below.
    places = (here, *usual[:USUAL], *low, *usual[USUAL:])
    seen = (place for place in places if _least_seen(Glance(faces, place), faces, parts) >= FAIR)
    return next(seen, here)


def _panel_of(face: Face) -> str:
    """The panel that a face is a strip of."""
    return face.id.partition("~")[0]


def _least_seen(glance: Glance, faces: Sequence[Face], panels: Sequence[Sequence[int]]) -> float:
    """The share of its area that appears of the panel that is seen least, all its strips taken."""
    shares = []
    for strips in panels:
        area = sum(faces[i].area for i in strips)
        shares.append(sum(glance.area(i) for i in strips) / area if area else 0.0)
    return min(shares, default=0.0)


def _ways(look: _Look, shown: Shown, view: View, bent: BentPose | None) -> Iterator[FoldArrow]:
    """The arrows of what a hand moves."""
    alone = led_along(look.pose.pattern, shown.folding)
    moved = [name for name in (*shown.folding, *shown.opened) if name not in alone]
    for arrow in arrows(look.pose, look.start, moved, view, bent):
        yield replace(arrow, opens=shown.opens)


@dataclass(frozen=True)
class _Look:
    """A state from which a picture may start, as it is caught, and what is seen of it."""

    start: State
    now: State
    pose: Posed
    bent: BentPose | None
    faces: tuple[Face, ...]
    glance: Glance


def _best_look(
    rest: Posed, before: State, shown: Shown, layers: Mapping[str, int], last: View | None
) -> _Look:
    """The usual look; where glue goes in again, opened as far as it takes to see the glue."""
    if not shown.opened:
        return _look(rest, before, shown, layers, last)
    starts = [opened_again(before, shown.opened, share) for share in LET_GO]
    looks: list[_Look] = []
    for for_glue in (False, True):
        for start in starts:
            look = _look(rest, start, shown, layers, last, for_glue)
            if not _hidden_glue(look.glance, shown):
                return look
            looks.append(look)
    best = max(looks, key=lambda look: _least_glue(look.glance, shown))
    return best if _least_glue(best.glance, shown) > LITTLE else looks[0]


def _look(
    rest: Posed,
    start: State,
    shown: Shown,
    layers: Mapping[str, int],
    last: View | None,
    for_glue: bool = False,
) -> _Look:
    """What moves on its way, from the place that shows best what the picture is about.

    With `for_glue` the glue alone decides about the place.
    """
    now = start if shown.opened else under_way(rest, start, shown.folding)
    pose = posed(rest, now)
    bent = bent_now(pose, now.angles)
    faces = (*state_faces(rest.pattern, now, pose, layers), *shown.contents)
    about = faces
    if bent is not None:  # flat panels stand for bent ones here: how they curve says nothing
        about = (*state_faces(rest.pattern, now, pose, layers, ROUGH), *shown.contents)
    glued = shown.glued or {}
    changed = (*shown.folding, *shown.opened, *glued, *shown.about)
    places = TURNED if shown.turned else BEHIND if shown.behind else VIEWPOINTS
    if for_glue:
        changed, last = tuple(glued), None
        places = TURNED_LOW if shown.turned else LOW
    glance = best_glance(about, changed, last, places, glued)
    if shown.about and not _shows(glance, shown.about):
        # Unusual places come first once the usual ones show nothing of it.
        other = best_glance(about, shown.about, None, places[::-1])
        glance = other if _shows(other, shown.about) else glance
    return _Look(start, now, pose, bent, faces, glance)


def _hidden_glue(glance: Glance, shown: Shown) -> list[str]:
    """The tabs of whose glued side hardly anything is seen."""
    return [name for name in shown.glued or {} if _seen_glue(glance, shown, name) < SEEN_GLUE]


def _least_glue(glance: Glance, shown: Shown) -> float:
    """The share that is seen of the glue that is seen least."""
    return min((_seen_glue(glance, shown, name) for name in shown.glued or {}), default=0.0)


def _seen_glue(glance: Glance, shown: Shown, name: str) -> float:
    """The share of a tab that appears with its glued side."""
    seen = glance.of(name)
    if seen is None or seen.side != (shown.glued or {})[name]:
        return 0.0
    return seen.region.area / seen.face.area if seen.face.area else 0.0


def _glue(look: _Look, shown: Shown) -> tuple[Hatch, ...]:
    """Glue on tabs; where a tab's is hidden, on the place of its panel where it will lie."""
    glue = [Hatch(name, None, side) for name, side in (shown.glued or {}).items()]
    for name in _hidden_glue(look.glance, shown):
        land = shown.lands.get(name)
        if land is not None:
            loop = loops_of(land.shape, look.pose.matrix(land.panel))[0]
            glue.append(Hatch(land.panel, loop, land.side, meets=True))
    return tuple(glue)


def _shows(glance: Glance, about: Sequence[str]) -> bool:
    """Whether a fair part of any of these faces is seen."""
    faces = (glance.of(name) for name in about)
    return any(s is not None and s.region.area > FAIR * s.face.area for s in faces)


def extent(seen: SeenScene) -> tuple[float, float]:
    """Width and height of the paper as seen, before and on its way, in mm of paper."""
    x0, y0, x1, y1 = seen.figure
    return x1 - x0, y1 - y0

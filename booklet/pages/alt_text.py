"""Alternative texts: what the picture of a step shows, for those who cannot see it.

In: a piece and a planned step. Out: sentences from the model: what moves, about which edge, how
far and to which side; where adhesive is; from where contents come.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from booklet.draw.arrow import SlideArrow
from booklet.pages.fastened import WORDS
from booklet.pages.panel_words import capital, labels, listed, spoken_label, swing, the
from booklet.pages.planned import PlannedStep
from booklet.pages.workpiece import Workpiece

SIDES = (("left", "right"), ("bottom edge", "top edge"), ("below", "above"))
"""Where contents come from along x, y and z of a piece that lies inside up."""


def alt(piece: Workpiece, step: PlannedStep, ways: Sequence[SlideArrow] = ()) -> str:
    """What the picture of a step shows, in words; `ways` are arrows of contents on their way in."""
    parts = [f"{step.title}."]
    if step.turn:
        parts.append("The arrow with a loop says to turn the work over first.")
    if step.score or step.cut:
        parts += _flat(piece, step)
    if step.crease:
        what = labels(piece.model, step.fold, step.turned)
        parts.append(f"Arrows with two heads say to fold {the(what)} and to open them again.")
    elif step.fold:
        parts += _folds(piece, step)
    parts += _joins(piece, step)
    parts += _filling(piece, step, ways)
    if step.attach:
        parts += _mats(piece, step)
    parts += _discs(piece, step)
    if step.buttons:
        where = listed([the(labels(piece.model, (panel,), turned=True)) for panel in step.buttons])
        parts.append(f"The outside is up; {where} are tinted: the buttons go there.")
    return " ".join(parts)


def _flat(piece: Workpiece, step: PlannedStep) -> Iterator[str]:
    """The sheet with its scores, or with its outline."""
    pattern = piece.pattern
    if step.score:
        valleys = sum(score.angle >= 0 for score in pattern.scores)
        mountains = len(pattern.scores) - valleys
        kinds = ((valleys, "toward the reader"), (mountains, "away from the reader"))
        told = [f"{count} to fold {way}" for count, way in kinds if count]
        yield f"The blank of the {pattern.name.lower()} with its scores heavy: {listed(told)}."
    if step.cut:
        slits = len(pattern.slits)
        more = f", with {slits} slit{'s' if slits > 1 else ''}" if slits else ""
        yield f"The outline of the {pattern.name.lower()} to cut along is heavy{more}."


def _folds(piece: Workpiece, step: PlannedStep) -> Iterator[str]:
    """Each group of panels that swing about edges of one panel by the same angle."""
    own, model = piece.pattern.id, piece.model
    hinges = {hinge.panel: hinge for hinge in piece.pattern.hinges}
    groups: dict[tuple[str, float], list[str]] = {}
    for owner, name in step.fold:
        if owner == own and name in hinges:
            hinge = hinges[name]
            groups.setdefault((hinge.parent, hinge.angle), []).append(name)
    for (parent, angle), names in groups.items():
        what = labels(model, [(own, name) for name in names], step.turned)
        about = spoken_label(model, (own, parent), step.turned)
        how = swing(piece.pattern, names[0], angle, step.turned)
        many = "swings" if len(names) == 1 else "swing"
        yield f"{capital(the(what))} {many} about the edge of {the(about)} {how}."


def _joins(piece: Workpiece, step: PlannedStep) -> Iterator[str]:
    """Adhesive: on which side of which tabs, and what meets it."""
    model = piece.model
    if step.onto:
        name = piece.pattern.name.lower()
        yield f"An arrow brings the {name}; broken hatching shows where its adhesive will lie."
        return
    groups: dict[tuple[str, str], list[str]] = {}
    for owner, tab in step.join:
        if owner == piece.pattern.id and tab in piece.touches:
            side = "inside" if piece.touches[tab].tab == "front" else "outside"
            groups.setdefault((side, piece.joined[tab]), []).append(tab)
    own = piece.pattern.id
    for (side, goal), tabs in groups.items():
        what = labels(model, [(own, tab) for tab in tabs], step.turned)
        meets = spoken_label(model, (own, goal), step.turned)
        yield f"Hatching shows adhesive on the {side} of {the(what)}, to meet {the(meets)}."
    others = [panel for panel in step.join if panel[0] != own or panel[1] not in piece.touches]
    if others:
        yield f"Hatching shows adhesive on {the(labels(model, others, step.turned))}."


def _discs(piece: Workpiece, step: PlannedStep) -> Iterator[str]:
    """Where the dots and magnets of a closure are drawn."""
    own = piece.pattern.id
    for disc in piece.discs:
        if disc.kind != "button" and (own, disc.closure) in step.close:
            side = "inside" if disc.side == "front" else "outside"
            where = spoken_label(piece.model, (own, disc.panel), step.turned)
            yield f"A {WORDS[disc.kind]} is drawn on the {side} of {the(where)}."


def _filling(piece: Workpiece, step: PlannedStep, ways: Sequence[SlideArrow]) -> Iterator[str]:
    """What goes in, and from where."""
    names = listed([lot.name for lot in piece.lots if lot.id in step.fill])
    if names:
        from_where = listed([_from(way, step.turned) for way in ways])
        yield f"An arrow brings the {names} in{f' from {from_where}' if from_where else ''}."


def _from(way: SlideArrow, turned: bool) -> str:
    """The side that an arrow comes from, as the piece lies on the table."""
    off = [start - end for start, end in zip(way.start, way.end, strict=True)]
    axis = max(range(3), key=lambda one: abs(off[one]))
    mirrored = turned and axis != 1
    side = SIDES[axis][(off[axis] > 0) != mirrored]
    return side if axis == 2 else f"the {side}"


def _mats(piece: Workpiece, step: PlannedStep) -> Iterator[str]:
    """Which mat goes where."""
    mats = [mat for mat in piece.mats if mat.id in step.attach]
    places = [the(spoken_label(piece.model, (mat.piece, mat.panel), True)) for mat in mats]
    told = [f"the {mat.name.lower()} over {at}" for mat, at in zip(mats, places, strict=True)]
    if told:
        yield f"The outside is up. Held over their hatched places: {listed(told)}."

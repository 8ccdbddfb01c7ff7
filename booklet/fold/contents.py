"""Contents: do they go in, with their ease, folded and stacked as the file says?

In: [[contents]] and the cavities of the folded pieces. Out: one `ContentsFit` for each, and
problems that name the measure to change.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace

from booklet.flat.pattern import Pattern
from booklet.flat.standard import nearest_names, standard_size
from booklet.fold.cavity import Cavity, Triple
from booklet.fold.culprit import measure_behind
from booklet.fold.slanted_room import room_like
from booklet.measure.resolve import Scope
from booklet.measure.rounding import Printer
from booklet.measure.ruler import mark_up
from booklet.measure.tolerance import TOUCH_MM
from booklet.problem import Place, Problem
from booklet.read.contents import SIDES as WORDS
from booklet.read.contents import Contents
from booklet.read.piece import Piece


@dataclass(frozen=True)
class ContentsFit:
    """How contents lie in a piece; all lengths mm.

    `size` is wide, tall, deep of the whole lot (folded, stacked), without ease. `turned` names
    for each direction of the cavity (x, y, z) which of the contents' own lies along it: (0, 1, 2)
    is the stated orientation. `spare` is what is left along the contents' wide, tall and deep
    after the ease, were they alone; negative is what is missing. `corner` is the lowest of its
    corners where it lies beside others (x, y, z in the root's frame), None in the middle.
    """

    id: str
    piece: str | None
    size: Triple
    ease: float
    fits: bool
    spare: Triple
    turned: tuple[int, int, int]
    corner: Triple | None = None


def fit_contents(
    contents: Sequence[Contents],
    pieces: Mapping[str, tuple[Piece, Pattern]],
    cavities: Mapping[str, Cavity | None],
    scope: Scope,
    found: list[Problem],
    taken: Collection[str] = (),
    loose: Collection[str] = (),
) -> tuple[ContentsFit, ...]:
    """Fit each of the contents into its piece; those `taken` hold another piece.

    Of pieces that are `loose`, where a tab does not meet its panel, that has been told: until it
    does, the room is not the one that is meant, and what fits it is not judged.
    """
    fits: list[ContentsFit] = []
    for item in contents:
        home = _home(item, cavities, taken)
        size = lot_size(item, scope)
        if size is None:
            _unknown_standard(item, found)
            continue  # a size that is missing or cannot be read has its own report
        if home is None:
            if item.inside is None:
                _not_proved(item, found)
            continue
        silent: list[Problem] = []  # the measure stage has reported what is wrong with it
        ease = scope.facts.length(item.ease, silent) if item.ease is not None else None
        cavity = cavities[home]
        place = item.inside.place if item.inside is not None else item.place
        if cavity is None:
            if home not in loose:
                found.append(_no_cavity(item, home, place))
            missing = (-size[0], -size[1], -size[2])
            fits.append(ContentsFit(item.id.value, home, size, 0.0, False, missing, (0, 1, 2)))
            continue
        fit = place_in(item.id.value, home, size, float(ease or 0), cavity)
        fits.append(fit)
        if home not in loose:
            _judge(item, fit, (*pieces[home], cavity), scope, found)
    return tuple(fits)


def lot_size(item: Contents, scope: Scope) -> Triple | None:
    """Wide, tall, deep in mm of all of the contents as they go in.

    Each fold into n along wide or tall divides that side by n and multiplies the thickness by n;
    a fold along deep has no meaning and is passed over. Folded they are turned as `lies` says, and
    lie side by side as `grid` says; as many layers as `count` needs lie on each other along deep.
    """
    silent: list[Problem] = []
    if item.size is not None:
        sides = [scope.facts.length(side, silent) for side in item.size]
        if any(side is None for side in sides):
            return None
        wide, tall, deep = (float(side) for side in sides if side is not None)
    elif item.standard is not None:
        known = standard_size(item.standard.value)
        if known is None:
            return None
        wide, tall, deep = (float(side) for side in known)
    else:
        return None
    across, down, _ = item.folded or (1, 1, 1)
    one = dict(zip(WORDS, (wide / across, tall / down, deep * across * down), strict=True))
    wide, tall, deep = (one[side] for side in item.lies)
    along_wide, along_tall, layers = stacked(item)
    return wide * along_wide, tall * along_tall, deep * layers


def stacked(item: Contents) -> tuple[int, int, int]:
    """How many lie along wide, tall and deep: no more in a row than there are."""
    along_wide = min(item.grid[0], item.count)
    along_tall = min(item.grid[1], math.ceil(item.count / along_wide))
    return along_wide, along_tall, math.ceil(item.count / (along_wide * along_tall))


def place_in(id_: str, piece: str, size: Triple, ease: float, cavity: Cavity) -> ContentsFit:
    """The stated orientation where it fits, else the turn that leaves most to spare."""
    best: tuple[bool, float, tuple[int, int, int], Triple] | None = None
    rooms = [replace(cavity, inside=room) for room in cavity.rooms] or [cavity]
    for turn, room in itertools.product(itertools.permutations(range(3)), rooms):
        spare = _spare(size, ease, room, (turn[0], turn[1], turn[2]))
        tightest = min(spare)
        fits = tightest >= -TOUCH_MM
        if best is None or (not best[0] and (fits, tightest) > (best[0], best[1] + TOUCH_MM)):
            best = fits, tightest, (turn[0], turn[1], turn[2]), spare
    assert best is not None
    if not best[0]:  # what is missing is told as the file states the contents
        stated = [_spare(size, ease, room, (0, 1, 2)) for room in rooms]
        best = False, 0.0, (0, 1, 2), max(stated, key=min)
    return ContentsFit(id_, piece, size, ease, best[0], best[3], best[2])


def _spare(size: Triple, ease: float, cavity: Cavity, turn: tuple[int, int, int]) -> Triple:
    """Room less size and ease along the contents' own directions.

    A flat pocket bulges: round the contents it must reach 2 (wide + deep) and is 2 * pocket wide
    long, so the thickness counts in both directions of the plane, and deep gives way.
    """
    spare = [0.0, 0.0, 0.0]
    wide, tall, deep = (size[own] + ease for own in turn)
    inside = cavity.inside
    if cavity.planes is not None:
        inside = room_like(cavity.planes, (wide, tall, deep))
    flat = cavity.flat
    for axis, own in enumerate(turn):
        if axis != flat:
            bulge = size[turn[flat]] if flat is not None else 0.0
            spare[own] = inside[axis] - size[own] - bulge - ease
    return spare[0], spare[1], spare[2]


def _home(
    item: Contents, cavities: Mapping[str, Cavity | None], taken: Collection[str]
) -> str | None:
    """The piece that the file names; else the roomiest that no piece lies in, else the only one."""
    if item.inside is not None:
        return item.inside.value if item.inside.value in cavities else None
    every = {piece: cavity for piece, cavity in cavities.items() if cavity is not None}
    rooms = {piece: cavity for piece, cavity in every.items() if piece not in taken} or every
    if rooms:
        return max(rooms, key=lambda piece: _volume(rooms[piece]))
    return next(iter(cavities)) if len(cavities) == 1 else None


def _volume(cavity: Cavity) -> tuple[bool, float]:
    wide, tall, deep = cavity.inside
    return not cavity.pocket, wide * tall * deep or wide * tall + tall * deep + wide * deep


def _unknown_standard(item: Contents, found: list[Problem]) -> None:
    if item.standard is None or item.size is not None:
        return
    names = nearest_names(item.standard.value)
    near = " or ".join(f'"{name}"' for name in names)
    found.append(
        Problem(
            "unknown-standard",
            f'"{item.standard.value}" is not in the table of standard sizes',
            item.standard.place,
            f"did you mean {near}?" if names else "give size = [wide, tall, deep] instead",
        )
    )


def _not_proved(item: Contents, found: list[Problem]) -> None:
    found.append(
        Problem(
            "contents-no-home",
            f'no piece that holds "{item.id.value}" is known: whether it fits is not proved',
            item.place,
            'name the piece that holds it: inside = "..."',
        )
    )


def _no_cavity(item: Contents, home: str, place: Place) -> Problem:
    return Problem(
        "no-cavity",
        f'"{item.id.value}" is to lie in "{home}", which encloses no room once folded: no box with '
        "walls on four sides, and no pocket that a join holds",
        place,
        "fold walls up round the contents (90), add the joins of a pocket, or name another piece "
        "in inside",
    )


def _lying(item: Contents) -> str:
    """How the file lays many side by side, where that makes more layers than one."""
    wide, tall, layers = stacked(item)
    if item.grid == (1, 1) or layers == 1:
        return ""
    return f"{item.count} lie {wide} by {tall} in {layers} layers, as grid says; "


def _judge(
    item: Contents,
    fit: ContentsFit,
    home: tuple[Piece, Pattern, Cavity],
    scope: Scope,
    found: list[Problem],
) -> None:
    printer = Printer(scope.units, scope.ruler)
    if fit.fits:
        if fit.turned != (0, 1, 2):
            along = ", ".join(
                f"{WORDS[own]} along the piece's {WORDS[axis]}"
                for axis, own in enumerate(fit.turned)
                if axis != own
            )
            found.append(
                Problem(
                    "contents-turned",
                    f'"{item.id.value}" fits "{fit.piece}" only when turned: {along}',
                    item.place,
                    "state the size in the direction in which it goes in",
                )
            )
        return
    short = [axis for axis in range(3) if fit.spare[axis] < -TOUCH_MM]
    missing = ", ".join(f"{-fit.spare[a]:.1f} mm in {WORDS[a]}" for a in short)
    lacking: dict[str, float] = {}
    for axis in short:
        way = measure_behind(*home, axis, scope)
        lacking[way] = max(lacking.get(way, 0.0), -fit.spare[axis])
    help_ = "; ".join(
        f"make {way} at least {printer.both(mark_up(lack, scope.ruler))} larger"
        for way, lack in lacking.items()
    )
    if grid := _row_that_fits(item, fit, home[2], scope):
        help_ = f"lay them side by side: grid = [{grid[0]}, {grid[1]}]; or {help_}"
    if _may_stand_out(short, fit, home[2]):
        help_ += "; or leave out of [[contents]] what is to stand out of the pocket"
    place = item.size[short[0]].place if item.size is not None else item.place
    found.append(
        Problem(
            "contents-do-not-fit",
            f'"{item.id.value}" does not fit "{fit.piece}": {_lying(item)}with its ease it lacks '
            f"{missing}",
            place,
            help_,
        )
    )


def _may_stand_out(short: Sequence[int], fit: ContentsFit, cavity: Cavity) -> bool:
    """Whether what is too long for a flat pocket is so toward its open side alone."""
    if not cavity.pocket or len(short) != 1:
        return False
    along = fit.turned.index(short[0])
    return along != cavity.flat and not all(cavity.walls[2 * along : 2 * along + 2])


def _row_that_fits(
    item: Contents, fit: ContentsFit, cavity: Cavity, scope: Scope
) -> tuple[int, int] | None:
    """The grid of one row, for many that are stacked by default and would fit so."""
    if item.count == 1 or item.grid != (1, 1) or fit.piece is None:
        return None
    for grid in ((item.count, 1), (1, item.count)):
        size = lot_size(replace(item, grid=grid), scope)
        if size is not None and place_in(fit.id, fit.piece, size, fit.ease, cavity).fits:
            return grid
    return None

"""Closures: is there room for the dot, magnet or tuck that keeps a piece shut?

In: a piece in its final pose and the closures of the project. Out: one `ClosureFit` for each whose
two panels belong to the piece, and problems where they do not meet or the closure is too big.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from shapely.geometry.base import BaseGeometry

from booklet.flat.pattern import Pattern
from booklet.flat.reference import find_panel
from booklet.fold.join import landing, reach, shared_area
from booklet.fold.join import meets as lies_against
from booklet.fold.pose import Posed
from booklet.measure.resolve import Scope
from booklet.measure.tolerance import TOUCH_MM
from booklet.problem import Problem
from booklet.read.closure import Closure

HOLDS = frozenset({"hook_and_loop", "magnet", "tuck"})
"""Kinds that need two panels flat on each other; ribbons, bands, ties and
the string of buttons go round the outside."""


@dataclass(frozen=True)
class ClosureFit:
    """What two closed panels share: `overlap` (wide, tall) mm as seen in the plane of `meets`.

    `room` is the diameter in mm of the largest round closure that lies inside the overlap;
    `size` what the file asks for, `fits` whether it goes in.
    """

    kind: str
    on: str
    meets: str
    overlap: tuple[float, float]
    room: float
    size: float | None
    fits: bool


def fit_closures(
    posed: Posed,
    closures: Sequence[Closure],
    patterns: Sequence[Pattern],
    scope: Scope,
    found: list[Problem],
) -> tuple[ClosureFit, ...]:
    """Measure each closure between two panels of this piece."""
    fits: list[ClosureFit] = []
    for closure in closures:
        silent: list[Problem] = []  # unknown names have their own report
        on = find_panel(closure.on, patterns, silent)
        meets = None if closure.meets is None else find_panel(closure.meets, patterns, silent)
        home = posed.pattern.id
        if on is None or on[0] != home or closure.kind not in HOLDS:
            continue
        if closure.meets is None:
            meets = _nearest(posed, on[1])
        if meets is None or meets[0] != home or meets == on:
            continue
        size = None if closure.size is None else scope.facts.length(closure.size, silent)
        fit = _fit(posed, closure.kind, on[1], meets[1], None if size is None else float(size))
        fits.append(fit)
        _judge(closure, fit, found)
    return tuple(fits)


def _nearest(posed: Posed, on: str) -> tuple[str, str] | None:
    """The panel that shares most with `on`, where the file names none."""
    best, most = None, 0.0
    for name in posed.panels:
        if name == on or not lies_against(posed, on, name):
            continue
        shape = _shared(posed, on, name)
        if shape is not None and shape.area > most:
            best, most = name, shape.area
    return None if best is None else (posed.pattern.id, best)


def _shared(posed: Posed, on: str, meets: str) -> BaseGeometry | None:
    land = landing(posed, on, meets)
    if not land.parallel or land.gap > reach(posed) or land.overlap <= 0:
        return None
    return shared_area(land.shape, posed.panels[meets].shape)


def _fit(posed: Posed, kind: str, on: str, meets: str, size: float | None) -> ClosureFit:
    shape = _shared(posed, on, meets)
    if shape is None or shape.is_empty:
        return ClosureFit(kind, on, meets, (0.0, 0.0), 0.0, size, False)
    x0, y0, x1, y1 = shape.bounds
    room = largest_circle(shape)
    fits = size is None or size <= room + TOUCH_MM
    return ClosureFit(kind, on, meets, (x1 - x0, y1 - y0), room, size, fits)


def largest_circle(shape: BaseGeometry) -> float:
    """Diameter in mm of the largest circle inside a shape, to within TOUCH_MM.

    A circle of radius r fits as long as the shape pushed inward by r is not empty.
    """
    x0, y0, x1, y1 = shape.bounds
    fits, fails = 0.0, min(x1 - x0, y1 - y0) / 2 + TOUCH_MM
    while fails - fits > TOUCH_MM / 4:
        middle = (fits + fails) / 2
        if shape.buffer(-middle).is_empty:
            fails = middle
        else:
            fits = middle
    return fits * 2


def _judge(closure: Closure, fit: ClosureFit, found: list[Problem]) -> None:
    place = closure.meets.place if closure.meets else closure.on.place
    if fit.room == 0.0:
        found.append(
            Problem(
                "closure-never-meets",
                f'"{fit.on}" and "{fit.meets}" do not lie flat on each other once folded: '
                f"the {closure.kind} between them holds nothing",
                place,
                "name the two panels that overlap when the piece is shut, or make one longer",
            )
        )
    elif not fit.fits and fit.size is not None:
        wide, tall = fit.overlap
        found.append(
            Problem(
                "closure-too-big",
                f'"{fit.on}" and "{fit.meets}" overlap by {wide:.1f} x {tall:.1f} mm: too little '
                f"for a closure of {fit.size:.1f} mm",
                closure.size.place if closure.size else place,
                f"take one of at most {fit.room:.1f} mm, or make a panel "
                f"{fit.size - fit.room:.1f} mm longer",
            )
        )

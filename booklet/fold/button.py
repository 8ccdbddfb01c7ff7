"""Buttons: does each have room on the outside of its panel, where its closure leaves it free?

In: a piece in its final pose and the closures of the project. Out: nothing; a problem where a
button is larger than its room. The panel that a closure sits on is taken to lie on top.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from shapely.geometry.base import BaseGeometry

from booklet.flat.pattern import Pattern
from booklet.flat.reference import find_panel
from booklet.fold.closure import largest_circle
from booklet.fold.join import landing, reach
from booklet.fold.pose import Posed
from booklet.measure.resolve import Scope
from booklet.measure.tolerance import TOUCH_MM
from booklet.problem import Problem, Written
from booklet.read.closure import Closure

LEAST_MM = 5.0
"""Diameter in mm of the smallest button that string is wound round, where the file gives no size;
common practice, no source."""


def check_buttons(
    posed: Posed,
    closures: Sequence[Closure],
    patterns: Sequence[Pattern],
    scope: Scope,
    found: list[Problem],
) -> None:
    """Report each button on a panel of this piece that has no room there."""
    for closure in closures:
        if closure.kind != "button":
            continue
        silent: list[Problem] = []  # a wrong size is reported by the stage that owns it
        given = None if closure.size is None else scope.facts.length(closure.size, silent)
        size = LEAST_MM if given is None else float(given)
        for written, panel, free in _places(posed, closure, patterns):
            room = largest_circle(free)
            if size > room + TOUCH_MM:
                found.append(_too_large(closure, written, panel, size, room))


def _places(
    posed: Posed, closure: Closure, patterns: Sequence[Pattern]
) -> Iterator[tuple[Written[str], str, BaseGeometry]]:
    """Each panel of this piece that gets a button, and what stays free of it in its own flat."""
    unheard: list[Problem] = []  # unknown names have their own report
    on = find_panel(closure.on, patterns, unheard)
    meets = None if closure.meets is None else find_panel(closure.meets, patterns, unheard)
    home = posed.pattern.id
    if on is not None and on[0] == home:
        yield closure.on, on[1], posed.panels[on[1]].shape
    if closure.meets is None or meets is None or meets[0] != home or meets == on:
        return
    free: BaseGeometry = posed.panels[meets[1]].shape
    if on is not None and on[0] == home:
        land = landing(posed, on[1], meets[1])
        if land.parallel and land.gap <= reach(posed):
            free = free.difference(land.shape)
    yield closure.meets, meets[1], free


def _too_large(
    closure: Closure, written: Written[str], panel: str, size: float, room: float
) -> Problem:
    return Problem(
        "button-no-room",
        f'"{panel}" has {room:.1f} mm free for a button of {size:.1f} mm',
        written.place if closure.size is None else closure.size.place,
        "take a smaller button, make the panel larger, or let the panel that lies on it end sooner",
    )

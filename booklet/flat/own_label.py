"""Own labels: panels of one piece that share a label are told apart by where they lie.

In: a pattern. Out: for each panel the words that mean it alone: its label, with its place as the
reader sees the flat piece, or with a number where places do not tell all of them apart.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from booklet.flat.pattern import Panel, Pattern
from booklet.measure.tolerance import HAND_MM

SIDES = ("left", "right", "top", "bottom")


def own_labels(pattern: Pattern, turned: bool = False) -> dict[str, str]:
    """The words for each panel by its name; `turned` over sideways, left and right are swapped.

    A number does not depend on the side that one sees.
    """
    groups: dict[str, list[Panel]] = {}
    for panel in pattern.panels:
        groups.setdefault(panel.label.casefold(), []).append(panel)
    found: dict[str, str] = {}
    for panels in groups.values():
        if len(panels) == 1:
            found[panels[0].name] = panels[0].label
            continue
        places = _places(panels, turned)
        if len(set(places.values())) == len(panels):
            found |= {panel.name: f"{places[panel.name]} {panel.label}" for panel in panels}
        else:
            order = enumerate(_in_order(panels), 1)
            found |= {panel.name: f"{panel.label} {number}" for number, panel in order}
    return found


def sides(panels: Sequence[Panel], turned: bool = False) -> Mapping[str, frozenset[str]]:
    """The names of the panels that lie to each side of the middle of them all."""
    middles = {panel.name: panel.shape.centroid for panel in panels}
    way = -1.0 if turned else 1.0
    xs = {name: middle.x * way for name, middle in middles.items()}
    ys = {name: middle.y for name, middle in middles.items()}
    across, up = _half(xs), _half(ys)
    return {
        "left": frozenset(name for name, x in xs.items() if x < across - HAND_MM),
        "right": frozenset(name for name, x in xs.items() if x > across + HAND_MM),
        "top": frozenset(name for name, y in ys.items() if y > up + HAND_MM),
        "bottom": frozenset(name for name, y in ys.items() if y < up - HAND_MM),
    }


def _half(values: Mapping[str, float]) -> float:
    return (min(values.values()) + max(values.values())) / 2


def _places(panels: Sequence[Panel], turned: bool) -> dict[str, str]:
    """ "left", "top right", "middle" ...: the shortest that means one panel."""
    there = sides(panels, turned)
    found: dict[str, str] = {}
    for panel in panels:
        own = [side for side in SIDES if panel.name in there[side]]
        alone = [side for side in own if len(there[side]) == 1]
        upright = [side for side in own if side in ("top", "bottom")]
        across = [side for side in own if side in ("left", "right")]
        found[panel.name] = alone[0] if alone else " ".join(upright + across) or "middle"
    return found


def _in_order(panels: Sequence[Panel]) -> list[Panel]:
    """As one reads where they lie in one line, else clockwise from the top."""
    middles = {panel.name: panel.shape.centroid for panel in panels}
    xs = {name: middle.x for name, middle in middles.items()}
    ys = {name: middle.y for name, middle in middles.items()}
    x, y = _half(xs), _half(ys)
    in_line = min(_spread(xs), _spread(ys)) <= HAND_MM

    def rank(panel: Panel) -> tuple[float, float]:
        dx, dy = xs[panel.name] - x, ys[panel.name] - y
        if in_line:
            return -round(dy / HAND_MM), dx
        # What lies straight above comes first, whatever the noise of floats.
        angle = math.degrees(math.atan2(dx, dy))
        return round(angle % 360, 3) % 360, math.hypot(dx, dy)

    return sorted(panels, key=rank)


def _spread(values: Mapping[str, float]) -> float:
    return max(values.values()) - min(values.values())

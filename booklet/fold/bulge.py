"""How far panels are bent while not all of their flaps are folded.

In: a posed piece and the angle of each panel. Out: the angle for which each flap's panel is bent.
A panel bends as its flaps are folded; but what a join has closed to a ring bends all round and
at once, as its two sides have to stay equally wide.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from booklet.flat.pattern import Hinge, Pattern
from booklet.fold.crease import bent_groups
from booklet.fold.pose import Floats, Ints, Posed
from booklet.measure.tolerance import ANGLE_DEG


@dataclass(frozen=True, eq=False)
class Held:
    """A ring of panels that a join closes, by index.

    Once the `straight` ones are folded it is closed; its `curved` ones then bend together.
    """

    straight: Ints
    curved: Ints


def curved_hinges(pattern: Pattern) -> Mapping[str, Hinge]:
    """The panels that hang on another one by a curved score."""
    return {h.panel: h for h in pattern.hinges if pattern.scores[h.score].curve is not None}


def held_rings(posed: Posed) -> tuple[Held, ...]:
    """The rings that joins within the piece close, as far as curved scores lie on them."""
    pattern, bones = posed.pattern, posed.bones
    curved = curved_hinges(pattern)
    found: list[Held] = []
    for join in pattern.joins:
        if join.tab[0] != pattern.id or join.to[0] != pattern.id:
            continue
        ways = [set(bones.way_up(bones.index[name])) for name in (join.tab[1], join.to[1])]
        apart = ways[0] ^ ways[1]
        fork = max(ways[0] & ways[1], key=lambda i: len(bones.way_up(i)))
        ring = {bones.names[i] for i in apart | {fork}}
        bending = [
            bones.index[crease.hinge.panel]
            for group in bent_groups(posed)
            if any({c.hinge.panel, c.hinge.parent} & ring for c in group.creases)
            for crease in group.creases
        ]
        if bending:
            straight = [i for i in sorted(apart) if bones.names[i] not in curved]
            found.append(Held(np.array(straight, dtype=np.intp), np.array(bending, dtype=np.intp)))
    return tuple(found)


def closed_rings(posed: Posed, rings: Sequence[Held], angles: Floats) -> list[Held]:
    """Those of the rings whose straight folds are made."""
    left = np.abs(posed.bones.targets - angles)
    return [ring for ring in rings if left[ring.straight].max(initial=0.0) <= ANGLE_DEG]


def bulge_of(posed: Posed, angles: Floats, closed: Sequence[Held]) -> Floats:
    """How far panels are bent (degrees, by the flap that asks for it) at these angles."""
    result = np.zeros(len(angles))
    curved = [posed.bones.index[name] for name in curved_hinges(posed.pattern)]
    result[curved] = angles[curved]
    for ring in closed:
        if np.abs(angles[ring.curved]).max() > ANGLE_DEG:
            result[ring.curved] = posed.bones.targets[ring.curved]
    return result

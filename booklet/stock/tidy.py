"""Among plans with equally few sheets, the one that is easiest to cut.

In: the layouts that a plan may choose from. Out: fewer different layouts, then fewer settings of
the fence, then larger leftovers. None of this changes how many sheets are needed, and none of it is
proved: the work is bounded, and what is found is kept.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

from booklet.stock.blank import Blank
from booklet.stock.frame import frame_of
from booklet.stock.limited import Filling, arrangements
from booklet.stock.master import Counts, plainest
from booklet.stock.outer import bounds_of
from booklet.stock.part import Part, cuttable, spots, without
from booklet.stock.trimmer import fences
from booklet.stock.work import Work

LAYOUT = 100
"""What one more layout costs in settings of the fence."""


def fewer_layouts(
    w: int,
    h: int,
    pool: dict[Counts, Part],
    plan: Sequence[int],
    demand: Sequence[int],
    limits: Work,
    strip: int,
) -> list[int]:
    """Sheets of each layout of the pool: as many in all as in `plan`, fewer layouts if possible."""
    used = [index for index, sheets in enumerate(plan) if sheets]
    if len(used) <= 1:
        return list(plan)
    rows = list(pool)
    # The layouts in use first, then those that hold the most of what is wanted.
    others = sorted(
        (index for index in range(len(rows)) if not plan[index]),
        key=lambda index: (-sum(rows[index]), index),
    )
    some = [*used, *others][: min(limits.choices, limits.numbers // len(demand))]
    if len(some) <= len(used):
        return list(plan)
    parts = list(pool.values())
    costs = [LAYOUT + len(fences(parts[index], w, h, strip)) for index in some]
    found = plainest([rows[index] for index in some], costs, demand, sum(plan), limits.plain_nodes)
    if found is None or _cost(found, costs) >= _cost([plan[index] for index in some], costs):
        return list(plan)
    better = [0] * len(rows)
    for index, sheets in zip(some, found, strict=True):
        better[index] = sheets
    return better


def _cost(plan: Sequence[int], costs: Sequence[int]) -> int:
    return sum(cost for sheets, cost in zip(plan, costs, strict=True) if sheets)


def less_surplus(
    layouts: Sequence[tuple[int, Part]], demand: Sequence[int], w: int, h: int, strip: int
) -> list[tuple[int, Part]]:
    """The layouts without blanks that nobody wants on any sheet of theirs, most sheets first."""
    spare = [-count for count in demand]
    for sheets, part in layouts:
        for kind, count in part.counts.items():
            spare[kind] += sheets * count
    kept = []
    for sheets, part in sorted(layouts, key=lambda one: one[0]):
        drop = Counter({k: min(n, spare[k] // sheets) for k, n in part.counts.items()})
        less = without(part, Counter(drop), strip)
        if less is not None and not cuttable(less, w, h, strip):
            kept.append((sheets, part))
            continue
        for kind, count in drop.items():
            spare[kind] -= sheets * count
        if less is not None:
            kept.append((sheets, less))
    return kept[::-1]


def rearranged(
    w: int, h: int, blanks: Sequence[Blank], parts: Sequence[Part], limits: Work, strip: int
) -> list[Part]:
    """The same blanks on each sheet with fewer settings of the fence, or a larger leftover.

    As many layouts as the work allows, the first ones first; the others stay as they are.
    """
    left = limits.tidied
    found = []
    for part in parts:
        if left > 0 and sum(part.counts.values()) <= limits.rearranged:
            part, spent = _rearranged(w, h, blanks, part, limits, strip)
            left -= spent
        found.append(part)
    return found


def _rearranged(
    w: int, h: int, blanks: Sequence[Blank], part: Part, limits: Work, strip: int
) -> tuple[Part, int]:
    """One layout, and the steps that it took."""
    counts = part.counts
    kinds = sorted(counts)
    few = [Blank(blanks[k].w, blanks[k].h, blanks[k].turns, counts[k]) for k in kinds]
    areas = [blank.w * blank.h for blank in few]
    total = sum(area * blank.copies for area, blank in zip(areas, few, strict=True))
    frame = frame_of(w, h, few, limits.sums, strip)
    bounds = bounds_of(frame, few, areas)
    asked = Filling(w, h, few, areas, bounds)
    found, spent = arrangements(asked, limits.arranged_pairs, total - 1)
    named = [renamed(one, kinds) for one in found]

    def worth(one: Part) -> tuple[int, int]:
        left = (s.w * s.h for s in spots(one, 0, 0, w, h, strip) if s.kind < 0)
        return len(fences(one, w, h, strip)), -max(left, default=0)

    return min([part, *named], key=worth), frame.effort + spent


def renamed(part: Part, kinds: Sequence[int]) -> Part:
    """The part with the kinds of the whole list instead of those of a part of it."""
    if part.kind >= 0:
        return replace(part, kind=kinds[part.kind])
    return replace(part, parts=tuple(renamed(child, kinds) for child in part.parts))

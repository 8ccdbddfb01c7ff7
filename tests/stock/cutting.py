"""Replaying a plan: what any cutting plan must keep, checked without the planner's own code."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from booklet.stock.plan_value import Layout, StockPlan

Box = tuple[Fraction, Fraction, Fraction, Fraction]


def separable(boxes: Sequence[Box]) -> bool:
    """Whether edge-to-edge cuts alone can part the boxes (x0, y0, x1, y1) from each other."""
    if len(boxes) <= 1:
        return True
    for low, high in ((0, 2), (1, 3)):
        ordered = sorted(boxes, key=lambda box: box[low])
        reach = ordered[0][high]
        for index, box in enumerate(ordered[1:], start=1):
            if box[low] >= reach:
                return separable(ordered[:index]) and separable(ordered[index:])
            reach = max(reach, box[high])
    return False


def boxes_of(layout: Layout) -> list[Box]:
    """The placements as (x0, y0, x1, y1)."""
    return [(p.x, p.y, p.x + p.w, p.y + p.h) for p in layout.placements]


def check_layout(layout: Layout, sheet: tuple[Fraction, Fraction]) -> None:
    """Inside the sheet, free of overlap, parted by edge-to-edge cuts, with nothing lost."""
    boxes = boxes_of(layout) + [(p.x, p.y, p.x + p.w, p.y + p.h) for p in layout.leftovers]
    for box in boxes:
        assert box[0] >= 0 and box[1] >= 0 and box[2] <= sheet[0] and box[3] <= sheet[1]
        assert box[0] < box[2] and box[1] < box[3]
    for index, one in enumerate(boxes):
        for other in boxes[index + 1 :]:
            apart_x = one[2] <= other[0] or other[2] <= one[0]
            assert apart_x or one[3] <= other[1] or other[3] <= one[1]
    assert separable(boxes_of(layout))


def check_plan(plan: StockPlan, sizes: dict[str, tuple[Fraction, Fraction]]) -> None:
    """Every layout holds, the demand is met, blanks have their size, the bound is below."""
    got = dict.fromkeys(plan.wanted, 0)
    for layout in plan.layouts:
        assert layout.sheets > 0
        check_layout(layout, plan.sheet)
        for placed in layout.placements:
            wide, tall = sizes[placed.piece]
            assert (placed.w, placed.h) == ((tall, wide) if placed.turned else (wide, tall))
            got[placed.piece] += layout.sheets
        replay(layout, plan)
    for name, count in plan.wanted.items():
        assert name in plan.unplaced or got[name] >= count
    assert plan.needed == sum(layout.sheets for layout in plan.layouts)
    assert plan.bound <= plan.needed
    assert plan.proved == (plan.bound == plan.needed) and plan.gap == plan.needed - plan.bound


def replay(layout: Layout, plan: StockPlan) -> None:
    """Make the cuts one by one, as at the trimmer: each blank comes out, at its size, so often."""
    stacks: dict[str, tuple[tuple[Fraction, Fraction], int]] = {"A": (plan.sheet, 1)}
    out: dict[str, int] = {}
    first: dict[str, list[tuple[Fraction, Fraction]]] = {}
    for number, cut in enumerate(layout.cuts, start=1):
        assert cut.number == number
        size, parts = stacks.pop(cut.stack)
        assert size == cut.size and parts == cut.parts
        along, other = size if cut.upright else (size[1], size[0])
        rest = along - cut.times * cut.fence
        assert rest > 0 and cut.fence > 0

        def side(length: Fraction, upright: bool, across: Fraction) -> tuple[Fraction, Fraction]:
            return (length, across) if upright else (across, length)

        yielded = (
            (cut.gives, side(cut.fence, cut.upright, other), parts * cut.times),
            (cut.rest, side(rest, cut.upright, other), parts),
        )
        for name, part, times in yielded:
            if name in plan.wanted:
                out[name] = out.get(name, 0) + times
                first.setdefault(name, []).append(part)
            elif name:
                known = stacks.get(name, (part, 0))
                assert known[0] == part
                stacks[name] = (part, known[1] + times)
    whole = [p for p in layout.placements if (p.w, p.h) == plan.sheet]
    assert not stacks or (stacks.keys() == {"A"} and whole)
    counts = layout.counts()
    assert whole or out == counts
    for name, parts_made in first.items():
        lying = {(p.w, p.h) for p in layout.placements if p.piece == name}
        assert set(parts_made) == lying

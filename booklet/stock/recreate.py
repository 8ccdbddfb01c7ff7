"""Plans made better blank by blank, also where narrow strips cannot be cut off.

In: a sheet and blanks in whole units. Out: the layouts of whole plans, and the steps they took.

Each blank goes into the leftover rectangle that fits it best, which one cut then splits in two
(guillotine best fit). Many orders, fits and ways to split are tried. Then, again and again, a few
sheets are emptied, the emptiest among them, and their blanks put back where they fit (ruin and
recreate: Schrimpf, Schneider, Stamm-Wilbrandt and Dueck, Journal of Computational Physics 159
(2000) 139-171, from memory). Chance is seeded: the same list has the same plan everywhere.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass, field

from booklet.stock.blank import Blank
from booklet.stock.part import Part, cuttable, row, single

LOOK = 1
"""Steps that one look at a leftover takes (see `Work.total`)."""

ORDERS = 4
"""Ways to order, each with every fit and every split."""

RULES = tuple((fit, cut) for fit in range(3) for cut in range(3))
"""Fits (least area, least short side, least long side) and splits (wide, tall, by the rest)."""


@dataclass
class _Node:
    """A rectangle: a leftover, a blank (`kind`), or two rectangles `at` and `at` + 1."""

    w: int
    h: int
    kind: int = -1
    turned: bool = False
    beside: bool = False
    at: int = -1


@dataclass
class _Sheet:
    """One sheet under way. Nodes are replaced, never changed, so that copies may share them."""

    nodes: list[_Node]
    free: list[int] = field(default_factory=lambda: [0])
    kinds: list[int] = field(default_factory=list)
    used: int = 0

    def copy(self) -> _Sheet:
        return _Sheet(list(self.nodes), list(self.free), list(self.kinds), self.used)

    def put(self, at: int, w: int, h: int, kind: int, turned: bool, upright: bool) -> None:
        """Cut a blank from the corner of a leftover, the longer cut upright or level."""
        self.free.remove(at)
        node = self.nodes[at]
        for beside in (upright, not upright):
            rest = node.w - w if beside else node.h - h
            if not rest:
                continue
            first = _Node(w, node.h) if beside else _Node(node.w, h)
            other = _Node(rest, node.h) if beside else _Node(node.w, rest)
            child = len(self.nodes)
            self.nodes[at] = _Node(node.w, node.h, beside=beside, at=child)
            self.nodes += [first, other]
            self.free.append(child + 1)
            at, node = child, first
        self.nodes[at] = _Node(w, h, kind, turned)
        self.kinds.append(kind)
        self.used += w * h

    def part(self, strip: int, at: int = 0) -> Part | None:
        """The tree of what lies on it."""
        node = self.nodes[at]
        if node.kind >= 0:
            return single(node.w, node.h, node.kind, node.turned, strip)
        if node.at < 0:
            return None
        found = [self.part(strip, node.at), self.part(strip, node.at + 1)]
        kept = [part for part in found if part is not None]
        return row(kept, node.beside, strip) if kept else None


@dataclass
class _Task:
    """The question, chance, and the steps that are left."""

    w: int
    h: int
    blanks: Sequence[Blank]
    strip: int
    steps: int
    spent: int = 0
    chance: random.Random = field(default_factory=lambda: random.Random(1))

    @property
    def over(self) -> bool:
        return self.spent > self.steps

    def fill(
        self, sheets: list[_Sheet], kinds: Sequence[int], rule: tuple[int, int]
    ) -> list[_Sheet] | None:
        """The sheets with those blanks too, on more sheets where they must; None: out of steps."""
        sheets = [sheet.copy() for sheet in sheets]
        for kind in kinds:
            if self.over:
                return None
            if not self._place(sheets, kind, rule):
                sheets.append(_Sheet([_Node(self.w, self.h)]))
                if not self._place(sheets[-1:], kind, rule):
                    return None
        return sheets

    def _place(self, sheets: Sequence[_Sheet], kind: int, rule: tuple[int, int]) -> bool:
        """Put one blank where it fits best."""
        fit, strip = rule[0], self.strip
        best: tuple[int, int, _Sheet, int, int, int, bool] | None = None
        for sheet in sheets:
            self.spent += LOOK * len(sheet.free)
            for at in sheet.free:
                node = sheet.nodes[at]
                for w, h, turned in self.blanks[kind].ways():
                    right, above = node.w - w, node.h - h
                    if right < 0 or above < 0 or 0 < right < strip or 0 < above < strip:
                        continue
                    short, long = min(right, above), max(right, above)
                    score = (node.w * node.h, short, long)[fit]
                    if best is None or (score, long) < best[:2]:
                        best = (score, long, sheet, at, w, h, turned)
        if best is None:
            return False
        _, _, sheet, at, w, h, turned = best
        node = sheet.nodes[at]
        right, above = node.w - w, node.h - h
        # Either the larger leftover stays whole, or the cut runs always in one direction.
        upright = (right * node.h >= above * node.w, True, False)[rule[1]]
        sheet.put(at, w, h, kind, turned, upright)
        return True

    def order(self, kinds: Sequence[int], way: int) -> list[int]:
        """Large ones first, by area, by the longer side, by width or by height, with some noise."""
        chance = self.chance
        found = []
        for kind in kinds:
            w, h = self.blanks[kind].w, self.blanks[kind].h
            size = (w * h, max(w, h), h, w)[way % ORDERS]
            noise = chance.randrange(100) if way >= ORDERS else 0
            found.append((-size * (100 + noise), kind))
        return [kind for _, kind in sorted(found)]


def recreated_plans(
    w: int, h: int, blanks: Sequence[Blank], strip: int, bound: int, steps: int
) -> tuple[tuple[tuple[Part, ...], ...], int]:
    """Plans of fewer and fewer sheets, one part for each sheet, and the steps that they took.

    Ends where a plan meets the bound or the steps are spent. Nothing where a list is too long.
    """
    task = _Task(w, h, blanks, strip, steps)
    found: list[tuple[Part, ...]] = []
    if sum(blank.copies for blank in blanks) * LOOK > steps:
        return (), 0
    kinds = [kind for kind, blank in enumerate(blanks) for _ in range(blank.copies)]
    best: list[_Sheet] | None = None
    for way in range(ORDERS):
        for rule in RULES:
            made = task.fill([], task.order(kinds, way), rule)
            if made is not None and (best is None or _grade(made) < _grade(best)):
                best = made
    if best is None:
        return (), task.spent
    least = len(best)
    _keep(task, found, best)
    while len(best) > max(bound, 1) and not task.over:
        made = _again(task, best)
        if made is None:
            continue
        if _grade(made) <= _grade(best):
            best = made
        if len(best) < least:
            least = len(best)
            _keep(task, found, best)
    return tuple(found), task.spent


def _grade(sheets: Sequence[_Sheet]) -> tuple[int, int]:
    """Fewer sheets first, then the more uneven: an almost empty sheet is soon emptied."""
    return len(sheets), -sum(sheet.used**2 for sheet in sheets)


def _again(task: _Task, sheets: Sequence[_Sheet]) -> list[_Sheet] | None:
    """Empty a few sheets, often the emptiest, and put their blanks back in another order."""
    chance = task.chance
    task.spent += LOOK * len(sheets)
    order = list(range(len(sheets)))
    chance.shuffle(order)
    if chance.randrange(3):
        emptiest = min(order, key=lambda at: sheets[at].used)
        order.remove(emptiest)
        order.insert(0, emptiest)
    drop = set(order[: chance.randint(2, min(4, len(order)))] if len(order) > 2 else order)
    kept = [sheet for at, sheet in enumerate(sheets) if at not in drop]
    kinds = [kind for at in sorted(drop) for kind in sheets[at].kinds]
    way = ORDERS + chance.randrange(ORDERS)
    return task.fill(kept, task.order(kinds, way), RULES[chance.randrange(len(RULES))])


def _keep(task: _Task, found: list[tuple[Part, ...]], sheets: Sequence[_Sheet]) -> None:
    """Remember a plan whose every sheet can be cut."""
    parts = [part for sheet in sheets if (part := sheet.part(task.strip)) is not None]
    if all(
        part.w <= task.w and part.h <= task.h and cuttable(part, task.w, task.h, task.strip)
        for part in parts
    ):
        found.append(tuple(parts))

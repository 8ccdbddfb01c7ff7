"""A person at the trimmer who has the words of a cutting plan and nothing else.

In: the words as printed: layouts with their settings. Out: what lies on the table in the end. The
words are read with rules of their own, and nothing here imports the program.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field
from fractions import Fraction

Size = tuple[Fraction, Fraction]

UNITS = {"in": Fraction(254, 10), "mm": Fraction(1), "cm": Fraction(10)}
VULGAR = {"¼": "1/4", "½": "1/2", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
SMALL = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁄₀₁₂₃₄₅₆₇₈₉", "0123456789/0123456789")
SETTING = re.compile(
    r"(?P<turn>turn end for end, |turn, )?fence at (?P<fence>[^,:;()]+?)"
    r"(?: \([^)]*\))?[,:;]? (?:(?P<edge>[^,:()]+) edge against (?:it|the fence)[,:] )?"
    r"cut (?P<hand>\d+ sheets?|stack [A-Z]+ \(\d+\))(?:, (?P<times>\d+) times)?: (?P<gives>.*)",
    re.IGNORECASE,
)


def number(text: str) -> Fraction:
    """ "4⅞", "4 7/8", "12.5"."""
    for sign, plain in VULGAR.items():
        text = text.replace(sign, f" {plain}")
    text = re.sub(r"(?<=\d)(?=[⁰¹²³⁴⁵⁶⁷⁸⁹])", " ", text).translate(SMALL)
    return sum((Fraction(word) for word in text.split()), Fraction(0))


def length(text: str) -> Fraction:
    """ "about 4⅞ in" in mm."""
    words = text.replace("about ", "").rsplit(" ", 1)
    return number(words[0]) * UNITS[words[1]]


def size(text: str) -> Size:
    """ "4⅞ × 11 in" in mm."""
    wide, tall = text.split(" × ")
    unit = tall.rsplit(" ", 1)[1]
    return length(f"{wide} {unit}"), length(tall)


@dataclass
class Stack:
    """Equal parts, and the way in which they were cut last (True: their left edge at the fence)."""

    count: int
    size: Size
    way: bool | None


@dataclass
class Table:
    """What lies there: stacks to be cut, blanks by name and size, leftovers by size."""

    near: Fraction
    stacks: dict[str, Stack] = field(default_factory=dict)
    blanks: Counter[tuple[str, Size]] = field(default_factory=Counter)
    leftovers: Counter[Size] = field(default_factory=Counter)

    def same(self, one: Fraction, other: Fraction) -> bool:
        """As far as a printed measure tells."""
        return abs(one - other) <= self.near

    def cut(self, words: str, names: Sequence[str]) -> None:
        """Do what one setting says, or fail where the words leave a doubt."""
        found = SETTING.fullmatch(words)
        assert found, words
        letter = "A" if "sheet" in found["hand"] else found["hand"].split()[1]
        stack = self.stacks.pop(letter)
        assert int(re.findall(r"\d+", found["hand"])[-1]) == stack.count, words
        upright = self._way(stack, (found["turn"] or "").strip(" ,").lower(), found["edge"])
        along, across = stack.size if upright else stack.size[::-1]
        fence, times = length(found["fence"]), int(found["times"] or 1)
        rest = along - times * fence
        assert rest > 0, words
        cut_off = ((fence, across), stack.count * times)
        remains = ((rest, across), stack.count)
        outcome = split(found["gives"], names)
        if len(outcome) == 1:
            assert self.same(fence, rest), words
            self._lay(outcome[0], [cut_off, remains], upright)
        else:
            assert len(outcome) == 2, words
            self._lay(outcome[0], [cut_off], upright)
            self._lay(outcome[1].removeprefix("the rest is "), [remains], upright)

    def _way(self, stack: Stack, turn: str, edge: str | None) -> bool:
        """Whether the left edge lies at the fence; what is said twice must agree."""
        ways = {True, False}
        if edge is not None:
            at = length(edge)
            ways = {way for way in ways if self.same(at, stack.size[1 if way else 0])}
        if stack.way is not None:
            ways &= {stack.way != (turn == "turn")}
        elif len(ways) == 2:
            assert self.same(*stack.size), "which edge lies at the fence is not said"
            ways = self.first
        assert len(ways) == 1, (stack, turn, edge)
        return ways.pop()

    first: set[bool] = field(default_factory=lambda: {True})
    """Of a square sheet the picture shows how it is cut first."""

    def _lay(self, what: str, parts: list[tuple[Size, int]], upright: bool) -> None:
        """Put parts where the words say; the words' own count and size must be those in hand."""
        lying = [(one if upright else one[::-1], count) for one, count in parts]
        total = sum(count for _, count in lying)
        wide, tall = lying[0][0]
        if what.startswith("left over "):
            self._check(size(what.removeprefix("left over ")), (wide, tall), what)
            self.leftovers[wide, tall] += total
        elif found := re.fullmatch(r"stack ([A-Z]+): (\d+) of (.*)", what):
            assert int(found[2]) <= total, what
            self._check(size(found[3]), (wide, tall), what)
            known = self.stacks.get(found[1])
            if known is not None:
                self._check(known.size, (wide, tall), what)
            already = known.count if known else 0
            assert int(found[2]) == total, what
            self.stacks[found[1]] = Stack(already + total, (wide, tall), upright)
        else:
            count, name = what.split(" × ", 1)
            assert int(count) == total, what
            for one, some in lying:
                self.blanks[name, one] += some

    def _check(self, said: Size, found: Size, what: str) -> None:
        assert all(self.same(a, b) for a, b in zip(said, found, strict=True)), (what, found)


def split(gives: str, names: Sequence[str]) -> list[str]:
    """The two outcomes of a cut; a name may hold any words, so known names are left whole."""
    marked = gives
    for at, name in enumerate(names):
        marked = marked.replace(f" × {name}", f" × <{at}>")
    return [re.sub(r"<(\d+)>", lambda m: names[int(m[1])], one) for one in marked.split("; ")]


def cut_all(
    sheets: int,
    sheet: Size,
    settings: Sequence[str],
    names: Sequence[str],
    near: Fraction,
    first: bool,
) -> Table:
    """Cut every sheet of a layout; `first`: its first cut is upright in the picture."""
    table = Table(near, first={first})
    table.stacks["A"] = Stack(sheets, sheet, None)
    for words in settings:
        table.cut(words, names)
    return table

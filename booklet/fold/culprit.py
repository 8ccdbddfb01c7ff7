"""Which measure makes a folded piece wider, taller or deeper?

In: a piece as written, its pattern and a direction. Out: the name of the measure, in words, for
advice in problems.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from booklet.flat.pattern import Panel, Pattern
from booklet.fold.cavity import Cavity
from booklet.measure.bounds import FormulaError
from booklet.measure.formula import names, parse
from booklet.measure.resolve import Scope
from booklet.measure.tolerance import HAND_MM
from booklet.read.piece import Piece
from booklet.read.raw import Length

WORDS = ("wide", "tall", "deep")


def measure_behind(
    piece: Piece, pattern: Pattern, cavity: Cavity | None, axis: int, scope: Scope
) -> str:
    """The measure behind the piece's extent along x, y or z: `"deep"`, or `column 3`.

    Along x and y the root's own columns and rows make the room, in a pocket that is smaller those
    of the panel that is as large as the pocket; along z the widest column or row of a panel that
    stands on the root.
    """
    if piece.inside is not None:
        return _of_inside(piece.inside[axis], axis, scope)
    root = pattern.panel(pattern.root)
    if not piece.map:
        return f'the outline\'s {WORDS[axis]} side of panel "{root.name}"'
    x0, y0, x1, y1 = _pocketed(pattern, root, cavity, axis).box
    if axis == 0:
        return _named(_columns(pattern, piece, x0, x1), "column", scope)
    if axis == 1:
        return _named(_rows(pattern, piece, y0, y1), "row", scope)
    for hinge in pattern.hinges:
        if hinge.parent != pattern.root or not 45 <= abs(hinge.angle) <= 135:
            continue
        box = pattern.panel(hinge.panel).box
        if pattern.scores[hinge.score].upright:
            return _named(_columns(pattern, piece, box[0], box[2]), "column", scope)
        return _named(_rows(pattern, piece, box[1], box[3]), "row", scope)
    return f"the room in {WORDS[axis]}"


def _pocketed(pattern: Pattern, root: Panel, cavity: Cavity | None, axis: int) -> Panel:
    """The root, or the panel folded flat whose side along x or y is that of a smaller pocket."""
    if cavity is None or not cavity.pocket or axis == 2:
        return root
    room = cavity.inside[axis]
    if abs(float(root.size[axis]) - room) <= HAND_MM:
        return root
    flat = [pattern.panel(hinge.panel) for hinge in pattern.hinges if hinge.lies_flat]
    return next((one for one in flat if abs(float(one.size[axis]) - room) <= HAND_MM), root)


def _of_inside(length: Length, axis: int, scope: Scope) -> str:
    """What the maker of a form's piece wrote in `inside`: a measure, or the value itself."""
    named = _measure_in(length, scope)
    return named or f"the {('first', 'second', 'third')[axis]} value of inside"


Strip = tuple[int, Length, Fraction]


def _columns(pattern: Pattern, piece: Piece, low: Fraction, high: Fraction) -> list[Strip]:
    return _between(pattern.columns, piece.columns, low, high)


def _rows(pattern: Pattern, piece: Piece, low: Fraction, high: Fraction) -> list[Strip]:
    """Rows run from the top, y from the bottom."""
    whole = pattern.blank[1]
    return _between(pattern.rows, piece.rows, whole - high, whole - low)


def _between(
    sizes: Sequence[Fraction], written: Sequence[Length], low: Fraction, high: Fraction
) -> list[Strip]:
    strips: list[Strip] = []
    at = Fraction(0)
    for number, (size, length) in enumerate(zip(sizes, written, strict=False), 1):
        if low <= at and at + size <= high:
            strips.append((number, length, size))
        at += size
    return strips


def _named(strips: Sequence[Strip], kind: str, scope: Scope) -> str:
    """The first measure that the longest strip is written with, else the strip's own number."""
    if not strips:
        return f"the {kind}s of the root"
    number, length, _ = max(strips, key=lambda strip: strip[2])
    return _measure_in(length, scope) or f"{kind} {number}"


def _measure_in(length: Length, scope: Scope) -> str | None:
    """The first measure that a formula uses, in quotes."""
    if isinstance(length.value, str):
        try:
            used = [name.name for name in names(parse(length.value))]
        except FormulaError:
            used = []
        for name in used:
            if name in scope.measures:
                return f'"{name}"'
    return None

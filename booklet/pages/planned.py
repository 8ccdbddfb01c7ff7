"""A planned step: what one step of the booklet says and does.

In: nothing. Out: the frozen value `PlannedStep`, which wording makes and pictures read.
"""

from __future__ import annotations

from dataclasses import dataclass

from booklet.flat.reference import Reference
from booklet.read.photo import Photo


@dataclass(frozen=True)
class PlannedStep:
    """One step as printed; panels are (piece, panel), `fill` ids of contents.

    `nest` is the piece that goes into this one, `onto` this one where it is glued onto others;
    `crease` folds and opens again; `turned` says that the work lies outside up. `buttons` are
    panels that get one, on the outside as mats do.
    """

    title: str
    text: str
    piece: str
    fold: tuple[Reference, ...] = ()
    score: tuple[str, ...] = ()
    cut: tuple[str, ...] = ()
    join: tuple[Reference, ...] = ()
    attach: tuple[str, ...] = ()
    buttons: tuple[Reference, ...] = ()
    close: tuple[Reference, ...] = ()
    fill: tuple[str, ...] = ()
    nest: str = ""
    onto: str = ""
    turn: bool = False
    turned: bool = False
    crease: bool = False
    photo: Photo | None = None

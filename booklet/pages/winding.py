"""Winding in pictures: what a step puts round a shut piece, half on its way there.

In: a piece and a planned step. Out: what the picture shows of it, with arrows, a name and words.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from booklet.draw.arrow import FoldArrow, SlideArrow
from booklet.flat.reference import Reference
from booklet.fold.face import Loop
from booklet.fold.winding import Wrap
from booklet.pages.closing import closures, fastening_text
from booklet.pages.planned import PlannedStep
from booklet.pages.workpiece import Workpiece

NAMES: Final[Mapping[str, str]] = MappingProxyType(
    {"ribbon": "ribbon", "tie": "tie", "belly_band": "band", "button": "string"}
)
"""What goes round a piece is called so in a picture."""


@dataclass(frozen=True)
class Winding:
    """What goes round a piece in one picture: outlines in space, arrows, names by face."""

    loops: tuple[Loop, ...]
    arrows: tuple[FoldArrow | SlideArrow, ...]
    names: Mapping[str, str]
    words: str
    alt: str


def wound_panels(piece: Workpiece, step: PlannedStep) -> tuple[Reference, ...]:
    """The panels that a step keeps shut by what goes round the piece, where its way is known."""
    own = piece.pattern.id
    return tuple(
        (own, on) for on, wrap in piece.wraps.items() if wrap.going and (own, on) in step.close
    )


def winding(piece: Workpiece, step: PlannedStep, on_it: int = 0) -> Winding | None:
    """What a step puts round the shut piece, if it does; `on_it` outlines are round it already."""
    panels = wound_panels(piece, step)
    loops: list[Loop] = []
    arrows: list[FoldArrow | SlideArrow] = []
    names: dict[str, str] = {}
    words, told = [], []
    for kind, on, meets in closures(piece.model):
        if on not in panels or kind not in NAMES:
            continue
        wrap = piece.wraps[on[1]]
        names |= {f"wrap:{on_it + len(loops) + n}": NAMES[kind] for n in wrap.free[:1]}
        loops += wrap.going
        arrows += [FoldArrow(one.start, one.hinge, one.angle) for one in wrap.swings]
        arrows += [SlideArrow(*wrap.slide)] if wrap.slide is not None else []
        words.append(fastening_text(kind, on, piece.model, meets))
        told.append(_alt(NAMES[kind], wrap))
    if not loops:
        return None
    return Winding(tuple(loops), tuple(arrows), names, " ".join(words), " ".join(told))


def _alt(name: str, wrap: Wrap) -> str:
    """What is seen of it."""
    if wrap.slide is not None:
        return f"The {name} is half on; an arrow slides it along."
    ends = "its free end stands up and an arrow leads it"
    if len(wrap.swings) > 1:
        ends = "its two ends stand up and arrows lead them"
    return f"The {name} goes round; {ends} over the piece."

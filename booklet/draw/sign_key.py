"""The key of signs: what the marks in the pictures of steps ask for, each once with its words.

In: which signs are used, a width, and how the two sides of the paper look. Out: a drawing in print
mm whose samples are made of the same marks as the pictures.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from types import MappingProxyType
from typing import Literal, TypeAlias

from shapely.geometry import box

from booklet.draw.arrow import DrawnArrow, TurnOver, bowed_arrow, draw_arrow
from booklet.draw.hatch import hatch
from booklet.draw.label import CAP, LABEL
from booklet.draw.mark import Area, Drawing, Label, Mark, Stroke, move, scaled
from booklet.draw.skin import SKINS, Skin, shade
from booklet.draw.typeface import Faces
from booklet.flat.arcs import circle
from booklet.flat.path import polyline, rectangle, segment
from booklet.fold.view import FLAT

Sign: TypeAlias = Literal[
    "valley", "mountain", "crease", "turn", "glue", "meets", "before", "detail", "sides"
]

WORDS: Mapping[Sign, str] = MappingProxyType(
    {
        "valley": "fold toward you",
        "mountain": "fold away from you",
        "crease": "fold and open again",
        "turn": "turn the work over",
        "glue": "adhesive",
        "meets": "adhesive will lie here",
        "before": "where it was before",
        "detail": "shown larger",
        "sides": "inside, outside",
    }
)
"""What each sign says, in the order of the key."""

SAMPLE = 12.0
"""The room of a sample in mm, its words right of it."""
HIGH = 6.8
"""The height of a row of the key in mm;"""
BETWEEN = 1.0
"""between two rows there is so much more."""
GAP = 1.5
"""Between a sample and its words, mm."""
APART = 5.0
"""Between two signs, mm."""
LOOP = 0.62
"""The sign for turning over is drawn at this share of its size."""


def sign_key(
    signs: Collection[Sign], width: float, faces: Faces, looks: Mapping[str, Skin] = SKINS
) -> Drawing:
    """The samples with their words in rows of at most `width` mm, its lower left corner at 0, 0.

    An empty drawing where there are no signs.
    """
    used = [sign for sign in WORDS if sign in signs]
    wide = {sign: SAMPLE + GAP + faces.width(WORDS[sign], LABEL) for sign in used}
    rows: list[list[tuple[Sign, float]]] = []
    left = list(used)
    while left:
        row: list[tuple[Sign, float]] = []
        x = 0.0
        for sign in tuple(left):
            # A row is filled up with what comes later where that is shorter.
            if not row or x + wide[sign] <= width:
                row.append((sign, x))
                left.remove(sign)
                x += wide[sign] + APART
        rows.append(row)
    height = len(rows) * HIGH + max(0, len(rows) - 1) * BETWEEN
    marks: list[Mark] = []
    for number, row in enumerate(rows):
        middle = height - HIGH / 2 - number * (HIGH + BETWEEN)
        for sign, start in row:
            sample = Drawing(tuple(_sample(sign, looks)), (0.0, 0.0, SAMPLE, HIGH), "")
            marks += move(sample, start + SAMPLE / 2, middle).marks
            at = start + SAMPLE + GAP, middle - CAP / 2
            marks.append(Label(at, WORDS[sign], LABEL.name, "start"))
    told = "; ".join(WORDS[sign] for sign in used)
    box_ = (0.0, 0.0, width if used else 0.0, height)
    return Drawing(tuple(marks), box_, f"Key of the signs in the pictures: {told}.")


def _sample(sign: Sign, looks: Mapping[str, Skin]) -> list[Mark]:
    """The marks of a sign about its middle at 0, 0."""
    if sign in ("valley", "mountain", "crease"):
        return _fold(sign)
    if sign == "turn":
        loop = draw_arrow(TurnOver(), FLAT, 1.0, (0.0, 6.9, 0.0, 6.9))
        return list(scaled(Drawing(_marks(loop), (0.0, 0.0, 0.0, 0.0), ""), LOOP).marks)
    if sign in ("glue", "meets"):
        lines = hatch(box(-5, -2.4, 5, 2.4))
        return [Stroke(lines, "hatch" if sign == "glue" else "meets"), _edge(-5, 5)]
    if sign == "before":
        return [Stroke(polyline([(-4.5, -2.4), (-4.5, 2.4), (4.5, 2.4), (4.5, -2.4)]), "before")]
    if sign == "detail":
        return [
            Stroke(circle((-4.6, -1.6), 1.2), "medium"),
            Stroke(segment((-3.5, -1.1), (-0.7, 0.0)), "medium"),
            Stroke(circle((2.2, 0.6), 2.8), "medium"),
        ]
    inside, outside = (shade(looks[side], (0.0, 0.0, 1.0)) for side in ("inside", "outside"))
    return [
        Area(rectangle(-5.6, -2.4, 5.4, 4.8), inside),
        _edge(-5.6, -0.2),
        Area(rectangle(0.2, -2.4, 5.4, 4.8), outside),
        _edge(0.2, 5.6),
    ]


def _fold(sign: Sign) -> list[Mark]:
    """A score with the arrow across it."""
    line = "mountain" if sign == "mountain" else "valley"
    arrow = bowed_arrow(
        (-5.1, -1.6), (5.1, -1.6), "mountain" if sign == "mountain" else "valley", sign == "crease"
    )
    return [Stroke(segment((0.0, -3.4), (0.0, 3.4)), line), *_marks(arrow)]


def _marks(arrow: DrawnArrow | None) -> tuple[Mark, ...]:
    return () if arrow is None else arrow.marks


def _edge(left: float, right: float) -> Stroke:
    corners = [(left, -2.4), (right, -2.4), (right, 2.4), (left, 2.4)]
    return Stroke(polyline(corners, closed=True), "hair")

"""Line styles by name: how a stroke looks, in millimetres.

In: a style's name as written in a mark. Out: its width, dashes, grey and cap.

Only three widths are used: hairline, medium and heavy, each about double the one before, as
drawing standards ask of narrow and wide lines (2 : 1; Manual of Engineering Drawing, line table).
Valley is dashed and mountain dash-dot as in published folding notation (Yoshizawa-Randlett
system); a fold is narrow, a cut wide and solid. Dashes are about 12 widths long, long dashes 24
(ISO 128-20, from memory); gaps and dots are longer than the 3 and 0.5 widths given there, so that
they stay open on an ink-jet printer (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal, TypeAlias

HAIRLINE = 0.18
MEDIUM = 0.35
HEAVY = 0.7

Cap = Literal["butt", "round"]
ScoreStyle: TypeAlias = Literal["valley", "mountain"]
"""The styles of scores. Each has a heavy one beside it, for the picture in which it is made."""


@dataclass(frozen=True)
class LineStyle:
    """How a line is drawn: width and dashes (on, off, ...) in mm; grey from 0 black to 1 white.

    `accent` lines take the document's accent colour in place of their grey.
    """

    width_mm: float
    dash: tuple[float, ...] = ()
    grey: float = 0.0
    cap: Cap = "butt"
    accent: bool = False


LINE_STYLES: Mapping[str, LineStyle] = MappingProxyType(
    {
        "cut": LineStyle(MEDIUM),
        "valley": LineStyle(HAIRLINE, (2.2, 0.9)),
        "mountain": LineStyle(HAIRLINE, (4.3, 0.9, 0.5, 0.9)),
        "heavy_valley": LineStyle(HEAVY, (2.6, 1.2)),
        "heavy_mountain": LineStyle(HEAVY, (4.6, 1.2, 0.8, 1.2)),
        "outline": LineStyle(MEDIUM, cap="round"),
        "hair": LineStyle(HAIRLINE),
        "medium": LineStyle(MEDIUM),
        "heavy": LineStyle(HEAVY),
        "hatch": LineStyle(HAIRLINE, grey=0.25),
        "meets": LineStyle(HAIRLINE, (1.0, 0.8)),
        "dimension": LineStyle(HAIRLINE, grey=0.25),
        "arrow": LineStyle(MEDIUM, cap="round"),
        "ghost": LineStyle(HAIRLINE, (0.6, 0.9), grey=0.25),
        "before": LineStyle(HAIRLINE, (0.5, 0.9)),
        "accent": LineStyle(HEAVY, accent=True),
    }
)

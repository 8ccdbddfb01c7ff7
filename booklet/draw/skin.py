"""Skins: how the two sides of paper look in a picture, in colour and on a grey printer.

In: the side's skin and how it faces the light. Out: a paint "#rrggbb". Inside and outside keep to
bands of lightness that do not meet, whatever the stock's colour and the angle, so that grey
printing tells them apart: the brightest outside is darker than the darkest inside.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from booklet.draw.paint import greyed, paint
from booklet.fold.face import Point3, dot, unit


@dataclass(frozen=True)
class Skin:
    """Lightness (grey level 0 to 1) of a side full in the light and away from it, and its hue.

    `colour` "#rrggbb" gives the hue; None is neutral grey. `edge` is the line style of the side's
    edges before other paper; `dots` strews dots over it, as for patterned paper.
    """

    light: float
    dark: float
    colour: str | None = None
    edge: str = "outline"
    dots: bool = False


SKINS: Mapping[str, Skin] = MappingProxyType(
    {
        "inside": Skin(0.985, 0.88),
        "outside": Skin(0.80, 0.62),
        "mat": Skin(0.985, 0.88, edge="hair", dots=True),
        "dot": Skin(0.45, 0.40, edge="hair"),
        "ribbon": Skin(0.55, 0.42, edge="hair"),
        "contents": Skin(0.94, 0.84, edge="outline"),
    }
)

LIGHT: Point3 = unit((-0.5, 0.75, 0.55))
"""Toward the lamp, in picture axes (right, up, toward the reader): over the left shoulder."""


@functools.lru_cache(maxsize=1024)
def shade(skin: Skin, normal: Point3) -> str:
    """The paint of a side whose unit normal has these picture axes; z >= 0 as it is seen.

    The same few sides are seen again in each picture.
    """
    lit = max(0.0, dot(normal, LIGHT))
    level = skin.dark + (skin.light - skin.dark) * math.sqrt(lit)
    if skin.colour is None:
        return _hex((level, level, level))
    return _hex(_at_level(paint(skin.colour, skin.colour), level))


FLAT_OUTSIDE = 0.86
"""Grey level of the outside of flat work: below every inside, and light enough for what lies on it
and is drawn darker."""


def flat_outside(skins: Mapping[str, Skin]) -> str:
    """The paint of the outside in a picture of flat work that is turned over."""
    own = replace(skins["outside"], light=FLAT_OUTSIDE, dark=FLAT_OUTSIDE)
    return shade(own, (0.0, 0.0, 1.0))


def coloured(colour: str | None, skins: Mapping[str, Skin] = SKINS) -> Mapping[str, Skin]:
    """The skins with a stock's colour given to its inside and outside."""
    changed = {
        name: Skin(skin.light, skin.dark, colour, skin.edge, skin.dots)
        for name, skin in skins.items()
        if name in ("inside", "outside")
    }
    return MappingProxyType({**skins, **changed})


def _at_level(colour: tuple[float, float, float], level: float) -> tuple[float, float, float]:
    """The colour mixed with white or black until its grey is `level` (halving the interval)."""
    end = 1.0 if greyed(colour)[0] < level else 0.0
    low, high = 0.0, 1.0

    def mixed(share: float) -> tuple[float, float, float]:
        r, g, b = (c + (end - c) * share for c in colour)
        return r, g, b

    for _ in range(12):
        middle = (low + high) / 2
        if (greyed(mixed(middle))[0] < level) == (end == 1.0):
            low = middle
        else:
            high = middle
    return mixed((low + high) / 2)


def _hex(colour: tuple[float, float, float]) -> str:
    return "#" + "".join(f"{round(min(1.0, max(0.0, c)) * 255):02x}" for c in colour)

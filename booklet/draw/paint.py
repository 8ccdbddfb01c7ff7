"""Paints and greys: the colours that a drawing or a page may name.

In: a paint's name and the document's accent. Out: red, green and blue from 0 to 1. The greys are
far enough apart that a laser printer keeps them distinct, and none is lighter than 4 % ink, below
which tints vanish (common practice, no source).
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from types import MappingProxyType
from typing import TypeAlias

Rgb: TypeAlias = tuple[float, float, float]

GREYS: Mapping[str, float] = MappingProxyType(
    {
        "white": 1.0,
        "paper": 0.96,
        "shade1": 0.92,
        "panel": 0.90,
        "shade2": 0.83,
        "highlight": 0.77,
        "shade3": 0.72,
        "shade4": 0.58,
        "grey": 0.35,
        "ink": 0.0,
    }
)

_HEX = re.compile(r"#[0-9a-fA-F]{6}")


def paint(name: str, accent: str) -> Rgb:
    """The colour of a paint name, of "accent", or of "#rrggbb".

    Raises ValueError for any other name.
    """
    if name in GREYS:
        level = GREYS[name]
        return (level, level, level)
    colour = accent if name == "accent" else name
    if not _HEX.fullmatch(colour):
        raise ValueError(f"no paint is called {colour!r}")
    return (_channel(colour, 1), _channel(colour, 3), _channel(colour, 5))


def _channel(colour: str, at: int) -> float:
    return int(colour[at : at + 2], 16) / 255


def luminance(colour: Rgb) -> float:
    """Relative luminance, 0 black to 1 white (WCAG 2.2, "relative luminance")."""
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in colour)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(first: Rgb, second: Rgb) -> float:
    """Contrast ratio of two colours, 1 to 21 (WCAG 2.2, "contrast ratio")."""
    darker, lighter = sorted((luminance(first), luminance(second)))
    return (lighter + 0.05) / (darker + 0.05)


def greyed(colour: Rgb) -> Rgb:
    """The neutral grey of the same relative luminance (the formula of `luminance` turned round)."""
    light = luminance(colour)
    level = light * 12.92 if light <= 0.0031308 else 1.055 * light ** (1 / 2.4) - 0.055
    level = min(1.0, max(0.0, level))
    return (level, level, level)


READABLE = 4.5
"""Least contrast of text with its ground (WCAG 2.2, success criterion 1.4.3, level AA)."""


def readable(colour: Rgb) -> Rgb:
    """The colour, darkened in equal shares until it can be read on white paper."""
    white = (1.0, 1.0, 1.0)
    shares = (share / 64 for share in range(64, -1, -1))
    shown = (tuple(c * share for c in colour) for share in shares)
    return next((r, g, b) for r, g, b in shown if contrast((r, g, b), white) >= READABLE)

"""The colour profile that says which red, green and blue a PDF means: sRGB.

In: nothing. Out: the bytes of an ICC profile, version 4.2, of the kind "three-component
matrix-based display".

Sources: ICC.1:2004-10, clauses 7 to 10 (layout, from memory); IEC 61966-2-1 (sRGB: primaries,
white point and transfer curve, from memory). Tests compare with the profile that a general
colour library makes.
"""

from __future__ import annotations

import struct
from typing import Final

NAME: Final = "sRGB IEC61966-2-1"

D50: Final = (0.9642, 1.0, 0.8249)
# The primaries of sRGB seen under D50 (adapted by the linear Bradford transform).
RED: Final = (0.43607, 0.22249, 0.01392)
GREEN: Final = (0.38515, 0.71687, 0.09708)
BLUE: Final = (0.14307, 0.06061, 0.71410)
D65_TO_D50: Final = (
    *(1.04788, 0.02292, -0.05022),
    *(0.02959, 0.99048, -0.01707),
    *(-0.00925, 0.01508, 0.75168),
)
# Y = (aX + b)^g from d on, cX below it.
CURVE: Final = (2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045)


def srgb_profile() -> bytes:
    """The profile; always the same bytes."""
    curve = _curve()
    tags = [
        (b"desc", _words(NAME)),
        (b"cprt", _words("Public domain")),
        (b"wtpt", _colour(D50)),
        (b"chad", b"sf32\0\0\0\0" + b"".join(_fixed(value) for value in D65_TO_D50)),
        (b"rXYZ", _colour(RED)),
        (b"gXYZ", _colour(GREEN)),
        (b"bXYZ", _colour(BLUE)),
        (b"rTRC", curve),
        (b"gTRC", curve),
        (b"bTRC", curve),
    ]
    table = struct.pack(">I", len(tags))
    start = 128 + 4 + 12 * len(tags)
    data = b""
    places: dict[bytes, int] = {}
    for name, body in tags:
        if body not in places:
            places[body] = start + len(data)
            data += body + b"\0" * (-len(body) % 4)
        table += name + struct.pack(">II", places[body], len(body))
    return _header(start + len(data)) + table + data


def _header(size: int) -> bytes:
    """128 bytes; the date is that of the version of the format, so that it never changes."""
    date = struct.pack(">6H", 2004, 10, 1, 0, 0, 0)
    front = struct.pack(">I4sI", size, b"\0" * 4, 0x04200000) + b"mntrRGB XYZ " + date + b"acsp"
    rest = b"\0" * 28 + b"".join(_fixed(value) for value in D50)
    return (front + rest).ljust(128, b"\0")


def _fixed(value: float) -> bytes:
    """s15Fixed16Number."""
    return struct.pack(">i", round(value * 65536))


def _colour(xyz: tuple[float, float, float]) -> bytes:
    return b"XYZ \0\0\0\0" + b"".join(_fixed(value) for value in xyz)


def _curve() -> bytes:
    """parametricCurveType with function type 3."""
    return b"para\0\0\0\0" + struct.pack(">HH", 3, 0) + b"".join(_fixed(value) for value in CURVE)


def _words(text: str) -> bytes:
    """multiLocalizedUnicodeType with one record."""
    coded = text.encode("utf-16-be")
    return b"mluc\0\0\0\0" + struct.pack(">II2s2sII", 1, 12, b"en", b"US", len(coded), 28) + coded

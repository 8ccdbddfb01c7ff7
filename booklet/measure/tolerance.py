"""The five tolerances of the program: what each forgives, in which unit, and why.

In: nothing. Out: five named numbers; no other module holds a tolerance of its own.
"""

from __future__ import annotations

from typing import Final

SAME_MM: Final = 1e-6
"""Millimetres. The same length computed by two routes in floats differs by less: a metre has a
float step near 1e-13 mm, and a chain of a hundred rotations loses at most a few digits of that."""

TOUCH_MM: Final = 0.01
"""Millimetres. Panels that touch are not yet panels that run into each other: a tenth of the
thinnest paper (about 0.05 mm), and far above the noise of the transforms."""

HAND_MM: Final = 0.5
"""Millimetres. What scissors and a scoring board hold at best; a smaller gap in a join cannot be
seen on the finished piece. Common practice, no source."""

CURVE_MM: Final = 0.02
"""Millimetres. How far a chain of straight lines may leave the curve that it stands for: below
a third of a printed dot at 360 dots per inch (0.07 mm)."""

ANGLE_DEG: Final = 0.01
"""Degrees. Two directions that differ by less are one: over 100 mm they part by 0.017 mm, less
than a curve's own tolerance."""

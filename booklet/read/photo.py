"""Photos as they will be printed: pixels, the box that they fit, and how sharp that makes them.

In: a picture that was found good. Out: the frozen value `Photo`, its size in print, and a warning
for one that has too few pixels.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from booklet.problem import Place
from booklet.read.pictures import picture
from booklet.read.spot import Spot, shown
from booklet.read.table import Check

STEP_BOX: Final = (80.0, 60.0)
"""Width and height in mm that a step's photo is printed in at most."""
COVER_BOX: Final = (170.0, 125.0)
"""The same for the cover's."""
PRINT_PPI: Final = 300
"""Pixels an inch that a photo is scaled down to. Common practice, no source."""
LEAST_PPI: Final = 150
"""Pixels an inch below which a photo looks coarse at arm's length. Common practice, no source."""


@dataclass(frozen=True)
class Photo:
    """A picture file by its path from the project's folder; pixels as it is seen, turned upright.

    `alt` says what it shows; empty where the project does not.
    """

    file: str
    width: int
    height: int
    place: Place
    alt: str = ""

    def inside(self, folder: Path) -> Photo:
        """The photo with its way from where the program runs."""
        return replace(self, file=str(folder / self.file))

    def printed(self, box: tuple[float, float]) -> tuple[float, float]:
        """Width and height in mm at which it fills a box as far as its shape allows."""
        k = min(box[0] / self.width, box[1] / self.height)
        return self.width * k, self.height * k


def shown_as(photo: Photo | None, alt: str | None) -> Photo | None:
    """The photo with the words that the project has for it."""
    return replace(photo, alt=alt) if photo is not None and alt else photo


def photo(box: tuple[float, float]) -> Check[Photo]:
    """A check that takes a photo, and warns of one that is coarse in its box."""

    def check(spot: Spot, raw: object) -> Photo | None:
        found = picture(spot, raw)
        if found is None:
            return None
        file, (width, height) = found
        made = Photo(file.value, width, height, file.place)
        wide, high = made.printed(box)
        ppi = width / wide * 25.4
        if ppi < LEAST_PPI:
            least = " × ".join(f"{side / 25.4 * LEAST_PPI:.0f}" for side in (wide, high))
            spot.report(
                "photo-coarse",
                f"{shown(file.value)} has {width} × {height} pixels: printed {wide:.0f} mm wide "
                f"that is {ppi:.0f} an inch, and below {LEAST_PPI} it looks coarse",
                f"Take a picture of at least {least} pixels.",
            )
        return made

    return check

"""Drawings in pure black and white: every page rendered at one bit keeps its lines and its sides.

Rendered by pypdfium2 at 300 dots an inch and cut at half grey, with no screen: what a printer
without greys would leave. Line styles must still be told apart, and no line may vanish.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pypdfium2  # type: ignore[import-untyped]
import pytest
from numpy.typing import NDArray

from booklet.command.line import main
from tests.readback import Point, ReadStroke, read_pages

PROJECTS = Path(__file__).parents[2] / "projects"
DOTS_PER_MM = 300 / 25.4


@pytest.fixture(scope="module", params=["seed-box", "card-wallet"])
def made(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The booklet of a demo whose template is not cut into tiles: the reader sees no clips."""
    name: str = request.param
    folder = tmp_path_factory.mktemp("made")
    # Of the box one size is on tiles.
    one_size = ["--size", "regular"] if name == "seed-box" else []
    demo = str(PROJECTS / name / f"{name}.toml")
    assert main(["make", demo, *one_size, "--out", str(folder)]) == 0
    return next(folder.glob("*.pdf"))


def black(path: Path) -> Iterator[NDArray[np.bool_]]:
    """Each page as an array of rows from the top, True where it is black."""
    with pypdfium2.PdfDocument(path) as pdf:
        for page in pdf:
            picture = page.render(scale=300 / 72, grayscale=True).to_numpy()
            yield np.asarray(picture).reshape(picture.shape[:2]) < 128


def inked(page: NDArray[np.bool_], at: Point) -> bool:
    """Whether a dot at or next to the place (mm, y up) is black."""
    column = int(at[0] * DOTS_PER_MM)
    row = page.shape[0] - 1 - int(at[1] * DOTS_PER_MM)
    return bool(page[max(0, row - 1) : row + 2, max(0, column - 1) : column + 2].any())


def share_inked(page: NDArray[np.bool_], start: Point, end: Point) -> float:
    """Share of the places along a straight line, 0.1 mm apart, that are black."""
    count = max(2, int(math.dist(start, end) / 0.1))
    steps = [k / count for k in range(count + 1)]
    places = [
        (start[0] + (end[0] - start[0]) * t, start[1] + (end[1] - start[1]) * t) for t in steps
    ]
    return sum(inked(page, at) for at in places) / len(places)


def drawn_share(stroke: ReadStroke) -> float:
    """Share of a stroke that its dashes draw."""
    return sum(stroke.dash[::2]) / sum(stroke.dash) if stroke.dash else 1.0


def test_lines_survive_and_dashes_stay_open(made: Path) -> None:
    """On templates solid lines stay whole; dashed lines keep their dashes and their gaps."""
    told = 0
    for bits, page in zip(black(made), read_pages(made), strict=True):
        if "100 %" not in page.text:
            # In pictures paper hides lines behind it, which the reader here does not see.
            continue
        for start, end, stroke in page.straight_lines():
            # Rules in grey or accent only part tables; hatching (grey) is cut off at its tab, which
            # the reader here does not see.
            if math.dist(start, end) < 12 or stroke.colour != (0.0,):
                continue
            seen = share_inked(bits, start, end)
            assert seen >= 0.8 * drawn_share(stroke), (start, end, stroke.dash)
            if stroke.dash and len(stroke.points) == 2:
                told += 1
                assert seen <= 0.99, (start, end, stroke.dash)
    assert told >= 4


def test_no_line_of_a_drawing_is_paler_than_half_grey(made: Path) -> None:
    """Paler lines would vanish; only the rules of the page may be pale or in the accent."""
    for page in read_pages(made):
        for stroke in page.strokes:
            if len(stroke.colour) == 1:
                assert stroke.colour[0] <= 0.5

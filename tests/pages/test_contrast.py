"""Every text is told from its ground: contrast of 4.5 to 1 or more, whatever colours are named.

Source: WCAG 2.2, success criterion 1.4.3 (level AA), and its definitions of contrast ratio and
relative luminance.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from shapely.geometry import Point, Polygon
from shapely.geometry.base import BaseGeometry

from booklet.draw.mark import Area, Clip, Drawing, Label, Mark
from booklet.draw.paint import Rgb, contrast, paint
from booklet.draw.typeface import load_faces
from booklet.flat.flatten import points_of
from booklet.flat.path import Command
from booklet.flat.path import Path as Outline
from booklet.pages.grid import PAPERS
from booklet.pages.handout import handout
from booklet.pages.page import Line, Picture
from booklet.pages.type import STYLES
from booklet.pdf.canvas import text_colour
from booklet.stages import check_file

PROJECTS = sorted((Path(__file__).parents[2] / "projects").glob("*/*.toml"))
LEAST = 4.5
COLOURS = ("#101418", "#7a7a7a", "#fdf6b2")
RECOLOURED = ("card-wallet", "tea-carton")
"""One with mats and one with photos; what else a booklet holds is drawn alike in each colour."""


def subpaths(path: Outline) -> Iterator[Outline]:
    """The parts of a path, each with one move."""
    part: list[Command] = []
    for command in path.commands:
        if command[0] == "M" and part:
            yield Outline(tuple(part))
            part = []
        part.append(command)
    if part:
        yield Outline(tuple(part))


def grounds(drawing: Drawing, accent: str) -> Iterator[tuple[Label, Rgb]]:
    """Each label with the colour of the last area below its first point."""
    laid: list[tuple[BaseGeometry, Rgb]] = []

    def walk(marks: tuple[Mark, ...]) -> Iterator[tuple[Label, Rgb]]:
        for mark in marks:
            if isinstance(mark, Area):
                shape: BaseGeometry = Polygon()
                for part in subpaths(mark.path):
                    points = points_of(part)
                    if len(points) > 2:
                        shape = shape.symmetric_difference(Polygon(points).buffer(0))
                laid.append((shape, paint(mark.fill, accent)))
            elif isinstance(mark, Clip):
                yield from walk(mark.marks)
            elif isinstance(mark, Label):
                at = Point(mark.at)
                under = [colour for shape, colour in laid if shape.covers(at)]
                yield mark, under[-1] if under else (1.0, 1.0, 1.0)

    yield from walk(drawing.marks)


@pytest.mark.parametrize(
    ("path", "colour"),
    [
        *((path, None) for path in PROJECTS),
        *((path, colour) for path in PROJECTS if path.stem in RECOLOURED for colour in COLOURS),
    ],
    ids=lambda value: value.stem if isinstance(value, Path) else value,
)
def test_every_text_can_be_told_from_its_ground(
    path: Path, colour: str | None, tmp_path: Path
) -> None:
    """Lines on the page and labels in drawings, also with dark, middle and pale colours."""
    text = path.read_text("utf-8")
    if colour is not None:
        lines = text.splitlines()
        keys = ("colour", "accent")
        lines = [
            f'{line.split("=")[0]}= "{colour}"' if line.split("=")[0].strip() in keys else line
            for line in lines
        ]
        text = "\n".join(lines)
    (tmp_path / path.name).write_text(text, "utf-8")
    model, _ = check_file(tmp_path / path.name)
    assert model is not None
    document = handout(model, PAPERS["letter"], load_faces())
    poor = []
    for page in document.pages:
        for element in page.elements:
            for ink in element.inks:
                if isinstance(ink, Line):
                    shown = text_colour(ink.style, ink.colour, document.accent)
                    if contrast(shown, (1.0, 1.0, 1.0)) < LEAST:
                        poor.append((ink.text, shown))
                elif isinstance(ink, Picture):
                    for label, ground in grounds(ink.drawing, document.accent):
                        grey = STYLES[label.style].grey
                        if contrast((grey, grey, grey), ground) < LEAST:
                            poor.append((label.text, ground))
    assert poor == []

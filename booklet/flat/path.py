"""Paths: the one value for an outline in the plane.

In: points in millimetres, x right, y up. Out: a frozen `Path` of move, line, cubic curve and
close commands, which geometry, drawings, PDF and tests read alike. A path does not know where or
how it is drawn. Circle arcs are made in `arcs.py`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Literal, TypeAlias

Point: TypeAlias = tuple[float, float]
MoveTo: TypeAlias = tuple[Literal["M"], Point]
LineTo: TypeAlias = tuple[Literal["L"], Point]
CurveTo: TypeAlias = tuple[Literal["C"], Point, Point, Point]
Close: TypeAlias = tuple[Literal["Z"]]
Command: TypeAlias = MoveTo | LineTo | CurveTo | Close


@dataclass(frozen=True)
class Path:
    """An outline of commands; the first is always a move ("M")."""

    commands: tuple[Command, ...]


def polyline(points: Iterable[Point], closed: bool = False) -> Path:
    """The straight path through `points` (mm); closed back to the first where asked."""
    commands: list[Command] = []
    for point in points:
        commands.append(("L", point) if commands else ("M", point))
    if closed and commands:
        commands.append(("Z",))
    return Path(tuple(commands))


def segment(start: Point, end: Point) -> Path:
    """The straight path from `start` to `end` (mm)."""
    return Path((("M", start), ("L", end)))


def rectangle(x: float, y: float, width: float, height: float) -> Path:
    """A closed rectangle with its lower left corner at (x, y), counter-clockwise (mm)."""
    return polyline(((x, y), (x + width, y), (x + width, y + height), (x, y + height)), closed=True)


def joined(paths: Iterable[Path]) -> Path:
    """One path with the subpaths of all `paths`, in order; an inner one is a hole (even-odd)."""
    return Path(tuple(command for path in paths for command in path.commands))


def mapped(path: Path, to: Callable[[Point], Point]) -> Path:
    """The path with every point, control points included, sent through `to` (an affine map)."""
    commands: list[Command] = []
    for command in path.commands:
        if command[0] == "M":
            commands.append(("M", to(command[1])))
        elif command[0] == "L":
            commands.append(("L", to(command[1])))
        elif command[0] == "C":
            commands.append(("C", to(command[1]), to(command[2]), to(command[3])))
        else:
            commands.append(command)
    return Path(tuple(commands))

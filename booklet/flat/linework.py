"""Every line once: what is scored and what is cut, from the edges of all panels.

In: panels. Out: paths to cut (outline, slits, cutouts), each line drawn once and chained where
lines
meet. A slit between two panels stands on both their borders and is kept once.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from booklet.flat.path import Command, Path, Point, segment
from booklet.flat.pattern import Panel
from booklet.measure.tolerance import SAME_MM

Key = tuple[int, int]


def _key(point: Point) -> Key:
    return round(point[0] * 1e4), round(point[1] * 1e4)


def split_commands(path: Path) -> list[Path]:
    """A path as single lines and curves, each with its own start."""
    parts: list[Path] = []
    here: Point | None = None
    for command in path.commands:
        if command[0] == "M":
            here = command[1]
        elif command[0] == "L" and here is not None:
            parts.append(Path((("M", here), command)))
            here = command[1]
        elif command[0] == "C" and here is not None:
            parts.append(Path((("M", here), command)))
            here = command[3]
    return parts


def ends(path: Path) -> tuple[Point, Point]:
    """First and last point of an open path."""
    last = path.commands[-1]
    return path.commands[0][1], last[3] if last[0] == "C" else last[1]  # type: ignore[misc]


def _straight(part: Path) -> bool:
    return part.commands[-1][0] == "L"


def _covered(part: Path, others: list[tuple[Point, Point]]) -> list[Path]:
    """What is left of a line when stretches already drawn are taken out."""
    start, end = ends(part)
    size = math.dist(start, end)
    ux, uy = (end[0] - start[0]) / size, (end[1] - start[1]) / size
    spans = [(0.0, size)]
    for other in others:
        ahead = [((p[0] - start[0]) * ux + (p[1] - start[1]) * uy) for p in other]
        aside = [abs((p[0] - start[0]) * uy - (p[1] - start[1]) * ux) for p in other]
        if max(aside) > SAME_MM:
            continue
        lo, hi = min(ahead), max(ahead)
        spans = [
            piece
            for s, e in spans
            for piece in ((s, min(e, lo)), (max(s, hi), e))
            if piece[1] - piece[0] > SAME_MM
        ]
    if spans == [(0.0, size)]:
        return [part]

    def at(share: float) -> Point:
        return start[0] + ux * share, start[1] + uy * share

    return [segment(at(s), at(e)) for s, e in spans]


def _curve_key(part: Path) -> frozenset[Key]:
    """The same for a curve walked either way."""
    return frozenset(_key(point) for command in part.commands for point in command[1:])


def cut_parts(panels: Iterable[Panel]) -> tuple[list[Path], list[Path]]:
    """Single lines to cut: (outline and cutouts, slits between two panels), none of them twice."""
    outer: list[Path] = []
    slits: list[Path] = []
    drawn: list[tuple[Point, Point]] = []
    curves: set[frozenset[Key]] = set()
    for panel in panels:
        for edge in panel.edges:
            if edge.kind == "score":
                continue
            for part in split_commands(edge.path):
                if edge.kind == "outer":
                    outer.append(part)
                    continue
                if not _straight(part):
                    if _curve_key(part) not in curves:
                        curves.add(_curve_key(part))
                        slits.append(part)
                    continue
                for rest in _covered(part, drawn):
                    slits.append(rest)
                    drawn.append(ends(rest))
    return outer, slits


def chained(parts: list[Path]) -> tuple[Path, ...]:
    """Lines and curves joined end to end into the longest chains; closed where they close."""
    at: dict[Key, list[int]] = {}
    for index, part in enumerate(parts):
        for point in ends(part):
            at.setdefault(_key(point), []).append(index)
    used: set[int] = set()
    chains: list[Path] = []
    starts = sorted(range(len(parts)), key=lambda i: len(at[_key(ends(parts[i])[0])]) == 2)
    for first in starts:
        if first not in used:
            chains.append(_chain(first, parts, at, used))
    return tuple(chains)


def _chain(first: int, parts: list[Path], at: dict[Key, list[int]], used: set[int]) -> Path:
    used.add(first)
    commands: list[Command] = list(parts[first].commands)
    origin = _key(ends(parts[first])[0])
    here = ends(parts[first])[1]
    while _key(here) != origin:
        following = [i for i in at[_key(here)] if i not in used]
        if len(following) != 1:
            break
        part = parts[following[0]]
        used.add(following[0])
        if _key(ends(part)[0]) != _key(here):
            part = backward(part)
        commands.append(part.commands[1])
        here = ends(part)[1]
    if _key(here) == origin:
        commands.append(("Z",))
    return Path(tuple(commands))


def backward(part: Path) -> Path:
    """A single line or curve, walked the other way."""
    start, end = ends(part)
    last = part.commands[1]
    if last[0] == "C":
        return Path((("M", end), ("C", last[2], last[1], start)))
    return segment(end, start)

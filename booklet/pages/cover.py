"""The cover: title, picture, size, time and level.

In: a model and the stage with its pictures. Out: one page.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from booklet.draw.diagram import finished_flat
from booklet.draw.typeface import Faces
from booklet.pages import type as scale
from booklet.pages.across import MANY_SIZES, size_name
from booklet.pages.class_overview import day
from booklet.pages.display import displayed
from booklet.pages.flow import Composer, evened, leading, wrap
from booklet.pages.grid import Paper
from booklet.pages.page import Page, Photo, Picture, Role, Rule
from booklet.pages.shot import Stage
from booklet.read.course import Course
from booklet.read.photo import COVER_BOX
from booklet.stages import Model

LEAST_PICTURE = 30.0
"""Millimetres left below a long title; with less, a cover has no picture."""
TITLE_SHARE = 0.22
"""A title that takes more of the height in large type is set smaller: the picture matters more."""
SUMMARY = 8
"""Lines of the summary on the cover; the next page has the whole of it."""
BETWEEN = 4.0
"""Millimetres between two facts at the foot."""
WIDE_FACTS = ("Blank", "Largest blank", "Sizes")
WIDE, NARROW = 1.45, 0.85
"""What those facts and the others take of an equal share of the line."""


def cover(
    model: Model,
    stage: Stage,
    paper: Paper,
    faces: Faces,
    *,
    handed: bool = False,
    purpose: str = "",
) -> list[Page]:
    """The cover page; where it is `handed` out in a class it says in which.

    `purpose` are words on what the edition is for, where the page itself does not show it.
    """
    project = model.project.project
    sheet = Composer(paper, faces, "Cover")
    rule = Rule(paper.left, paper.top, paper.left + 36, paper.top, "accent", "accent")
    sheet.add(Role("decoration"), rule)
    sheet.y -= 5
    lines = wrap(project.title, scale.COVER, paper.measure, faces)
    most = TITLE_SHARE * (paper.top - paper.bottom)
    style = scale.COVER if len(lines) * leading(scale.COVER) <= most else scale.TITLE
    sheet.words(project.title, style, Role("title", 1))
    sheet.skip(0.4)
    sheet.words(project.designer, scale.LEAD, Role("paragraph"), colour="grey")
    style = scale.LEAD if paper.columns > 1 else scale.SMALL
    if purpose:
        sheet.words(purpose, style, Role("paragraph"), colour="grey")
    if handed and model.project.course is not None:
        sheet.words(class_line(model.project.course), style, Role("paragraph"), colour="grey")
    foot = _facts(model, paper, faces, sheet)
    summary = evened(project.summary, scale.LEAD, paper.measure, faces)
    if len(summary) > SUMMARY:
        summary = [*summary[: SUMMARY - 1], summary[SUMMARY - 1] + " …"]
    top = foot + leading(scale.LEAD) * len(summary)
    sheet.add(Role("paragraph"), *sheet.set(summary, scale.LEAD, paper.left, top))
    if sheet.y - top > LEAST_PICTURE:
        picture_between(model, stage, paper, sheet, top + 8, sheet.y - 8)
    return sheet.pages()


def class_line(course: Course) -> str:
    """Title, day and teacher of a class on one line, as far as they are known."""
    teacher = f"with {course.teacher}" if course.teacher else ""
    return ", ".join(part for part in (course.title, day(course), teacher) if part)


def _facts(model: Model, paper: Paper, faces: Faces, sheet: Composer) -> float:
    """The row of facts at the foot; returns the height above it that is free."""
    project = model.project.project
    facts = [("Pieces", str(sum(pattern.count for pattern in model.patterns)))]
    if model.others:
        facts = [("Sizes", _size_names(model)), *facts]
    elif model.patterns:
        largest = max((p.blank for p in model.patterns), key=lambda blank: blank[0] * blank[1])
        name = "Blank" if len(model.patterns) == 1 else "Largest blank"
        facts = [(name, model.printer.size(largest)), *facts]
    if model.size is not None and not model.others:
        facts = [("Size", model.size.name), *facts]
    if project.minutes:
        facts.append(("Time", f"{project.minutes} minutes"))
    if project.level:
        facts.append(("Level", project.level))
    top = paper.bottom + 13
    sheet.add(Role("decoration"), Rule(paper.left, top + 2, paper.right, top + 2, "hair", "grey"))
    x = paper.left
    for (name, value), room in zip(facts, _rooms(facts, paper, faces), strict=True):
        lines = sheet.set([name], scale.SMALL, x, top, "grey")
        words = wrap(value, scale.TEXT, room, faces)
        lines += sheet.set(words, scale.TEXT, x, top - 4.4)
        sheet.add(Role("paragraph"), *lines)
        x += room + BETWEEN
    return top + 9


def _rooms(facts: Sequence[tuple[str, str]], paper: Paper, faces: Faces) -> list[float]:
    """The width of each fact: none breaks a word while others have room to give."""
    width = paper.measure / max(4, len(facts))
    rooms = [width * (WIDE if name in WIDE_FACTS else NARROW) - BETWEEN for name, _ in facts]
    least = [
        max([faces.width(name, scale.SMALL), *(faces.width(w, scale.TEXT) for w in value.split())])
        for name, value in facts
    ]
    lacking = sum(max(0.0, need - room) for need, room in zip(least, rooms, strict=True))
    spare = sum(max(0.0, room - need) for need, room in zip(least, rooms, strict=True))
    if not lacking or lacking > spare:
        return rooms
    return [
        need if need > room else room - (room - need) * lacking / spare
        for need, room in zip(least, rooms, strict=True)
    ]


def _size_names(model: Model) -> str:
    """All sizes by name, or the first and the last where they are many."""
    names = [size_name(one) for one in model.sizes]
    return ", ".join(names) if len(names) <= MANY_SIZES else f"{len(names)}, from {names[0]}"


def picture_between(
    model: Model,
    stage: Stage,
    paper: Paper,
    sheet: Composer,
    bottom: float,
    top: float,
) -> None:
    """The finished project between two heights of the page: the project's photo, or drawn."""
    shot = model.project.look.cover
    if shot is not None:
        room = min(paper.measure, COVER_BOX[0]), min(top - bottom, COVER_BOX[1])
        w, h = shot.printed(room)
        alt = shot.alt or f"Photo: {model.project.project.title}."
        x, y = paper.left, bottom + (top - bottom - h) / 2
        file = shot.inside(model.project.folder).file
        sheet.add(Role("figure", alt=alt), Photo(x, y, w, h, Path(file)))
        return
    if not model.patterns:
        return
    if stage.finished:
        _solids(stage, paper, sheet, bottom, top)
        return
    pattern = max(model.patterns, key=lambda p: p.blank[0] * p.blank[1])
    width, height = (float(side) for side in pattern.blank)
    k = min(paper.measure / width, (top - bottom) / height, 1.0)
    stocks = {stock.id.value: stock for stock in model.project.stocks}
    colours = {
        mat.id: stocks[mat.stock].colour or "shade1" for mat in model.mats if mat.stock in stocks
    }
    stock = stocks.get(pattern.stock or "")
    fill = stock.colour if stock and stock.colour else "panel"
    mats = [mat for mat in model.mats if mat.piece == pattern.id]
    alt = f"{pattern.name}, drawn flat with its mats."
    drawing = finished_flat(pattern, mats, k, fill, alt, colours)
    x = paper.left + (paper.measure - width * k) / 2
    y = bottom + (top - bottom - height * k) / 2
    sheet.add(Role("figure", alt=alt), Picture(x, y, drawing))


def _solids(stage: Stage, paper: Paper, sheet: Composer, bottom: float, top: float) -> None:
    """The finished pieces closed, and one open with its contents, on one scale."""
    for shown in displayed(stage.shown, (paper.measure, top - bottom), sheet.faces):
        picture = Picture(paper.left + shown.x, bottom + shown.y, shown.drawing)
        sheet.add(Role("figure", alt=shown.drawing.alt), picture)

"""Step pages: four to a page, one diagram and a few words each, all diagrams on one scale.

In: a model and its planned steps. Out: pages.
"""

from __future__ import annotations

from collections.abc import Sequence

from booklet.draw.diagram import Highlight, step_diagram
from booklet.draw.mark import Drawing
from booklet.draw.typeface import Faces
from booklet.pages import type as scale
from booklet.pages.flow import Composer, leading, wrap
from booklet.pages.grid import Paper
from booklet.pages.page import Line, Page, Picture, Role
from booklet.pages.wording import PlannedStep, has_cutting, labels
from booklet.stages import Model


def step_pages(
    model: Model, steps: Sequence[PlannedStep], paper: Paper, faces: Faces
) -> list[Page]:
    """All steps, two by two."""
    sheet = Composer(paper, faces, "Steps")
    sheet.title("Step by step")
    _, width = paper.column(0, 2)
    words = [_lines(step, width, faces) for step in steps]
    text_height = max((leading(scale.TEXT) * len(lines) for lines in words), default=0.0) + 15
    room = sheet.y - paper.bottom
    rows = (len(steps) + 1) // 2
    # An odd row more would stand alone on the last page: three rows fit where words are few.
    three = rows % 2 == 1 and rows > 1 and room / 3 >= text_height + 40
    cell = max(text_height + 55.0, room / 2) if not three else room / 3
    picture = cell - text_height - 6
    k = _scale(model, width, picture)
    for index in range(0, len(steps), 2):
        if index:
            sheet.need(cell - 1.0)
        for place in (0, 1):
            if index + place < len(steps):
                number = index + place + 1
                x, _ = paper.column(place, 2)
                step = steps[index + place]
                drawing = _diagram(model, steps[: number - 1], step, k, faces)
                _cell(sheet, number, step, words[index + place], drawing, x, width, picture)
        sheet.y -= cell
    return sheet.pages()


def _lines(step: PlannedStep, width: float, faces: Faces) -> list[str]:
    return wrap(step.text, scale.TEXT, width - 11, faces)


def _scale(model: Model, width: float, height: float) -> float:
    """One scale for every diagram: the largest piece fills its cell."""
    sizes = [tuple(float(side) for side in pattern.blank) for pattern in model.patterns]
    if not sizes:
        return 1.0
    return min(1.0, *(min(width / w, height / h) for w, h in sizes))


def _diagram(
    model: Model, before: Sequence[PlannedStep], step: PlannedStep, k: float, faces: Faces
) -> Drawing | None:
    pattern = next((p for p in model.patterns if p.id == step.piece), None)
    if pattern is None:
        return None
    tabs = {join.tab: join.to for p in model.patterns for join in p.joins}
    here = [name for piece, name in step.join if piece == pattern.id]
    joined = {name: tabs.get((pattern.id, name), ("", ""))[1] for name in here}
    show = Highlight(
        fold=tuple(name for piece, name in step.fold if piece == pattern.id),
        join=joined,
        mats=tuple(m for m in model.mats if m.id in step.attach and m.piece == pattern.id),
        close=tuple(name for piece, name in step.close if piece == pattern.id),
        score=bool(step.score),
        cut=bool(step.cut),
        back=bool(step.attach),
        plain=not any(earlier.score for earlier in before) and not step.score,
    )
    cut_before = any(earlier.cut for earlier in before) or not has_cutting(pattern)
    scored = any(earlier.score for earlier in before)
    known = cut_before or (scored and not step.score and not step.cut)
    return step_diagram(pattern, k, show, known, faces, _alt(model, step))


def _alt(model: Model, step: PlannedStep) -> str:
    parts = [f"{step.title}."]
    if step.fold:
        parts.append(f"Arrows show how to fold the {labels(model, step.fold)}.")
    if step.join:
        parts.append(f"Hatching shows where the {labels(model, step.join)} take adhesive.")
    if step.attach:
        parts.append("The outside is up, and the mats lie in place.")
    return " ".join(parts)


def _cell(
    sheet: Composer,
    number: int,
    step: PlannedStep,
    lines: Sequence[str],
    drawing: Drawing | None,
    x: float,
    width: float,
    height: float,
) -> None:
    top = sheet.y
    if drawing is not None:
        w, h = drawing.box[2], drawing.box[3]
        left = x + (width - w) / 2
        bottom = top - height + (height - h) / 2
        sheet.add(Role("figure", alt=drawing.alt), Picture(left, bottom, drawing))
    y = top - height - 3
    number_line = Line(x, y - 6.6, str(number), scale.NUMBER, "start", "accent")
    heading = sheet.set([step.title], scale.HEADING, x + 11, y - 1)
    sheet.add(Role("heading", 2), number_line, *heading)
    body = sheet.set(lines, scale.TEXT, x + 11, y - 9)
    sheet.add(Role("paragraph"), *body)

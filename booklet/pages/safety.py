"""The cautions, and the last page.

In: a model and a composer. Out: the composer's pages with the cautions that this project calls
for; licence, version and notes.
"""

from __future__ import annotations

from booklet.draw.typeface import Faces
from booklet.fold.bent_collide import is_swept
from booklet.fold.prove import contents_of
from booklet.pages import type as scale
from booklet.pages.caution import cautions
from booklet.pages.flow import Composer, leading, wrap
from booklet.pages.grid import BASELINE, Paper
from booklet.pages.page import Page, Role, Rule
from booklet.stages import Model

TAB = 26.0
DEFER = (
    "Makers' instructions, local rules and the advice of licensed practice come before anything "
    "printed here."
)


ROOM = 92.0
"""What the last page's words and some lines for notes need, in mm."""
LEAST = 80.0
"""The room in mm in which cautions that fill more than a page may begin below another section."""
HEAD = 34.0
"""What title and first words of the cautions take, in mm."""

LONG = {"in": "inches", "mm": "millimetres", "cm": "centimetres"}


def safety(model: Model, sheet: Composer) -> None:
    """The cautions, the worst first; on one page where they fit one."""
    paper = sheet.paper
    x = paper.left + TAB
    told = []
    for caution in cautions(model.project):
        words = " ".join((*caution.sentences, caution.defer))
        text = wrap(words, scale.TEXT, paper.right - x, sheet.faces)
        told.append((caution, text, leading(scale.STRONG) + leading(scale.TEXT) * len(text) + 2.5))
    whole = HEAD + sum(height for _, _, height in told)
    # Begun below another section, they would leave a word of caution alone on the next page.
    sheet.begin("Safety", whole if whole <= paper.top - paper.bottom else LEAST)
    sheet.title("Before you start: safety")
    sheet.words(DEFER, scale.LEAD)
    sheet.skip(0.8)
    for number, (caution, text, height) in enumerate(told):
        # The last one takes the one before it along: it would stand alone on a page.
        with_last = told[-1][2] if 0 < number == len(told) - 2 else 0.0
        sheet.need(min(height + with_last, paper.top - paper.bottom))
        head = sheet.set([caution.signal], scale.SMALL_STRONG, paper.left, sheet.y - 0.6)
        head += sheet.set([caution.title], scale.STRONG, x, sheet.y)
        sheet.add(Role("heading", 2), *head)
        y = sheet.y - leading(scale.STRONG)
        sheet.add(Role("paragraph"), *sheet.set(text, scale.TEXT, x, y))
        sheet.y -= height


def about(model: Model, sheet: Composer) -> None:
    """The end: licence, version, how the template was checked, and room for notes."""
    project = model.project.project
    sheet.begin("About and notes", ROOM)
    sheet.title("About this booklet")
    facts = [("Design", project.designer), ("Version", project.version)]
    facts.append(("Licence", project.licence))
    for name, value in facts:
        if value:
            sheet.words(f"{name}: {value}")
    sheet.skip(0.6)
    sheet.heading("How the template was checked")
    sheet.words(
        "Template, score chart, steps and lists come from one description of the project. Before "
        "it was printed, every score was compared with the marks of the ruler "
        f"({model.printer.first(model.scope.ruler)}) and every blank with its sheet. "
        f"{folding_words(model)}A printer can still change the size: measure the scale check."
    )
    if model.scope.reround is not None:
        sheet.words(
            f"The project was written in {LONG[model.scope.facts.units]}. Here its measures are "
            "rounded to the marks of the ruler above, and everything was checked again with them."
        )
    sheet.skip(0.8)
    sheet.heading("Notes")
    _lines(sheet)


def folding_words(model: Model) -> str:
    """What folding by calculation has shown; nothing where nothing folds."""
    told = []
    if any(pattern.joins for pattern in model.patterns):
        told.append("tabs land on their panels")
    if any(pattern.hinges for pattern in model.patterns):
        gives = any(
            piece.order.gives or (piece.bent is not None and not is_swept(piece.bent))
            for piece in model.folded
        )
        where = " in the finished shape" if gives else ""
        told.append(f"folds do not run through each other{where}")
    if contents_of(model.folded):
        told.append("the contents fit")
    if not told:
        return ""
    listing = told[0] if len(told) == 1 else f"{', '.join(told[:-1])}, and {told[-1]}"
    return f"The piece was folded by calculation: {listing}. "


def notes_page(paper: Paper, faces: Faces) -> list[Page]:
    """A page of lines to write on."""
    sheet = Composer(paper, faces, "Notes")
    sheet.title("Notes")
    _lines(sheet)
    return sheet.pages()


def _lines(sheet: Composer) -> None:
    paper = sheet.paper
    y = sheet.y - 2 * BASELINE
    while y > paper.bottom:
        rule = Rule(paper.left, y, paper.right, y, "hair", "grey")
        sheet.add(Role("decoration"), rule)
        y -= 2 * BASELINE

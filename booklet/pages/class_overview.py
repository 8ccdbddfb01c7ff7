"""The first of the teacher's pages: the class at a glance, its time, and what lies on the tables.

In: a model and its class. Out: pages.
"""

from __future__ import annotations

from collections.abc import Sequence

from booklet.draw.typeface import Faces
from booklet.fold.touch import Side
from booklet.fold.trap import order_traps, tab_sides
from booklet.measure.amount import amount_text
from booklet.pages import type as scale
from booklet.pages.across import size_name
from booklet.pages.flow import Composer, wrap
from booklet.pages.grid import Paper
from booklet.pages.page import Page, Role, Rule
from booklet.pages.panel_words import capital, labels, the
from booklet.read.course import Course
from booklet.stages import Model
from booklet.stock.batch import batch_of
from booklet.stock.instruction import counted
from booklet.stock.prep import kit_of, tasks, total_minutes
from booklet.stock.supply import SupplyLine

MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip
MOST_MISTAKES = 10
"""Lines that a teacher still takes in."""
WELCOME = 10
CLEARING = 10
"""Minutes at the beginning and the end of a class; common practice, no source."""


def day(course: Course) -> str:
    """The day of the class in words: "6 March 2027"."""
    date = course.date
    return "" if date is None else f"{date.day} {MONTHS[date.month - 1]} {date.year}"


def overview(model: Model, course: Course, paper: Paper, faces: Faces) -> list[Page]:
    """Facts, timing, and what each maker and each table needs."""
    sheet = Composer(paper, faces, "For the teacher")
    sheet.title("For the teacher")
    sheet.words(
        "These pages are for whoever prepares and teaches the class: what to buy and what it "
        "costs, how to cut the sheets, what to have ready. Students get the booklet without them.",
        scale.LEAD,
    )
    sheet.skip()
    _facts(model, course, sheet)
    _timing(model, sheet)
    _tables(model, sheet)
    _mistakes(model, sheet)
    return sheet.pages()


def _mistakes(model: Model, sheet: Composer) -> None:
    """What goes wrong at the table, as far as the proofs of folding know it."""
    told = mistakes(model)[:MOST_MISTAKES]
    if told:
        sheet.skip()
        sheet.heading("What goes wrong")
        sheet.words("Look over shoulders for these; a glued mistake rarely comes apart.")
        for line in told:
            sheet.tick(line, group="mistakes")


def mistakes(model: Model) -> list[str]:
    """Tabs on the wrong side of their panel, and steps out of turn, in words."""
    told: list[str] = []
    for piece in model.folded:
        sides: dict[tuple[str, Side], list[str]] = {}
        for tab, to, side in tab_sides(piece):
            sides.setdefault((to, side), []).append(tab)
        for (to, side), tabs in sides.items():
            one, panel = (
                the(labels(model, [(piece.piece, n) for n in names])) for names in (tabs, [to])
            )
            goes = "go" if len(tabs) > 1 else "goes"
            right, wrong = ("inside", "outside") if side == "front" else ("outside", "inside")
            told.append(f"{capital(one)} {goes} on the {right} of {panel}, not on its {wrong}.")
        for swap in order_traps(piece):
            first, then = (
                the(labels(model, [(piece.piece, name) for name in names]))
                for names in (swap.first, swap.then)
            )
            told.append(f"Fold {first} before {then}; the other way round they collide.")
    return told


def _facts(model: Model, course: Course, sheet: Composer) -> None:
    batch = batch_of(course)
    facts = [
        ("Class", course.title or ""),
        ("Project", ", ".join(filter(None, (model.project.project.title, size_name(model))))),
        ("Day", day(course)),
    ]
    facts += [("Teacher", course.teacher or ""), ("Students", str(course.students))]
    if course.spare:
        facts.append(("Kits to cut", f"{batch.kits}, {course.spare} of them spare"))
    facts = [(name, value) for name, value in facts if value]
    paper = sheet.paper
    columns = 3
    for start in range(0, len(facts), columns):
        low = sheet.y
        for place, (name, value) in enumerate(facts[start : start + columns]):
            x, width = paper.column(place, columns)
            lines = sheet.set([name], scale.SMALL, x, sheet.y, "grey")
            words = wrap(value, scale.TEXT, width, sheet.faces)
            lines += sheet.set(words, scale.TEXT, x, sheet.y - 4.2)
            sheet.add(Role("paragraph"), *lines)
            low = min(low, sheet.y - 4.2 - 4.94 * len(words))
        sheet.y = low - 2.0
    sheet.add(Role("decoration"), Rule(paper.left, sheet.y, paper.right, sheet.y, "hair", "grey"))
    sheet.skip()


def _timing(model: Model, sheet: Composer) -> None:
    """Minutes before and during the class."""
    kit = kit_of(model.patterns, model.mats, model.supplies, model.printer)
    batch = batch_of(model.project.course)
    made = tasks(model.project, model.stock_plans, model.patterns, kit, batch)
    rows = [("Before: cut, score and bundle, as the prep sheet says", str(total_minutes(made)))]
    making = model.project.project.minutes
    if making:
        rows += [
            ("Welcome, safety and a look at the finished piece", str(WELCOME)),
            ("Making, step by step", str(making)),
            ("Clearing up", str(CLEARING)),
            ("In class together", str(WELCOME + making + CLEARING)),
        ]
    sheet.heading("Time")
    widths = (sheet.paper.measure - 30.0, 30.0)
    sheet.table(("", "Minutes, about"), rows, widths, right=(1,), name="time")
    sheet.skip()


def _tables(model: Model, sheet: Composer) -> None:
    shared = [line for line in model.supplies if line.share is not None]
    own = kit_of(model.patterns, model.mats, model.supplies, model.printer)
    sheet.heading("Each maker has")
    half = sheet.paper.measure - 60.0
    sheet.table(
        ("In the kit", "How much"), [(p.name, p.amount) for p in own], (half, 60.0), name="each"
    )
    sheet.skip()
    if shared:
        sheet.heading("The table shares")
        widths = (half, 30.0, 30.0)
        head = ("On the table", "One for", "In all")
        sheet.table(head, [_shared(line, model) for line in shared], widths, name="shared")


def _shared(line: SupplyLine, model: Model) -> Sequence[str]:
    batch = batch_of(model.project.course)
    groups = -(-batch.makers // (line.share or 1))
    if (line.kind == "tool" or line.grouped) and line.total is not None:
        amount = amount_text(line.total, line.unit, model.printer)
    else:
        amount = str(groups)
    return line.name, counted(line.share or 1, "maker"), amount

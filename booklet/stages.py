"""The way of a project through the stages, in their order.

In: the path of a project file. Out: a `Model` with the result of each stage, and every problem
found.
Pages and PDF are not loaded here: `check` needs none of them.
"""

from __future__ import annotations

import math
import pathlib
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

from booklet.flat.build import build_pattern
from booklet.flat.free import build_free
from booklet.flat.on_ruler import check_ruler
from booklet.flat.pattern import MatLayer, Pattern
from booklet.flat.reference import mat_layer, with_joins
from booklet.flat.step_names import check_steps
from booklet.flat.thin import check_thin
from booklet.fold.prove import Folded, prove, thickness_of
from booklet.limits import Limits
from booklet.measure.bounded import check_limits
from booklet.measure.form import expand_forms, without_pieces
from booklet.measure.resolve import Scope, resolve
from booklet.measure.rounding import Printer
from booklet.measure.sentence import fill
from booklet.problem import Place, Problem
from booklet.read.course import Course
from booklet.read.project import Project
from booklet.read.toml_file import read_project
from booklet.stock.batch import batch_of
from booklet.stock.cost import Cost, check_money, cost_of
from booklet.stock.cutting import plan_stocks
from booklet.stock.edges import NO_EDGES, Edges, edges_of
from booklet.stock.fit import Size, check_piece, check_size
from booklet.stock.plan_value import StockPlan
from booklet.stock.sheet import sheet_size
from booklet.stock.supply import SupplyLine, supply_list
from booklet.stock.weight import check_weight


@dataclass(frozen=True)
class Model:
    """What the stages made of one project. `sheets` are sheet sizes in mm by stock id."""

    project: Project
    scope: Scope
    patterns: tuple[Pattern, ...]
    mats: tuple[MatLayer, ...]
    sheets: dict[str, Size]
    supplies: tuple[SupplyLine, ...]
    folded: tuple[Folded, ...] = ()
    edges: Mapping[str, Edges] = field(default_factory=dict)

    @property
    def printer(self) -> Printer:
        """How this project's lengths are printed."""
        return Printer(self.scope.units, self.scope.ruler)

    @cached_property
    def stock_plans(self) -> tuple[StockPlan, ...]:
        """The cutting plan of each stock for the file's class; made when it is asked for."""
        return self.plan_for(batch_of(self.project.course).kits)

    @cached_property
    def cost(self) -> Cost:
        """What one project costs, and what the file's class has to buy."""
        batch = batch_of(self.project.course)
        return cost_of(self.project, self.stock_plans, self.supplies, batch)

    @property
    def names(self) -> dict[str, str]:
        """What pieces and mats are called in print, by id."""
        names = {pattern.id: pattern.name for pattern in self.patterns}
        return names | {mat.id: mat.name for mat in self.mats}

    def plan_for(self, kits: int) -> tuple[StockPlan, ...]:
        """The cutting plan of each stock for so many kits."""
        return plan_stocks(self.project, self.patterns, self.mats, self.sheets, kits, self.edges)


def check_file(
    path: pathlib.Path, students: int | None = None
) -> tuple[Model | None, list[Problem]]:
    """Run every stage that proves something; problems come sorted by their place in the file.

    `students` stands in for the number in the file's [class], or for a class that it lacks.
    """
    read: list[Problem] = []  # the reader has a bound of its own
    found: list[Problem] = []
    project = read_project(path, read)
    if project is not None and students is not None:
        project = with_students(project, students)
    model = None if project is None else _build(project, found)
    proved = summed_up(sorted(set_of(found), key=_order))
    return model, sorted(set_of([*read, *proved]), key=_order)


def with_students(project: Project, students: int) -> Project:
    """The project with a class of so many; spare kits, fee and names stay as the file has them."""
    course = project.course or Course(students=students, place=project.project.place)
    return replace(project, course=replace(course, students=students))


def set_of(found: Sequence[Problem]) -> list[Problem]:
    """The problems without repeats (a measure used twice is reported once)."""
    return list(dict.fromkeys(found))


def summed_up(problems: Sequence[Problem], limits: Limits | None = None) -> list[Problem]:
    """At most `limits.same` problems of one code; the last of them counts those left out."""
    most = (limits or Limits()).same
    total = Counter(problem.code for problem in problems)
    seen: Counter[str] = Counter()
    shown: list[Problem] = []
    for problem in problems:
        code = problem.code
        seen[code] += 1
        if total[code] <= most or seen[code] < most:
            shown.append(problem)
        elif seen[code] == most:
            shown.append(_and_more([other for other in problems if other.code == code][most - 1 :]))
    return shown


def _and_more(rest: Sequence[Problem]) -> Problem:
    lines = [problem.place.line for problem in rest if problem.place is not None]
    where = f", on lines {min(lines)} to {max(lines)}" if lines else ""
    first = rest[0]
    return Problem(
        first.code,
        f"and {len(rest)} more like those before{where}; the first: {first.message}",
        first.place,
        "mend those before and check again: many may have one cause",
    )


def _order(problem: Problem) -> tuple[bool, int, int]:
    if problem.place is None:
        return (False, 0, 0)
    return (True, problem.place.line, problem.place.column)


def _build(project: Project, found: list[Problem]) -> Model:
    project = expand_forms(project, found)
    scope = resolve(project, found)
    if not check_limits(project, scope, found):
        # What goes beyond its limits makes no sense flat or folded: one reason is enough.
        project = without_pieces(project)
    printer = Printer(scope.units, scope.ruler)
    patterns = _patterns(project, scope, found)
    layers = [mat_layer(mat, patterns, scope, found) for mat in project.mats]
    mats = tuple(layer for layer in layers if layer is not None)
    sheets = _sheets(project, scope, found)
    edges = edges_of(project, scope, found)
    rooms = {name: edges.get(name, NO_EDGES).room(sheet) for name, sheet in sheets.items()}
    _check_fit(project, patterns, mats, rooms, printer, found)
    _check_tiles(patterns, printer, found)
    check_steps(project, patterns, found)
    for step in project.steps:
        if step.say is not None:
            fill(step.say.value, scope, printer, found, step.say.place)
    complete = len(patterns) == len(project.pieces)
    folded = prove(patterns, project, scope, found) if complete else ()
    check_money(project, found)
    batch = batch_of(project.course)
    supplies = supply_list(project, patterns, mats, scope, found, batch, folded)
    _not_used_yet(project, found)
    return Model(project, scope, patterns, mats, sheets, tuple(supplies), folded, edges)


def _patterns(project: Project, scope: Scope, found: list[Problem]) -> tuple[Pattern, ...]:
    built: list[Pattern] = []
    for piece in project.pieces:
        build = build_pattern if piece.map else build_free
        pattern = build(piece, scope, found)
        if pattern is not None:
            check_ruler(pattern, piece, scope, found)
            check_thin(pattern, thickness_of(pattern, project, scope), found)
            built.append(pattern)
    drawn = [piece for piece in project.pieces if any(p.id == piece.id.value for p in built)]
    if len(drawn) < len(project.pieces):
        return tuple(built)
    return with_joins(built, drawn, found)


def _sheets(project: Project, scope: Scope, found: list[Problem]) -> dict[str, Size]:
    sheets: dict[str, Size] = {}
    for stock in project.stocks:
        size = sheet_size(stock, scope, found)
        if size is not None:
            sheets[stock.id.value] = size
        if stock.thickness is not None:
            scope.length(stock.thickness, found, positive=True)
        if stock.weight is not None:
            check_weight(stock.weight, found)
    return sheets


def _check_fit(
    project: Project,
    patterns: Sequence[Pattern],
    mats: Sequence[MatLayer],
    sheets: dict[str, Size],
    printer: Printer,
    found: list[Problem],
) -> None:
    stocks = {stock.id.value: stock for stock in project.stocks}
    pieces = {piece.id.value: piece for piece in project.pieces}
    for pattern in patterns:
        if pattern.stock in sheets:
            stock = stocks[pattern.stock]
            sheet = sheets[pattern.stock]
            check_piece(pattern, pieces[pattern.id], stock, sheet, printer, found)
    for mat in mats:
        if mat.stock in sheets:
            may_turn = stocks[mat.stock].pattern != "upright"
            sheet = sheets[mat.stock]
            check_size(f'mat "{mat.id}"', mat.size, sheet, may_turn, mat.place, printer, found)


def _check_tiles(patterns: Sequence[Pattern], printer: Printer, found: list[Problem]) -> None:
    """Refuse templates that would fill thousands of pages; a page shows about 180 by 230 mm."""
    limit = Limits().template_pages
    pages = 0
    for pattern in patterns:
        wide, tall = (float(side) for side in pattern.blank)
        pages += math.ceil(wide / 180) * math.ceil(tall / 230)
        if pages > limit:
            found.append(
                Problem(
                    "template-too-large",
                    f'the templates up to "{pattern.id}", whose blank is '
                    f"{printer.size(pattern.blank)}, take about {pages} pages, more than {limit}",
                    pattern.place,
                    "check the measures and their units, or split the project into several files",
                )
            )
            return


def _not_used_yet(project: Project, found: list[Problem]) -> None:
    waiting: list[tuple[str, Place]] = [("[[size]]", size.place) for size in project.sizes]
    waiting += [("photo", step.photo.place) for step in project.steps if step.photo is not None]
    for name, place in waiting:
        found.append(
            Problem(
                "read-not-used",
                f"{name} is read and checked, but this version puts it on no page",
                place,
                "nothing to do: it is kept for later",
            )
        )

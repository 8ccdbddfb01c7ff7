"""The way of a project through the stages, in their order.

In: the path of a project file. Out: a `Model` with the result of each stage, and every problem
found.
Pages and PDF are not loaded here: `check` needs none of them.
"""

from __future__ import annotations

import math
import pathlib
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

from booklet.flat.build import build_pattern
from booklet.flat.free import build_free
from booklet.flat.on_ruler import check_ruler
from booklet.flat.pattern import MatLayer, Pattern
from booklet.flat.reference import mat_layers, with_joins
from booklet.flat.step_names import check_steps
from booklet.flat.thin import check_thin
from booklet.fold.prove import Folded, Orders, prove, thickness_of
from booklet.limits import Limits
from booklet.measure.bounded import check_limits
from booklet.measure.facts import check_facts
from booklet.measure.form import expand_forms, without_pieces
from booklet.measure.reround import Reround
from booklet.measure.resolve import Scope, resolve
from booklet.measure.rounding import Printer
from booklet.measure.sentence import fill
from booklet.problem import Problem, Written
from booklet.read.course import Course
from booklet.read.project import Project
from booklet.read.size import Size as ProjectSize
from booklet.read.toml_file import read_project
from booklet.second_unit import asked_rounding, settled
from booklet.sizes import of_size, one_size, sizes_of, told_together
from booklet.stock.adhesive import adhesive_listed
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
class Asked:
    """What the command line asks of a project.

    `size` is the id of one of its sizes, None for all. `units` is a unit to print it in, `ruler`
    the smallest mark to round to then, as written. `students` stands in for the number in the
    file's [class], or for a class that it lacks.
    """

    size: str | None = None
    units: str | None = None
    ruler: str | None = None
    students: int | None = None


@dataclass(frozen=True)
class Model:
    """What the stages made of one project. `sheets` are sheet sizes in mm by stock id.

    `size` is the size that this is a model of, where the project has several; `others` are the
    models of the sizes that go into the same booklet.
    """

    project: Project
    scope: Scope
    patterns: tuple[Pattern, ...]
    mats: tuple[MatLayer, ...]
    sheets: dict[str, Size]
    supplies: tuple[SupplyLine, ...]
    folded: tuple[Folded, ...] = ()
    edges: Mapping[str, Edges] = field(default_factory=dict)
    size: ProjectSize | None = None
    others: tuple[Model, ...] = ()

    @property
    def sizes(self) -> tuple[Model, ...]:
        """The models of all sizes in the booklet, this one first."""
        return (self, *self.others)

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
        if kits not in self._planned:
            self._planned[kits] = plan_stocks(
                self.project, self.patterns, self.mats, self.sheets, kits, self.edges
            )
        return self._planned[kits]

    @cached_property
    def _planned(self) -> dict[int, tuple[StockPlan, ...]]:
        """The plans that were asked for: a hard one takes seconds, and pages ask more than once."""
        return {}


def check_file(
    path: pathlib.Path, asked: Asked | None = None
) -> tuple[Model | None, list[Problem]]:
    """Run every stage that proves something; problems come sorted by their place in the file."""
    asked = asked or Asked()
    read: list[Problem] = []  # the reader has a bound of its own
    found: list[Problem] = []
    project = read_project(path, read)
    if project is not None and asked.students is not None:
        project = with_students(project, asked.students)
    model = None if project is None else _build_asked(project, asked, found)
    proved = summed_up(sorted(set_of(found), key=_order))
    return model, sorted(set_of([*read, *proved]), key=_order)


def with_students(project: Project, students: int) -> Project:
    """The project with a class of so many; spare kits, fee and names stay as the file has them."""
    if project.course is None:
        return replace(project, course=Course(students=students, place=project.project.place))
    return replace(project, course=replace(project.course, students=students))


def _build_asked(project: Project, asked: Asked, found: list[Problem]) -> Model | None:
    """The model as written, or in another unit with the best rounding."""
    project = expand_forms(project, found)
    complaints: list[Problem] = []
    rounding = asked_rounding(project, asked.units, asked.ruler, complaints)
    found += complaints
    if complaints:
        return None
    if rounding is None:
        return _build_sizes(project, asked, None, found)

    def build(other: Reround | None) -> tuple[Model | None, list[Problem]]:
        problems: list[Problem] = []
        return _build_sizes(project, asked, other, problems), set_of(problems)

    model, problems = settled(build, rounding, project)
    found += problems
    return model


def _build_sizes(
    project: Project, asked: Asked, other: Reround | None, found: list[Problem]
) -> Model | None:
    """The model of the size that is asked for, or of the first with the others behind it."""
    sizes = sizes_of(project, found)
    if asked.size is not None:
        one = one_size(sizes, asked.size, project.file, found)
        if one is None:
            return None
        sizes = (one,)
    if not sizes:
        return _build(project, None, other, found)
    built = [_build_size(project, sizes[0], other)]
    project = _with_roots(project, built[0][0].patterns)
    built += [_build_size(project, size, other) for size in sizes[1:]]
    if not project.steps:
        built = in_one_order(built, lambda size, own: _build_size(project, size, other, own), found)
    found += told_together([(size, told) for size, (_, told) in zip(sizes, built, strict=True)])
    first, *others = [model for model, _ in built]
    return replace(first, others=tuple(others))


def _with_roots(project: Project, patterns: Sequence[Pattern]) -> Project:
    """The project in which the panel that stays on the table is the same in all sizes."""
    roots = {pattern.id: pattern.root for pattern in patterns}
    pieces = tuple(
        replace(piece, root=Written(roots[piece.id.value], piece.place))
        if piece.root is None and piece.id.value in roots
        else piece
        for piece in project.pieces
    )
    return replace(project, pieces=pieces)


def _build_size(
    project: Project, size: ProjectSize, other: Reround | None, orders: Orders | None = None
) -> tuple[Model, list[Problem]]:
    """One size, in an order found for it or in that of another size, and its problems."""
    found: list[Problem] = []
    return _build(of_size(project, size, found), size, other, found, orders), found


def in_one_order(
    built: list[tuple[Model, list[Problem]]],
    again: Callable[[ProjectSize, Orders], tuple[Model, list[Problem]]],
    found: list[Problem],
) -> list[tuple[Model, list[Problem]]]:
    """The sizes, all folded in one order, as the steps of a booklet are printed once for all.

    The first size's order is swept in the others, then that of each other one; a problem tells of
    sizes that have none in common.
    """
    orders = [_orders(model) for model, _ in built]
    for lead in [one for k, one in enumerate(orders) if one not in orders[:k]]:
        shared: list[tuple[Model, list[Problem]]] = []
        for one, own in zip(built, orders, strict=True):
            size = one[0].size
            shared.append(one if own == lead or size is None else again(size, lead))
            if not _folds(shared[-1][0]):
                break  # each size takes a build: no more of them than it takes to know
        else:
            return shared
    if not all(_folds(model) for model, _ in built):
        return built  # a size that folds in no order has its own report
    other = next(model for (model, _), own in zip(built, orders, strict=True) if own != orders[0])
    found.append(_other_order(built[0][0], other))
    return built


def _folds(model: Model) -> bool:
    """Whether every piece is proved to fold in its order."""
    return all(piece.order.proved for piece in model.folded)


def _orders(model: Model) -> Orders:
    return {piece.piece: piece.order.steps for piece in model.folded}


def _other_order(first: Model, other: Model) -> Problem:
    """The problem that a size cannot be folded in the steps that all sizes share."""
    own = _orders(first)
    piece = next(piece for piece, order in _orders(other).items() if order != own.get(piece))
    name = other.size.name if other.size else ""
    return Problem(
        "size-other-order",
        f'"{piece}" cannot be folded in one order in all sizes: in the size "{name}" its panels '
        "would pass through each other in the order of the first size, and none suits all",
        None if other.size is None else other.size.place,
        "make a booklet of each size (--size), or make this size a project of its own",
    )


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


def _build(
    project: Project,
    size: ProjectSize | None,
    other: Reround | None,
    found: list[Problem],
    orders: Orders | None = None,
) -> Model:
    scope = resolve(project, found, size, other)
    if not check_limits(project, scope, found):
        # What goes beyond its limits makes no sense flat or folded: one reason is enough.
        project = without_pieces(project)
    check_facts(project, scope, found)
    printer = Printer(scope.units, scope.ruler)
    patterns = _patterns(project, scope, found)
    complete = len(patterns) == len(project.pieces)
    mats = mat_layers(project.mats, patterns, scope, found, complete)
    sheets = _sheets(project, scope, found)
    edges = edges_of(project, scope.facts, found)
    rooms = {name: edges.get(name, NO_EDGES).room(sheet) for name, sheet in sheets.items()}
    _check_fit(project, patterns, mats, rooms, printer, found)
    _check_tiles(patterns, printer, found)
    check_steps(project, patterns, found)
    for step in project.steps:
        if step.say is not None:
            fill(step.say.value, scope, printer, found, step.say.place)
    folded = prove(patterns, project, scope, found, orders) if complete else ()
    check_money(project, found)
    batch = batch_of(project.course)
    adhesive_listed(project, found)
    supplies = supply_list(project, patterns, mats, scope.facts, found, batch, folded)
    return Model(project, scope, patterns, mats, sheets, tuple(supplies), folded, edges, size)


def _patterns(project: Project, scope: Scope, found: list[Problem]) -> tuple[Pattern, ...]:
    built: list[Pattern] = []
    for piece in project.pieces:
        build = build_pattern if piece.outline is None else build_free
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
        size = sheet_size(stock, scope.facts, found)
        if size is not None:
            sheets[stock.id.value] = size
        if stock.thickness is not None:
            scope.facts.length(stock.thickness, found, positive=True)
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

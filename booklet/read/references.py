"""Names that lead from one table to another, as far as the names alone can be checked.

In: the raw tables of a file and what was read from them. Out: problems for ids that are given
twice and for names of a stock, supply or piece that no table has. Ids are taken from the raw
tables, so that a table which was dropped for another reason is not missed again here.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from booklet.problem import Problem, Written
from booklet.read.form import form_pieces, is_form, piece_id, plain_name
from booklet.read.nearest import did_you_mean
from booklet.read.project import Project
from booklet.read.spot import Spot, cropped

# The tables that have an id, which must be unique among the tables of the same name.
_WITH_ID = ("contents", "stock", "piece", "mat", "supply", "size")


@dataclass(frozen=True)
class _Reference:
    """A name as written, the kind of table that it should lead to, and what wants it."""

    to: str
    name: Written[str]
    wanted_by: str


def check_references(root: Spot, data: Mapping[str, object], project: Project) -> None:
    """Report ids given twice and references that lead nowhere."""
    known = {kind: _ids(root, data, kind) for kind in _WITH_ID}
    known["piece"] |= _of_forms(project)
    for reference in _references(project):
        name = reference.name.value
        if name in known[reference.to] or root.reading.full:
            continue
        root.reading.found.append(
            Problem(
                f"unknown-{reference.to}",
                f'{reference.wanted_by} names the {reference.to} "{cropped(name)}", '
                f"which no [[{reference.to}]] has as its id",
                reference.name.place,
                did_you_mean(name, known[reference.to], f"Add a [[{reference.to}]] table."),
            )
        )


def _ids(root: Spot, data: Mapping[str, object], kind: str) -> frozenset[str]:
    """All ids of one kind of table; reports the second and later use of one."""
    found: set[str] = set()
    elements = data.get(kind)
    for number, element in enumerate(elements if isinstance(elements, list) else ()):
        identifier = element.get("id") if isinstance(element, dict) else None
        if not isinstance(identifier, str):
            continue
        if identifier in found:
            root.at(kind, number, "id").report(
                "duplicate-id",
                f'A second [[{kind}]] has the id "{cropped(identifier)}"',
                "Give it another id.",
            )
        found.add(identifier)
    return frozenset(found)


def _of_forms(project: Project) -> frozenset[str]:
    """The ids of the pieces that forms bring besides those that the file names."""
    found: set[str] = set()
    for piece in project.pieces:
        form = "" if piece.form is None else plain_name(piece.form.value)
        if form and is_form(form):
            main, *others = form_pieces(form)
            found |= {piece_id(main, own, piece.id.value) for own in others}
    return frozenset(found)


def _references(project: Project) -> Iterator[_Reference]:
    """Every name in the project that leads to a stock, supply or piece."""
    for contents in project.contents:
        if contents.inside is not None:
            yield _Reference("piece", contents.inside, f"contents {contents.id.value}")
    for piece in project.pieces:
        if piece.supply is not None:
            yield _Reference("supply", piece.supply, f"piece {piece.id.value}")
        if piece.stock is not None:
            yield _Reference("stock", piece.stock, f"piece {piece.id.value}")
        for join in piece.joins:
            if join.supply is not None:
                yield _Reference("supply", join.supply, f"the join of {cropped(join.tab.value)}")
    for mat in project.mats:
        if mat.stock is not None:
            yield _Reference("stock", mat.stock, f"mat {mat.id.value}")
    for closure in project.closures:
        if closure.supply is not None:
            yield _Reference("supply", closure.supply, f"the {closure.kind} closure")
    for nest in project.nests:
        yield _Reference("piece", nest.inner, "the nest")
        yield _Reference("piece", nest.outer, "the nest")

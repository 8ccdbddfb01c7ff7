"""Ready forms become pieces, measures and limits of the project that asks for them.

In: a project as read, in which pieces may have a `form`. Out: the same project with each of them
written out, before any measure has its value: later stages know no forms.

The measures of a form are named with the piece: `tray.wall`. Whatever the form brings is blamed on
the maker's file: a formula on the input or the inside that it goes back to, all else on `form`.
"""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any, Final

from booklet.problem import Place, Problem, Written
from booklet.read.form import (
    INSIDE,
    THICKNESS,
    Fragment,
    form_names,
    form_pieces,
    is_form,
    piece_id,
    plain_name,
    read_fragment,
)
from booklet.read.nearest import did_you_mean
from booklet.read.piece import Join, Piece
from booklet.read.project import Project
from booklet.read.raw import Length

FORMULAS: Final = frozenset(
    {"columns", "rows", "folds", "round", "taper", "notch", "at", "size", "ease", "pulled"}
    | {"points", "least", "most", "of"}
)
"""Fields of the tables that hold formulas, or the name of a measure."""
_BRACES: Final = frozenset({"say", "outline", "scores", "cuts"})
"""Fields in which formulas stand between braces."""
_REFERENCES: Final = frozenset(
    {"on", "meets", "tab", "to", "inner", "outer"}
    | {"fold", "score", "cut", "glue", "join", "close", "fill", "crease"}
)
"""Fields that name a piece or a panel of one."""
_WORD: Final = re.compile(r"(?<![\w.])[a-z][a-z0-9_]*(?![\w.(])")
_BRACE: Final = re.compile(r"\{[^{}]*\}")


def expand_forms(project: Project, found: list[Problem]) -> Project:
    """The project without forms. Where one cannot be used, all pieces are left out."""
    if not any(piece.form is not None for piece in project.pieces):
        return project
    taken = {piece.id.value for piece in project.pieces}
    own = {supply.id.value for supply in project.supplies}
    whole = replace(project, pieces=())
    broken = False
    for piece in project.pieces:
        if piece.form is None:
            whole = replace(whole, pieces=(*whole.pieces, piece))
            continue
        use = _use(piece, project, found)
        if use is None or not _free(use, taken, found):
            broken = True
            continue
        taken |= set(use.ids.values())
        whole = _added(whole, use, own)
    return without_pieces(whole) if broken else whole


def without_pieces(project: Project) -> Project:
    """The project without its pieces and all that goes by them, so that one reason is told once."""
    without = replace(project, pieces=(), mats=(), closures=(), nests=(), steps=(), limits=())
    return replace(without, supplies=(), contents=())


@dataclass(frozen=True)
class _Use:
    """A form in the place of a piece: how its names are called in the project."""

    piece: Piece
    fragment: Fragment
    form: Place
    ids: Mapping[str, str]
    """The ids of the fragment's pieces, in the fragment and in the project."""
    measures: Mapping[str, Length] = field(default_factory=dict)
    """All names of the fragment's formulas, as in the fragment, and what they mean."""

    def name(self, name: str) -> str:
        """A measure of the fragment, as the project calls it."""
        return f"{self.piece.id.value}.{name}"

    def formula(self, text: str) -> str:
        """A formula of the fragment with the names of the project."""
        return _WORD.sub(lambda m: self.name(m[0]) if m[0] in self.measures else m[0], text)

    def blamed(self, text: str) -> Place:
        """The place of the first input that a formula goes back to, those of the maker first."""
        return min(self._roots(text), key=self._rank, default=self.form)

    def _roots(self, text: str) -> list[Place]:
        roots: list[Place] = []
        for name in _WORD.findall(text):
            written = self.measures.get(name)
            if written is None:
                continue
            if written.place is not self.form:
                roots.append(written.place)
            elif isinstance(written.value, str):
                roots += self._roots(written.value)
        return roots

    def _rank(self, place: Place) -> bool:
        return place not in {written.place for written in self.piece.inputs.values()}

    def reference(self, text: str) -> str:
        """`piece` or `piece.panel` of the fragment, as the project calls it."""
        own, dot, panel = text.partition(".")
        return f"{self.ids.get(own, own)}{dot}{panel}"


def _use(piece: Piece, project: Project, found: list[Problem]) -> _Use | None:
    """The form that a piece asks for, with its inputs; None after a problem."""
    assert piece.form is not None and piece.inside is not None
    name = plain_name(piece.form.value)
    if not is_form(name):
        found.append(
            Problem(
                "unknown-form",
                f'there is no form "{piece.form.value}"',
                piece.form.place,
                did_you_mean(name, form_names()),
            )
        )
        return None
    words = _words(piece, read_fragment(name), found)
    if words is None:
        return None
    fragment = read_fragment(name, words)
    main = form_pieces(name)[0]
    ids = {own: piece_id(main, own, piece.id.value) for own in form_pieces(name)}
    use = _Use(piece, fragment, piece.form.place, ids)
    return replace(use, measures=_measures(use, _thickness(piece, project, found)))


def _words(piece: Piece, fragment: Fragment, found: list[Problem]) -> dict[str, str] | None:
    """The words that the maker chose; None where an input is unknown or no word of its own."""
    names = [one.name for one in fragment.inputs if one.name not in INSIDE]
    words: dict[str, str] = {}
    good = True
    for name, written in piece.inputs.items():
        if name not in names:
            good = False
            told = f'give it in inside: "{name}" is one of its three' if name in INSIDE else ""
            message = f'the form "{fragment.id}" has no input "{name}"'
            help_ = told or did_you_mean(name, names)
            found.append(Problem("unknown-input", message, written.place, help_))
        elif name in fragment.choices:
            word = str(written.value)
            words[name] = word
            if word not in fragment.choices[name].choices:
                good = False
                allowed = fragment.choices[name].choices
                message = f'{name} = "{word}" is none of {", ".join(allowed)}'
                help_ = did_you_mean(word, allowed)
                found.append(Problem("unknown-choice", message, written.place, help_))
    return words if good else None


def _thickness(piece: Piece, project: Project, found: list[Problem]) -> Length:
    """The thickness of the stock that the piece is cut from; 0 with a note where none is given."""
    for stock in project.stocks:
        named = piece.stock is not None and stock.id.value == piece.stock.value
        if named and stock.thickness is not None:
            return stock.thickness
    assert piece.form is not None
    found.append(
        Problem(
            "form-without-thickness",
            f'the stock of "{piece.id.value}" gives no thickness: its form leaves no room for it',
            piece.form.place,
            'give the [[stock]] its thickness, such as thickness = "0.3 mm"',
        )
    )
    return Written("0 mm", piece.form.place)


def _measures(use: _Use, thickness: Length) -> dict[str, Length]:
    """What each name of the fragment's formulas is, still with the fragment's names."""
    assert use.piece.inside is not None
    values = {THICKNESS: thickness}
    for one in use.fragment.inputs:
        if not one.choices:
            values[one.name] = Written(one.default, use.form)
    given = {name: value for name, value in use.piece.inputs.items() if name in values}
    values |= dict(zip(INSIDE, use.piece.inside, strict=True)) | given
    return values | {
        name: Written(value.value, use.form) for name, value in use.fragment.measures.items()
    }


def _free(use: _Use, taken: set[str], found: list[Problem]) -> bool:
    """Whether the ids of the form's further pieces are free."""
    clashes = [one for one in use.ids.values() if one != use.piece.id.value and one in taken]
    for clash in clashes:
        found.append(
            Problem(
                "duplicate-id",
                f'the form "{use.fragment.id}" brings a piece "{clash}", and there is one already',
                use.form,
                "give one of the two another id",
            )
        )
    return not clashes


def _added(project: Project, use: _Use, own: set[str]) -> Project:
    """The project with everything that one form brings."""
    fragment, moved = use.fragment, _Mover(use)
    measures: dict[str, Length] = {}
    for name, written in use.measures.items():
        ours = written.place is use.form and isinstance(written.value, str)
        measures[use.name(name)] = moved.formula(written) if ours else written
    pieces = [_piece(use, moved, piece) for piece in fragment.pieces]
    supplies = [one for one in fragment.supplies if one.id.value not in own]
    supplies = [one for one in supplies if use.piece.supply is None or one.kind != "adhesive"]
    known = {one.id.value for one in project.supplies}
    own_steps = bool(project.steps) and not project.steps_of_forms
    steps = () if own_steps else tuple(moved(one) for one in fragment.steps)
    if steps:
        steps = (replace(steps[0], begins=use.piece.id.value), *steps[1:])
    return replace(
        project,
        measures={**project.measures, **measures},
        limits=(*project.limits, *(moved(one) for one in fragment.limits)),
        pieces=(*project.pieces, *pieces),
        closures=(*project.closures, *(moved(one) for one in fragment.closures)),
        nests=(*project.nests, *(moved(one) for one in fragment.nests)),
        supplies=(
            *project.supplies,
            *(moved(one) for one in supplies if one.id.value not in known),
        ),
        steps=(*project.steps, *steps),
        steps_of_forms=project.steps_of_forms or bool(steps),
    )


def _piece(use: _Use, moved: _Mover, own: Piece) -> Piece:
    """A piece of the fragment with what the maker says of the piece that stands for it."""
    maker = use.piece
    piece: Piece = moved(own)
    main = own.id.value == next(iter(use.ids))
    joins = tuple(_joined(join, maker) for join in piece.joins)
    piece = replace(
        piece,
        id=Written(use.ids[own.id.value], maker.id.place),
        name=maker.name if main else f"{maker.name} {own.name.lower()}",
        stock=maker.stock,
        grain=maker.grain or piece.grain,
        count=own.count * maker.count,
        joins=joins,
        place=maker.place,
    )
    if not main:
        return piece
    return replace(
        piece,
        folds={**piece.folds, **maker.folds},
        panels={**piece.panels, **maker.panels},
        cutouts=(*piece.cutouts, *maker.cutouts),
        joins=(*joins, *maker.joins),
        form=maker.form,
        inside=maker.inside,
    )


def _joined(join: Join, maker: Piece) -> Join:
    return join if maker.supply is None else replace(join, supply=maker.supply)


@dataclass(frozen=True)
class _Mover:
    """Moves a value of the fragment into the maker's file: names, references, places."""

    use: _Use

    def __call__(self, value: Any, kind: str = "") -> Any:
        """The same value, wherever it is a formula or a reference with the project's names."""
        if isinstance(value, Place):
            return self.use.form
        if isinstance(value, Written):
            return self._written(value, kind)
        if isinstance(value, tuple):
            return tuple(self(one, kind) for one in value)
        if isinstance(value, dict):
            return {name: self(one, kind) for name, one in value.items()}
        if dataclasses.is_dataclass(value) and not isinstance(value, type):
            fields = {one.name: getattr(value, one.name) for one in dataclasses.fields(value)}
            return replace(value, **{name: self(one, name) for name, one in fields.items()})
        return value

    def formula(self, written: Length) -> Length:
        """A formula of the fragment."""
        text = written.value
        if not isinstance(text, str):
            return Written(text, self.use.form)
        return Written(self.use.formula(text), self.use.blamed(text))

    def _written(self, written: Written[Any], kind: str) -> Written[Any]:
        text = written.value
        if kind in FORMULAS:
            return self.formula(written)
        if kind in _BRACES:
            places = [self.use.blamed(part) for part in _BRACE.findall(text)]
            moved = _BRACE.sub(lambda match: self.use.formula(match[0]), text)
            return Written(moved, places[0] if places else self.use.form)
        if kind in _REFERENCES:
            return Written(self.use.reference(text), self.use.form)
        return Written(text, self.use.form)


def as_asked(name: str, pieces: Sequence[Piece]) -> str:
    """A measure's name in the maker's words: `tray.wall` is the wall of "tray"."""
    piece, dot, own = name.rpartition(".")
    if not dot or all(one.id.value != piece for one in pieces):
        return f'"{name}"'
    return f'{own} of "{piece}"'

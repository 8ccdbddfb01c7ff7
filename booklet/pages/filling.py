"""Filling in the plan of steps: what goes into which piece, and before which fold.

In: a model, and a piece's folding steps in their order. Out: steps that put contents in.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from booklet.flat.pattern import Pattern
from booklet.fold.cavity import Cavity
from booklet.fold.filling import Folding, most_of, named_contents, resting
from booklet.fold.prove import Folded
from booklet.pages.panel_words import in_sentence, listed
from booklet.pages.planned import PlannedStep
from booklet.problem import Written
from booklet.stages import Model


def homes(model: Model) -> dict[str, str]:
    """The piece that each of the contents goes into: as written, as proved, else the first."""
    proved = {fit.id: fit.piece for piece in model.folded for fit in piece.contents}
    first = model.patterns[0].id if model.patterns else ""
    return {
        one.id.value: one.inside.value if one.inside else proved.get(one.id.value) or first
        for one in model.project.contents
    }


def filled_by(names: Sequence[Written[str]], model: Model) -> tuple[str, ...]:
    """The contents that a step of the project puts in."""
    home = homes(model)
    return tuple(dict.fromkeys(id_ for n in names for id_ in named_contents(n.value, home)))


def piece_filled(names: Sequence[Written[str]], model: Model) -> str | None:
    """The piece that a step of the project fills."""
    home = homes(model)
    return next((home.get(name.value, name.value) for name in names), None)


def filling_words(fill: Sequence[str], model: Model) -> str:
    """What to put in; a form's step does not know what that is."""
    names = [in_sentence(one.name) for one in model.project.contents if one.id.value in fill]
    return f"Put in the {listed(names)}." if names else "Put in what goes inside."


def filling_step(id_: str, piece: str, model: Model) -> PlannedStep:
    """A step of its own for one of the contents."""
    return PlannedStep("Fill it", filling_words((id_,), model), piece, fill=(id_,))


def with_fillings(
    pattern: Pattern, folding: Sequence[PlannedStep], model: Model
) -> list[PlannedStep]:
    """The folding steps with contents put in before the first fold that would shut them out.

    What still gets in when all are made is left for the end.
    """
    piece = next((one for one in model.folded if one.piece == pattern.id), None)
    if piece is None or piece.cavity is None:
        return list(folding)
    before = _before(piece, folding)
    steps: list[PlannedStep] = []
    for number, step in enumerate(folding):
        fills = [id_ for id_, place in before.items() if place == number]
        steps += [filling_step(id_, pattern.id, model) for id_ in fills]
        steps.append(step)
    if piece.bent is None and not piece.contents and (shuts := _shuts(piece, folding)) is not None:
        first = f"If anything is to go inside, put it in first. {steps[shuts].text}"
        steps[shuts] = replace(steps[shuts], text=first)
    return steps


def _before(piece: Folded, folding: Sequence[PlannedStep]) -> Mapping[str, int]:
    """For contents that are shut out in the end, the folding step before which they go in."""
    assert piece.cavity is not None
    way = _way(piece.cavity, piece, folding)
    before: dict[str, int] = {}
    for fit in piece.contents:
        if fit.fits:
            box = resting(fit, piece.cavity) if piece.bent is None else most_of(piece.cavity)
            chance = way.last_chance(box, len(folding))
            if chance < len(folding):
                before[fit.id] = chance
    return before


def _shuts(piece: Folded, folding: Sequence[PlannedStep]) -> int | None:
    """The folding step that shuts the room of a piece for good, if one does."""
    assert piece.cavity is not None
    chance = _way(piece.cavity, piece, folding).last_chance(most_of(piece.cavity), len(folding))
    return chance if chance < len(folding) else None


def _way(cavity: Cavity, piece: Folded, folding: Sequence[PlannedStep]) -> Folding:
    turns = [tuple(name for _, name in step.fold) for step in folding]
    return Folding(piece.posed, turns, cavity)

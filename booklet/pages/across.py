"""Words that hold for every size of a booklet.

In: a model with its sizes, and what to say of each. Out: one text: what all sizes share is said
once, what differs is said for each size in order.
"""

from __future__ import annotations

from collections.abc import Callable

from booklet.measure.sentence import Reading, fill
from booklet.problem import Written
from booklet.stages import Model

MANY_SIZES = 4
"""Sizes whose values a sentence can hold; for more it sends the reader to the table of sizes."""


def size_name(model: Model) -> str:
    """The name of a model's size as it stands in a sentence: up to the first comma."""
    return model.size.name.partition(",")[0].strip() if model.size else ""


def across(model: Model, say: Callable[[Model], str], many: str) -> str:
    """What `say` says of every size; `many` where the values of more than a few differ."""
    texts = [say(one) for one in model.sizes]
    if len(set(texts)) == 1:
        return texts[0]
    if len(texts) > MANY_SIZES:
        return many
    named = zip(model.sizes, texts, strict=True)
    return ", ".join(f"{size_name(one)} {text}" for one, text in named)


def filled(sentence: Written[str], model: Model) -> str:
    """A sentence of the project with the measures of every size in it."""
    sizes = [Reading(size_name(one), one.scope) for one in model.sizes]
    scope, printer = model.scope, model.printer
    return fill(sentence.value, scope, printer, [], sentence.place, sizes, MANY_SIZES)

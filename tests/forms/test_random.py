"""Every form with random insides and inputs: it holds what it should, or says why it cannot.

`BOOKLET_FORM_EXAMPLES=200` runs more examples than the suite does.
"""

from __future__ import annotations

import os
import random
from collections.abc import Mapping

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from booklet.read.form import form_names
from tests.forms.builds import (
    FLAT,
    Case,
    all_variants,
    beyond,
    checked,
    holds,
    lengths,
    refused,
    variants,
)

EXAMPLES = int(os.environ.get("BOOKLET_FORM_EXAMPLES", "5"))
OFTEN = settings(
    max_examples=EXAMPLES,
    deadline=None,
    # A failing case is small enough to read, and shrinking it would take minutes.
    phases=[Phase.explicit, Phase.reuse, Phase.generate],
    suppress_health_check=[HealthCheck.filter_too_much, HealthCheck.too_slow],
)


def sizes(least: float, most: float) -> st.SearchStrategy[float]:
    """Tenths of a millimetre."""
    return st.integers(round(least * 10), round(most * 10)).map(lambda tenths: tenths / 10)


DRAWS = 400
"""Random insides of which at least one has to be within the limits of its form."""


@pytest.mark.parametrize(("form", "words"), all_variants(), ids=str)
def test_a_form_holds_its_inside(form: str, words: Mapping[str, str]) -> None:
    """Any inside within the limits: builds, closes, holds it, folds without a collision.

    Every example is one that the limits allow; those drawn on the way are refused with a reason.
    """
    held = []

    @OFTEN
    @given(seed=st.integers(0, 2**40))
    def each(seed: int) -> None:
        case = allowed(form, words, random.Random(seed))
        model, problems = checked(case)
        assert refused(problems) == []
        holds(case, model, problems)
        held.append(case)

    each()
    assert len(held) >= EXAMPLES


def allowed(form: str, words: Mapping[str, str], source: random.Random) -> Case:
    """A case within the limits of its form, the first of those drawn."""
    for _ in range(DRAWS):
        case = drawn(form, words, source)
        told = beyond(case)
        if not told:
            return case
        for problem in told:
            assert problem.code == "limit-passed", problem
            assert len(problem.message.partition(": ")[2]) > 10
    raise AssertionError(f"none of {DRAWS} insides is allowed: the limits of {form} are too tight")


def drawn(form: str, words: Mapping[str, str], source: random.Random) -> Case:
    """Any inside, in tenths of a millimetre; what a form holds may be flat."""

    def size(least: float, most: float) -> float:
        return source.randint(round(least * 10), round(most * 10)) / 10

    deep = size(0.5, FLAT[form]) if form in FLAT else size(8, 120)
    if form in ("pyramid", "pillow_pouch", "gable_carton"):
        deep = size(8, 40)
    inside = (size(15, 300), size(15, 300), deep)
    units = source.choice(["mm", "in"])
    return Case(form, inside, words, units=units, thickness=size(0.1, 0.8))


@pytest.mark.parametrize("form", form_names())
@OFTEN
@given(data=st.data())
def test_any_inputs_hold_or_are_refused(form: str, data: st.DataObject) -> None:
    """Whatever a maker writes: a whole box, or a limit with its reason in the maker's file."""
    words = data.draw(st.sampled_from(variants(form)), "words")
    inside = data.draw(st.tuples(*[sizes(-10, 200)] * 3), "inside")
    names = (
        data.draw(st.lists(st.sampled_from(lengths(form)), unique=True), "names")
        if (lengths(form))
        else []
    )
    given_lengths = {name: data.draw(sizes(-5, 120), name) for name in names}
    case = Case(form, inside, words, given_lengths, data.draw(st.sampled_from(["mm", "in"])))
    model, problems = checked(case)
    told = refused(problems)
    if not told:
        holds(case, model, problems)
        return
    for problem in told:
        assert problem.place is not None and problem.place.line >= 11
        assert len(problem.message.partition(": ")[2]) > 10

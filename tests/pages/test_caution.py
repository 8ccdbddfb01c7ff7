"""Which cautions a project gets, and in what order."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from booklet.pages.caution import Caution, Rule, cautions, rules, signals
from booklet.pages.mention import Mention, plain, says
from booklet.problem import Place, Written
from booklet.read.closure import Closure
from booklet.read.contents import Contents
from booklet.read.piece import Cutout, Piece
from booklet.read.project import Project, ProjectTable
from booklet.read.raw import Raw
from booklet.read.safety import Safety
from booklet.read.step import Step
from booklet.read.stock import Stock
from booklet.read.supply import Supply

PLACE = Place("tag.toml", 1, 1)


def supply(name: str, kind: str = "tool") -> Supply:
    """A supply of that name."""
    amount: Written[Raw] = Written(1, PLACE)
    return Supply(id=Written("one", PLACE), name=name, kind=kind, amount=amount, place=PLACE)


def project(
    *,
    names: tuple[str, ...] = (),
    kind: str = "tool",
    closure: str = "tuck",
    audience: str = "adults",
    contents: str = "postcards",
    title: str = "Gift box",
    summary: str = "A box with a lid.",
    notes: tuple[str, ...] = (),
    say: str = "Fold the sides up.",
    opening: bool = False,
) -> Project:
    """A plain project of card, scissors, ruler and tape, with what is given added."""
    sheet = Written("letter", PLACE)
    two = (Written[Raw](1, PLACE), Written[Raw](1, PLACE))
    cutout = Cutout(
        panel=Written("lid", PLACE), shape=Written("circle", PLACE), at=two, size=two, place=PLACE
    )
    tools = ("Scissors", "Metal ruler", "Bone folder", "Pencil", *names)
    tape = supply("Double-sided tape, 1/4 in", "adhesive")
    return Project(
        file="tag.toml",
        folder=Path(),
        project=ProjectTable(title=title, summary=summary, place=PLACE),
        contents=(Contents(id=Written("cards", PLACE), name=contents, place=PLACE),),
        stocks=(
            Stock(id=Written("card", PLACE), name="Cardstock, moss", sheet=sheet, place=PLACE),
        ),
        pieces=(
            Piece(
                id=Written("body", PLACE),
                name="Box body",
                cutouts=(cutout,) if opening else (),
                place=PLACE,
            ),
        ),
        closures=(Closure(kind=closure, on=Written("lid", PLACE), place=PLACE),),
        supplies=(tape, *(supply(name, kind) for name in tools)),
        steps=(Step(title="Fold", say=Written(say, PLACE), place=PLACE),),
        safety=Safety(audience=audience, notes=notes),
    )


def ids(shown: tuple[Caution, ...]) -> list[str]:
    """The ids in the order shown."""
    return [caution.id for caution in shown]


PLAIN = project()

CALLS = {
    "flame": [
        project(title="Paper lantern"),
        project(contents="tealights"),
        project(names=("Candle, white",)),
    ],
    "button_cells": [project(names=("CR2032 coin cell",)), project(names=("LED tea lights",))],
    "magnets": [project(closure="magnet"), project(names=("Magnets, 1/2 in",), kind="other")],
    "small_parts": [
        project(names=("Glass beads",), kind="trimming"),
        project(closure="magnet"),
        project(closure="button"),
        project(closure="hook_and_loop", audience="children"),
        project(names=("Felt star",), kind="trimming", audience="children"),
    ],
    "cords": [
        project(closure="ribbon", audience="children"),
        project(closure="button", audience="children"),
        project(names=("Cotton cord",), audience="children"),
        project(title="Paper garland"),
    ],
    "thin_bags": [project(names=("Cellophane bags",))],
    "lights": [project(names=("Fairy lights",)), project(title="Paper lampshade")],
    "medicine": [project(contents="vitamins")],
    "children": [project(audience="children")],
    "guillotine": [project(names=("Guillotine",)), project(names=("Lever trimmer",))],
    "knives": [
        project(names=("Craft knife",)),
        project(names=("Spare blades",)),
        project(say="Slit the fold with a scalpel."),
        project(opening=True),
    ],
    "spray": [project(names=("Spray adhesive",), kind="adhesive")],
    "solvents": [project(names=("Rubber cement",)), project(names=("Solvent-based glue",))],
    "instant_glue": [project(names=("Cyanoacrylate gel",)), project(names=("Instant glue",))],
    "hot_glue": [project(names=("Hot-glue gun",)), project(say="Fix it with hot glue.")],
    "cutting": [PLAIN],
    "rotary_trimmer": [project(names=("Rotary trimmer",)), project(names=("Paper trimmer",))],
    "scissors_children": [project(audience="children"), project(audience="teens")],
    "teens": [project(audience="teens")],
    "points": [
        project(names=("Eyelets and setter",)),
        project(names=("Awl",)),
        project(names=("Hammer",)),
        project(say="Sew the spine."),
    ],
    "machines": [project(names=("Die-cutting machine",))],
    "heat": [project(names=("Heat gun",)), project(say="Iron it flat.")],
    "food": [
        project(contents="tea bags"),
        project(contents="biscuits"),
        project(summary="A box for sweets."),
    ],
    "art_materials": [
        project(names=("Acrylic paint",)),
        project(names=("White glue",), audience="children"),
    ],
    "seeds": [project(contents="seed packets")],
    "wire": [project(names=("Floral wire",))],
    "sharp_sheets": [
        project(names=("Acetate, clear",), kind="other"),
        project(names=("Copper foil, 0.1 mm",), kind="trimming"),
    ],
    "glitter": [project(names=("Fine glitter",))],
    "deference": [PLAIN],
}


def test_the_examples_here_cover_every_rule() -> None:
    """A new rule needs an example that calls for it."""
    assert set(CALLS) == {rule.id for rule in rules()}


@pytest.mark.parametrize("rule", CALLS)
def test_a_rule_is_shown_where_the_project_calls_for_it(rule: str) -> None:
    """Each example brings its caution, with the reason named."""
    for example in CALLS[rule]:
        shown = {caution.id: caution for caution in cautions(example)}
        assert rule in shown
        assert shown[rule].because


def test_a_plain_project_gets_the_general_cautions_only() -> None:
    """Scissors, a ruler, a bone folder, a pencil and tape bring nothing but the general rules."""
    assert ids(cautions(PLAIN)) == ["cutting", "deference"]


@pytest.mark.parametrize(
    "innocent",
    [
        project(title="Pillow box"),
        project(names=("Lightweight paper", "Pink pine stencil")),
        project(contents="steady things, all treated well"),
        project(names=("White glue, PVA",), kind="adhesive"),
        project(say="Turn the flap round the lid, then close it."),
    ],
)
def test_a_word_inside_another_is_no_hazard(innocent: Project) -> None:
    """No pill in pillow, no light in lightweight, no pin in pink, no tea in steady."""
    assert ids(cautions(innocent)) == ["cutting", "deference"]


def test_a_lookalike_is_told_apart() -> None:
    """A cookie cutter is no knife, seed beads are not sown, tea lights are not drunk."""
    assert "knives" not in ids(cautions(project(names=("Cookie cutter",))))
    assert "seeds" not in ids(cautions(project(names=("Seed beads",))))
    assert "food" not in ids(cautions(project(contents="tea lights")))
    assert "guillotine" not in ids(cautions(project(names=("Rotary trimmer",))))


def test_an_unclear_trimmer_brings_both_trimmer_rules() -> None:
    """In doubt a caution is shown."""
    shown = ids(cautions(project(names=("Paper trimmer",))))
    assert {"guillotine", "rotary_trimmer"} <= set(shown)


def test_the_worst_comes_first_and_none_comes_twice() -> None:
    """Severity falls down the page, and many reasons for one rule make one caution."""
    busy = project(
        names=("Craft knife", "Knife blades", "Glitter", "Hot glue gun", "Paint", "Magnets"),
        closure="magnet",
        contents="chocolates",
        audience="children",
        say="Cut with the knife.",
    )
    shown = cautions(busy)
    order = list(signals())
    ranks = [order.index(caution.signal) for caution in shown]
    assert ranks == sorted(ranks)
    assert len(set(ids(shown))) == len(shown)
    knives = next(caution for caution in shown if caution.id == "knives")
    assert knives.because == ("supply: Craft knife", "supply: Knife blades", "step 1")


def test_notes_of_the_designer_come_last_and_take_nothing_away() -> None:
    """Notes are added as written, each once, blank ones not at all."""
    notes = ("No knife is needed.", "Mind the  cat.", "Mind the cat.", "  ")
    shown = cautions(project(names=("Craft knife",), notes=notes))
    without = cautions(project(names=("Craft knife",)))
    assert ids(shown)[: len(without)] == ids(without)
    added = shown[len(without) :]
    assert [caution.sentences for caution in added] == [
        ("No knife is needed.",),
        ("Mind the cat.",),
    ]
    assert {(caution.title, caution.signal, caution.alert) for caution in added} == {
        ("From the designer", "NOTICE", False)
    }


def test_a_note_that_names_a_tool_brings_its_rule() -> None:
    """A designer who warns of a blade uses one."""
    assert "knives" in ids(cautions(project(notes=("Mind the blade.",))))


def test_hazards_of_standard_contents_are_seen() -> None:
    """Contents known only by the name of a standard size count too."""
    cell = Contents(
        id=Written("power", PLACE), name="power", standard=Written("cr2032", PLACE), place=PLACE
    )
    assert "button_cells" in ids(cautions(replace(PLAIN, contents=(cell,))))


@pytest.mark.parametrize("rule", rules(), ids=lambda rule: rule.id)
def test_every_rule_is_whole(rule: Rule) -> None:
    """Each has a source, a check, one to four short sentences, and someone to defer to."""
    assert rule.source
    assert rule.check in ("read", "memory", "practice")
    assert rule.check != "practice" or "common practice, no source" in rule.source
    assert rule.check != "memory" or "from memory" in rule.source
    assert rule.signal in signals()
    assert rule.conditions
    assert 1 <= len(rule.sentences) <= 4
    for sentence in (*rule.sentences, rule.defer):
        assert sentence[0].isupper()
        assert sentence.endswith(".")
        assert len(sentence) <= 120
    assert not rule.title.endswith(".")
    assert len(rule.title) <= 48


def test_no_two_rules_share_an_id() -> None:
    """Ids name rules."""
    names = [rule.id for rule in rules()]
    assert len(names) == len(set(names))


def test_words_are_compared_in_plain_form() -> None:
    """Hyphens, underscores and capitals are all one; whole words and endings are told apart."""
    said = Mention("here", plain("Hot-Glue_gun; two knives"))
    assert said.text == "hot glue gun two knives"
    assert says(said, ("glue gun*",), ())
    assert not says(said, ("glu",), ())
    assert not says(said, ("knives",), ("two knives",))
    assert not says(said, (), ())

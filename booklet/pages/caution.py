"""The cautions that a project needs, from its tools, materials, contents and readers.

In: the tables as read, and the rules in `cautions.toml`. Out: `Caution` values, the worst first.
Signal words follow ANSI Z535.4 and Z535.6. A rule is shown as soon as one of its conditions holds;
nothing that the maker writes takes one away.
"""

from __future__ import annotations

import functools
import tomllib
from dataclasses import dataclass
from importlib import resources
from typing import Any, Literal, TypeAlias

from booklet.pages.mention import Mention, mentions, says
from booklet.read.project import Project

Signal: TypeAlias = Literal["DANGER", "WARNING", "CAUTION", "NOTICE"]

DESIGNER_TITLE = "From the designer"


@dataclass(frozen=True)
class SignalWord:
    """What a signal word promises; `alert` says whether the safety-alert symbol stands with it."""

    word: str
    meaning: str
    injury: bool
    alert: bool


@dataclass(frozen=True)
class Condition:
    """One way for a rule to hold; see the head of `cautions.toml`."""

    always: bool = False
    words: tuple[str, ...] = ()
    kinds: tuple[str, ...] = ()
    closures: tuple[str, ...] = ()
    cutouts: bool = False
    audience: tuple[str, ...] = ()


@dataclass(frozen=True)
class Said:
    """What a caution says, from where it is, and how that was checked."""

    id: str
    signal: Signal
    title: str
    sentences: tuple[str, ...]
    defer: str
    source: str
    check: str


@dataclass(frozen=True)
class Rule(Said):
    """A row of the table, before any project is looked at."""

    conditions: tuple[Condition, ...]
    overlooked: tuple[str, ...]


@dataclass(frozen=True)
class Caution(Said):
    """A caution for one project; `because` names what in the project called for it."""

    because: tuple[str, ...]

    @property
    def alert(self) -> bool:
        """Whether the safety-alert symbol belongs beside the signal word."""
        return signals()[self.signal].alert


@functools.cache
def _table() -> dict[str, Any]:
    text = resources.files("booklet.pages").joinpath("cautions.toml").read_text("utf-8")
    return tomllib.loads(text)


@functools.cache
def signals() -> dict[str, SignalWord]:
    """The four signal words, the worst first."""
    return {
        word: SignalWord(word, row["meaning"], row["injury"], row["alert"])
        for word, row in _table()["signal"].items()
    }


@functools.cache
def rules() -> tuple[Rule, ...]:
    """All rules in the order of the table."""
    return tuple(
        Rule(
            row["id"],
            row["signal"],
            row["title"],
            tuple(row["say"]),
            row["defer"],
            row["source"],
            row["check"],
            tuple(_condition(entry) for entry in row["when"]),
            tuple(row.get("except", ())),
        )
        for row in _table()["caution"]
    )


def _condition(entry: dict[str, Any]) -> Condition:
    """A condition as data; an unknown key fails at once, since it would silently never hold."""
    values: dict[str, Any] = {
        key: tuple(value) if isinstance(value, list) else value for key, value in entry.items()
    }
    return Condition(**values)


def cautions(project: Project) -> tuple[Caution, ...]:
    """The project's cautions: the worst signal word first, then the order of the table.

    The designer's own notes follow at the end, each once, as NOTICE without an alert symbol.
    """
    spoken = mentions(project)
    shown: list[Caution] = []
    for rule in rules():
        reasons = _reasons(rule, project, spoken)
        if reasons is not None:
            shown.append(_shown(rule, reasons))
    rank = {word: place for place, word in enumerate(signals())}
    shown.sort(key=lambda caution: rank[caution.signal])
    return (*shown, *_notes(project))


def _shown(rule: Rule, reasons: tuple[str, ...]) -> Caution:
    return Caution(
        rule.id,
        rule.signal,
        rule.title,
        rule.sentences,
        rule.defer,
        rule.source,
        rule.check,
        reasons,
    )


def _notes(project: Project) -> tuple[Caution, ...]:
    """The designer's notes, blank and repeated ones left out."""
    notes = dict.fromkeys(" ".join(note.split()) for note in project.safety.notes)
    return tuple(
        Caution(
            f"designer_{number}", "NOTICE", DESIGNER_TITLE, (note,), "",
            "the project's designer", "practice", ("safety note",),
        )
        for number, note in enumerate(filter(None, notes), 1)
    )  # fmt: skip


def _reasons(rule: Rule, project: Project, spoken: tuple[Mention, ...]) -> tuple[str, ...] | None:
    """What calls for the rule, each once; None when no condition holds."""
    held = [
        reasons
        for condition in rule.conditions
        if (reasons := _held(condition, rule.overlooked, project, spoken)) is not None
    ]
    if not held:
        return None
    return tuple(dict.fromkeys(reason for reasons in held for reason in reasons))


def _held(
    condition: Condition,
    overlooked: tuple[str, ...],
    project: Project,
    spoken: tuple[Mention, ...],
) -> list[str] | None:
    """The reasons that one condition gives, None when it does not hold."""
    audience = project.safety.audience
    if condition.audience and audience not in condition.audience:
        return None
    if condition.always:
        return ["every project"]
    reasons = [mention.where for mention in spoken if says(mention, condition.words, overlooked)]
    reasons += [
        f"supply: {supply.name}" for supply in project.supplies if supply.kind in condition.kinds
    ]
    reasons += [
        f"closure: {closure.kind.replace('_', ' ')}"
        for closure in project.closures
        if closure.kind in condition.closures
    ]
    if condition.cutouts:
        reasons += [f"opening in {piece.name}" for piece in project.pieces if piece.cutouts]
    looks = condition.words or condition.kinds or condition.closures or condition.cutouts
    if condition.audience and not looks:
        return [f"made by {audience}"]
    return reasons or None

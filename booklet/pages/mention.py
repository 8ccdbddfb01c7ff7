"""What a project speaks of: its words, each with the place where a reader finds them.

In: the tables as read. Out: short plain texts (`Mention`) and the test whether one of them says a
word. The words are English: for a project in another language only kinds, closures and audience
tell of hazards.
"""

from __future__ import annotations

import functools
import re
from collections.abc import Iterator
from dataclasses import dataclass

from booklet.read.project import Project

_APART = re.compile(r"[\W_]+")


@dataclass(frozen=True)
class Mention:
    """One text of the project: `where` names it to a reader, `text` is its plain form."""

    where: str
    text: str


def plain(text: str) -> str:
    """Small letters and digits with single blanks between, so that hot-glue is hot_glue."""
    return " ".join(_APART.sub(" ", text.casefold()).split())


def mentions(project: Project) -> tuple[Mention, ...]:
    """Every text of the project that may name a tool, a material or what goes inside."""
    return tuple(Mention(where, plain(text)) for where, text in _texts(project))


def _texts(project: Project) -> Iterator[tuple[str, str]]:
    """Pairs of (where, text), the most telling first."""
    for supply in project.supplies:
        yield f"supply: {supply.name}", f"{supply.id.value}; {supply.name}; {supply.kind}"
    for closure in project.closures:
        yield f"closure: {_spaced(closure.kind)}", closure.kind
    for contents in project.contents:
        standard = contents.standard.value if contents.standard else ""
        yield f"contents: {contents.name}", f"{contents.id.value}; {contents.name}; {standard}"
    for stock in project.stocks:
        yield f"stock: {stock.name}", f"{stock.id.value}; {stock.name}; {stock.kind}"
    for piece in project.pieces:
        yield f"piece: {piece.name}", f"{piece.id.value}; {piece.name}"
    for mat in project.mats:
        yield f"mat: {mat.name or _spaced(mat.id.value)}", f"{mat.id.value}; {mat.name or ''}"
    for number, step in enumerate(project.steps, 1):
        say = step.say.value if step.say else ""
        yield f"step {number}", f"{step.title or ''}; {say}"
    yield "title", project.project.title
    yield "summary", project.project.summary
    if project.course is not None:
        yield "class", project.course.title or ""
    for note in project.safety.notes:
        yield "safety note", note


def _spaced(name: str) -> str:
    return name.replace("_", " ")


def says(mention: Mention, words: tuple[str, ...], overlooked: tuple[str, ...]) -> bool:
    """Whether the text says one of `words` once the `overlooked` phrases are taken out.

    A word or phrase stands for itself and its plural in s or es; a trailing * for any ending.
    """
    # Most texts hold none of the words even as letters: that is quicker to find out.
    if not any(word.removesuffix("*") in mention.text for word in words):
        return False
    text = _pattern(overlooked).sub(" ", mention.text) if overlooked else mention.text
    return _pattern(words).search(text) is not None


@functools.cache
def _pattern(words: tuple[str, ...]) -> re.Pattern[str]:
    """One expression for all the words; each starts and ends at a word's edge."""
    endings = [
        re.escape(word.removesuffix("*")) + (r"\w*" if word.endswith("*") else "(?:s|es)?")
        for word in words
    ]
    return re.compile(r"\b(?:" + "|".join(endings) + r")\b")

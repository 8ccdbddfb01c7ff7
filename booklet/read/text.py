"""Checks of values that are text: titles, paragraphs, ids, names, choices, colours.

In: a spot and a raw value. Out: the text, or None after a problem was reported.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from booklet.problem import Written
from booklet.read.nearest import did_you_mean
from booklet.read.spot import Spot, cropped, is_control, shown, shown_name, wrong_type

# design: "Ids match [a-z][a-z0-9_]*".
_ID = re.compile(r"[a-z][a-z0-9_]*")


def text(spot: Spot, raw: object, longest: int, example: str = '"Seed box"') -> str | None:
    """Any text of one line. Line ends and tabs count as spaces."""
    if not isinstance(raw, str):
        wrong_type(spot, raw, "text in quotes", example)
        return None
    if len(raw) > longest:
        spot.report(
            "text-too-long",
            f"{spot.label} has {len(raw)} letters, more than {longest}: {shown(raw)}",
            "Shorten it.",
        )
        return None
    plain = re.sub(r"[ ]*[\r\n\t]\s*", " ", raw).strip()
    bad = next((letter for letter in plain if is_control(letter)), None)
    if bad is not None:
        spot.report(
            "control-character",
            f"{spot.label} = {shown(raw)} has the control character U+{ord(bad):04X}",
            "Delete the character; it cannot be printed.",
        )
        return None
    return plain


def title(spot: Spot, raw: object) -> str | None:
    """A text that must fit on a line or two."""
    return text(spot, raw, spot.limits.title)


def paragraph(spot: Spot, raw: object) -> str | None:
    """A text of some sentences."""
    return text(spot, raw, spot.limits.text)


def words(spot: Spot, raw: object) -> Written[str] | None:
    """Some sentences with their place, for texts in which a later stage fills names."""
    found = paragraph(spot, raw)
    return None if found is None else Written(found, spot.place)


def name(spot: Spot, raw: object) -> Written[str] | None:
    """The name of something defined elsewhere: an id, `piece.panel`, a named size."""
    found = text(spot, raw, spot.limits.formula, '"body"')
    if found == "":
        spot.report("empty-text", f"{spot.label} is empty", "Write a name, or delete the key.")
        return None
    return None if found is None else Written(found, spot.place)


def map_line(spot: Spot, raw: object) -> Written[str] | None:
    """One line of a map of panels."""
    found = text(spot, raw, spot.limits.map_line, '"side  back  side"')
    return None if found is None else Written(found, spot.place)


def path_data(spot: Spot, raw: object) -> Written[str] | None:
    """SVG path data, or a pair of panels such as "a|b", with the spaces and lines of the file.

    So each character can be found in the file again.
    """
    found = text(spot, raw, spot.limits.path_data, '"M 0 0 H 4 V 3 H 0 Z"')
    if found is None or not isinstance(raw, str):
        return None
    if "\n" not in raw or spot.reading.places.opening(spot.path)[3:] != "\n":
        return Written(raw, spot.place)
    return Written("\n" + raw, spot.place)  # TOML drops a line end right after three quotes


def is_id(word: str, longest: int) -> bool:
    """Whether a word can be an id."""
    return len(word) <= longest and _ID.fullmatch(word) is not None


def bad_id(spot: Spot, word: str, *, key: bool = False) -> None:
    """Report a word that cannot be an id, with one that could."""
    letters = re.sub(r"[^a-z0-9]+", "_", word[: spot.limits.name].lower()).strip("_")
    better = letters if letters[:1].isalpha() else f"a_{letters}".rstrip("_")
    spot.report(
        "bad-id",
        f'"{cropped(word)}" cannot be an id',
        f'Use small letters, digits and _, a letter first, at most {spot.limits.name}: "{better}".',
        key=key,
    )


def new_id(spot: Spot, raw: object) -> Written[str] | None:
    """The id that a table gives itself."""
    if not isinstance(raw, str):
        wrong_type(spot, raw, "text in quotes", '"body"')
        return None
    if not is_id(raw, spot.limits.name):
        bad_id(spot, raw)
        return None
    return Written(raw, spot.place)


def choice(*allowed: str) -> Callable[[Spot, object], str | None]:
    """A check that takes one of the words `allowed`."""

    def check(spot: Spot, raw: object) -> str | None:
        if not isinstance(raw, str):
            wrong_type(spot, raw, "text in quotes", f'"{allowed[0]}"')
            return None
        if raw in allowed:
            return raw
        spot.report(
            "unknown-choice",
            f"{spot.label} = {shown(raw)} is none of {', '.join(allowed)}",
            did_you_mean(raw, allowed),
        )
        return None

    return check


def written_choice(*allowed: str) -> Callable[[Spot, object], Written[str] | None]:
    """As `choice`, with the place."""
    plain = choice(*allowed)

    def check(spot: Spot, raw: object) -> Written[str] | None:
        found = plain(spot, raw)
        return None if found is None else Written(found, spot.place)

    return check


def shaped(pattern: str, wanted: str, example: str) -> Callable[[Spot, object], str | None]:
    """A check that takes text of one form, such as #rrggbb."""
    form = re.compile(pattern)

    def check(spot: Spot, raw: object) -> str | None:
        if not isinstance(raw, str):
            wrong_type(spot, raw, "text in quotes", f'"{example}"')
            return None
        if form.fullmatch(raw):
            return raw
        spot.report(
            "bad-form", f"{spot.label} = {shown(raw)} is not {wanted}", f'Write "{example}".'
        )
        return None

    return check


colour = shaped(r"#[0-9a-fA-F]{6}", "a colour as # and six digits", "#2f6f73")


def spoken(identifier: str) -> str:
    """The name that an id gives a thing that has no other."""
    return shown_name(identifier.replace("_", " "))

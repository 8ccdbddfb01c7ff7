"""The letters of SVG path data become commands with their numbers.

In: path data as written (SVG 2, section 9.3.9 "The grammar for path data"), in which `{formula}`
may stand for a number. Out: `Word` values, one for each command and its set of arguments, implicit
repeats written out; or a `PathError` with the offset of the character that cannot be read.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from booklet.measure.bounds import MAX_DIGITS, MAX_POWER
from booklet.measure.bounds import shown as shortened

# What each command takes: x and y lengths, r radii, a an angle, f a flag.
ARGUMENTS: Final = {
    "M": "xy",
    "L": "xy",
    "H": "x",
    "V": "y",
    "C": "xyxyxy",
    "S": "xyxy",
    "Q": "xyxy",
    "T": "xy",
    "A": "rraffxy",
    "Z": "",
}
_SPACE: Final = re.compile(r"[\t\n\f\r ]*+")
_COMMA: Final = re.compile(r"[\t\n\f\r ]*+,?[\t\n\f\r ]*+")
# SVG 2 has no exponent in its grammar any more; readers in use take one, and so does this one.
_NUMBER: Final = re.compile(r"[+-]?(?:[0-9]*\.[0-9]++|[0-9]++)(?:[eE][+-]?[0-9]++)?")
_WAY_OUT: Final = 'Write path data such as "M 0 0 H 4 V {tall} A 2 2 0 0 1 0 3 Z".'


class PathError(Exception):
    """Path data that cannot be read: raised and caught inside the flat stage only.

    `code` is empty where the problem is reported already.
    """

    def __init__(self, code: str, message: str, way_out: str, at: int) -> None:
        super().__init__(message)
        self.code = code
        self.message = message
        self.way_out = way_out
        self.at = at


@dataclass(frozen=True)
class Argument:
    """A number (`value`) or a formula (`text`, without its braces), and where it starts."""

    value: Fraction
    text: str | None
    at: int


@dataclass(frozen=True)
class Word:
    """A command letter with one set of arguments; `at` is where letter or set starts."""

    letter: str
    arguments: tuple[Argument, ...]
    at: int


def words(text: str) -> Iterator[Word]:
    """The commands of path data in their order."""
    at = _skip(_SPACE, text, 0)
    if at == len(text):
        raise PathError("path-not-read", "the path data are empty", _WAY_OUT, 0)
    first = True
    while at < len(text):
        letter = text[at]
        # Some letters of other scripts have a capital in ASCII.
        if not letter.isascii() or letter.upper() not in ARGUMENTS:
            raise _unread(text, at, "a command letter (M L H V C S Q T A Z)")
        if first and letter not in "Mm":
            raise PathError(
                "path-not-read",
                f'path data start with M and a point, and not with "{letter}"',
                'Begin with a move to the first point, such as "M 0 0".',
                at,
            )
        first = False
        start, at = at, _skip(_SPACE, text, at + 1)
        if letter in "Zz":
            yield Word(letter, (), start)
            continue
        while True:
            arguments, at = _arguments(text, at, letter)
            yield Word(letter, arguments, start)
            letter = {"M": "L", "m": "l"}.get(letter, letter)
            start = after = _skip(_COMMA, text, at)
            if after == len(text) or text[after] not in "+-.0123456789{":
                if "," in text[at:after]:
                    raise _unread(text, after, "another number after the comma")
                at = after
                break
            at = after


def _arguments(text: str, at: int, letter: str) -> tuple[tuple[Argument, ...], int]:
    found: list[Argument] = []
    for kind in ARGUMENTS[letter.upper()]:
        if found:
            at = _skip(_COMMA, text, at)
        argument, at = _flag(text, at) if kind == "f" else _number(text, at, letter)
        found.append(argument)
    return tuple(found), at


def _flag(text: str, at: int) -> tuple[Argument, int]:
    """An arc flag: one letter, 0 or 1, which needs no space behind it."""
    if text[at : at + 1] not in ("0", "1"):
        raise _unread(text, at, "an arc flag, 0 or 1")
    return Argument(Fraction(int(text[at])), None, at), at + 1


def _number(text: str, at: int, letter: str) -> tuple[Argument, int]:
    if text[at : at + 1] == "{":
        end = text.find("}", at)
        if end < 0:
            message = "a formula is opened with { and never closed"
            raise PathError("path-not-read", message, "Close it with }.", at)
        return Argument(Fraction(0), text[at + 1 : end], at), end + 1
    match = _NUMBER.match(text, at)
    if match is None:
        raise _unread(text, at, f'a number for "{letter}"')
    digits, _, power = match[0].lower().partition("e")
    if (
        sum(map(str.isdigit, digits)) > MAX_DIGITS
        or len(power) > 4
        or abs(int(power or 0)) > MAX_POWER
    ):
        raise PathError(
            "number-out-of-range",
            f"{shortened(match[0])} has too many digits or too large a power of ten",
            "Write an ordinary number such as 5.125.",
            at,
        )
    return Argument(Fraction(match[0]), None, at), match.end()


def _unread(text: str, at: int, wanted: str) -> PathError:
    if at >= len(text):
        return PathError(
            "path-not-read",
            f"the path data end where {wanted} must stand",
            _WAY_OUT,
            max(0, len(text) - 1),
        )
    return PathError(
        "path-not-read", f"{text[at]!r} stands where {wanted} must stand", _WAY_OUT, at
    )


def _skip(pattern: re.Pattern[str], text: str, at: int) -> int:
    match = pattern.match(text, at)
    return match.end() if match is not None else at

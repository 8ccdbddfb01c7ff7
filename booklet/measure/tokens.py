"""Formula text to tokens, numbers with their fractions already read.

In: the text of a length. Out: a tuple of `Token`, or a `FormulaError` with the offset.

Three ways of writing could be read twice; the rules are these:

- `5-1/8` without a space is the mixed fraction 5⅛, `5 - 1/8` is a subtraction. Where another
  operator touches such a fraction (`wide/2-1/8`), nobody can know, so it is an error.
- `1/16 in`: a fraction without spaces right before a unit binds tighter than `/`, so it is a
  sixteenth of an inch, and `wide / 1/16 in` says how many of them there are.
- Any other `/` divides from left to right: `1/2 * wide` is half of wide, `wide/2/3` a sixth.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Final, Literal

from booklet.measure.bounds import MAX_DIGITS, MAX_TEXT, FormulaError, shown
from booklet.measure.units import NAMED, UNITS

Kind = Literal["number", "name", "mark", "sign", "end"]


@dataclass(frozen=True)
class Token:
    """One word of a formula; `at` is its offset, `value` that of a number."""

    kind: Kind
    text: str
    at: int
    value: Fraction = Fraction(0)


def _single_characters() -> dict[str, Fraction]:
    """The vulgar fractions that Unicode has as one character, such as ⅛ (U+215B)."""
    blocks = [*range(0x00BC, 0x00BF), *range(0x2150, 0x215F)]
    return {
        chr(code): Fraction(unicodedata.numeric(chr(code))).limit_denominator(10) for code in blocks
    }


_SINGLE: Final = _single_characters()
_RAISED: Final = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹₀₁₂₃₄₅₆₇₈₉", "0123456789" * 2)
_SIGNS: Final = str.maketrans("×÷−", "*/-")
_MARKS: Final = "".join(unit for unit in UNITS if not unit.isalpha())

_UNIT_NEXT: Final = re.compile(rf"\s*(?:(?:{'|'.join(NAMED)})(?![A-Za-z0-9_])|[{_MARKS}])")
_PLAIN_MIXED: Final = re.compile(
    r"(?P<whole>[0-9]+)(?P<between>\s+|-)(?P<top>[0-9]+)/(?P<low>[0-9]+)(?![.0-9])"
)
_SET_FRACTION: Final = re.compile(
    rf"(?:(?P<whole>[0-9]+)(?P<between>\s+|-)?)?"
    rf"(?:(?P<single>[{''.join(_SINGLE)}])"
    r"|(?P<top>[⁰¹²³⁴⁵⁶⁷⁸⁹]+)⁄(?P<low>[₀₁₂₃₄₅₆₇₈₉]+))"
)
_SLASHED: Final = re.compile(
    r"(?:(?P<whole>[0-9]+)(?P<between>\s+|-))?(?P<top>[0-9]+)⁄(?P<low>[0-9]+)(?![.0-9])"
)
_FRACTION: Final = re.compile(r"(?P<top>[0-9]+)/(?P<low>[0-9]+)(?![.0-9])")
_NUMBER: Final = re.compile(r"[0-9]+(?:\.[0-9]+)?|\.[0-9]+")
_NAME: Final = re.compile(r"[A-Za-z_][A-Za-z0-9_]*(?:\.[A-Za-z_][A-Za-z0-9_]*)?")


def tokens(text: str) -> tuple[Token, ...]:
    """All tokens of `text`, the last one of kind "end"."""
    if len(text) > MAX_TEXT:
        raise FormulaError(
            "formula-too-large",
            f'"{shown(text)}" has {len(text)} characters; a formula may have {MAX_TEXT}',
            "Give parts of it names in [measures].",
        )
    return tuple(_walk(text))


def _walk(text: str) -> Iterator[Token]:
    at = 0
    while at < len(text):
        if text[at].isspace():
            at += 1
            continue
        found, at = _next(text, at)
        yield from found
    yield Token("end", "", len(text))


def _next(text: str, at: int) -> tuple[tuple[Token, ...], int]:
    """The tokens that begin at `at` (a plain fraction brings three) and where they end."""
    for pattern in (_SET_FRACTION, _PLAIN_MIXED, _SLASHED):
        if match := pattern.match(text, at):
            return (_fraction(text, match),), match.end()
    if match := _FRACTION.match(text, at):
        if _UNIT_NEXT.match(text, match.end()):
            return (_fraction(text, match),), match.end()
        top, low = (
            Token("number", match[part], match.start(part), _integer(match[part], at))
            for part in ("top", "low")
        )
        return (top, Token("sign", "/", match.end("top")), low), match.end()
    if match := _NUMBER.match(text, at):
        if sum(map(str.isdigit, match[0])) > MAX_DIGITS:
            raise _too_many_digits(match[0], at)
        return (Token("number", match[0], at, Fraction(match[0])),), match.end()
    if match := _NAME.match(text, at):
        return (Token("name", match[0], at),), match.end()
    if text[at] in _MARKS:
        return (Token("mark", text[at], at),), at + 1
    sign = text[at].translate(_SIGNS)
    if sign in "+-*/(),":
        return (Token("sign", sign, at),), at + 1
    raise FormulaError(
        "formula-not-read",
        f'"{shown(text)}" has a character that no length has: {text[at]!r}',
        'Write a length such as "5 1/8", "130 mm" or "wide + 1/4".',
        at,
    )


def _fraction(text: str, match: re.Match[str]) -> Token:
    """The number token of a fraction, with its whole part where it has one."""
    parts = match.groupdict()
    at = match.start()
    if parts.get("single"):
        part = _SINGLE[parts["single"]]
    else:
        top, low = (_integer(parts[key].translate(_RAISED), at) for key in ("top", "low"))
        if low == 0:
            raise FormulaError(
                "division-by-zero",
                f'"{match[0]}" divides by zero',
                "Write a denominator other than 0.",
                at,
            )
        part = top / low
    whole = parts.get("whole")
    if whole is None:
        return Token("number", match[0], at, part)
    if parts["between"] == "-":
        _refuse_two_readings(text, match, part)
    if part >= 1:
        raise FormulaError(
            "formula-not-read",
            f'"{match[0]}" is no mixed fraction: its fraction is not below one',
            f'Write the fraction below one, or "{whole} + {match[0][len(whole) :].strip(" -")}".',
            at,
        )
    return Token("number", match[0], at, _integer(whole, at) + part)


def _refuse_two_readings(text: str, match: re.Match[str], part: Fraction) -> None:
    """FormulaError where `5-1/8` may as well be meant as 5 less 1/8.

    After a touching minus both readings have one value (`wide-5-1/8`), so that is let through.
    """
    before, after = text[: match.start()][-1:], text[match.end() :][:1]
    touched = (before and before in "+*/×÷") or (after and after in "+-*/×÷−")
    if touched or part >= 1:
        whole, tail = match["whole"], match[0][match.end("between") - match.start() :]
        raise FormulaError(
            "formula-ambiguous",
            f'"{match[0]}" in "{shown(text)}" can be read as a mixed fraction or a subtraction',
            f'Write "{whole}{" " if part < 1 else " + "}{tail}" to add the fraction, '
            f'"{whole} - {tail}" to subtract it.',
            match.start(),
        )


def _integer(digits: str, at: int) -> Fraction:
    if len(digits) > MAX_DIGITS:
        raise _too_many_digits(digits, at)
    return Fraction(int(digits))


def _too_many_digits(digits: str, at: int) -> FormulaError:
    return FormulaError(
        "number-out-of-range",
        f"{shown(digits)} has more than {MAX_DIGITS} digits",
        "Write an ordinary number such as 5 1/8 or 130.",
        at,
    )

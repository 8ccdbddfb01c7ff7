"""What is wrong with a text that is not TOML, in plain words and with a place.

In: the error of `tomllib` and the scan of the text. Out: a `Problem`. Python before 3.14 tells
the place of a syntax error only inside its message, and for some errors only "at end of
document"; there the scan, which went through the same text, knows better.
"""

from __future__ import annotations

import re

from booklet.problem import Place, Problem
from booklet.read.places import Places, Scan, Stop
from booklet.read.spot import cropped, shown_name

# The end of a message of `tomllib` in Python 3.11, such as "(at line 3, column 5)".
_AT = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)$")

# Start of a message of `tomllib` -> what to do about it.
_HELP = (
    ("Invalid value", 'Put text in quotes: title = "Seed box".'),
    ("Invalid initial character for a key", "Write key = value; a key is a word or in quotes."),
    ("Invalid statement", "Write key = value, a [table] or a # comment on each line."),
    ("Expected '='", "Write key = value."),
    ("Expected newline", "Put text in quotes, and one key on each line."),
    ("Expected ']", "Close the bracket."),
    ("Unclosed array", "Close the list with ], and put a comma between its elements."),
    ("Unclosed inline table", "Close the table with }, and put a comma between its pairs."),
    ("Unescaped '\\'", "Write \\\\ for a backslash, or use 'single quotes'."),
    ("Illegal character '\\n'", 'Close the text with " on the same line.'),
    ("Illegal character", "Delete the character or write it as \\u and four digits."),
    ("Expected '\"", 'Close the text with ".'),
    ("Expected \"'", "Close the text with '."),
    ("Unterminated string", "Close the text with the quotes that it starts with."),
    ("Cannot declare", "Write the table once, or with double brackets if there are several."),
    ("Cannot overwrite", "Keep one of the two."),
    ("Duplicate inline table key", "Keep one of the two."),
)
_ANY_HELP = "See the language reference for how a project file is written."


def syntax_problem(error: Exception, text: str, scanned: Scan) -> Problem:
    """The problem for what `tomllib` raised: a ValueError, or RecursionError at worst."""
    if isinstance(error, RecursionError):
        return stop_problem(Stop("too-deep", 0), scanned.places)
    words = _AT.sub("", str(error))
    if words.startswith(("Cannot overwrite", "Duplicate inline")) and scanned.repeated:
        path, offset = scanned.repeated
        name = shown_name(str(path[-1]))
        return Problem(
            "toml-syntax",
            f'The key "{name}" is written twice in the same table',
            scanned.places.at(offset),
            "Keep one of the two.",
        )
    way_out = next((way for start, way in _HELP if words.startswith(start)), _ANY_HELP)
    message = f"This is not TOML: {cropped(words)}"
    return Problem("toml-syntax", message, _place(error, text, scanned), way_out)


def _place(error: Exception, text: str, scanned: Scan) -> Place:
    """Where the error is; for one at the end of the text, where the scan had to stop."""
    match = _AT.search(str(error))
    if match is not None and match.group(1):
        return Place(scanned.places.file, int(match.group(1)), int(match.group(2)))
    if scanned.stop is not None and scanned.stop.offset < len(text):
        return scanned.places.at(scanned.stop.offset)
    return scanned.places.at(max(len(text.rstrip("\n")), 0))


def stop_problem(stop: Stop, places: Places) -> Problem:
    """The problem for a text that is refused before it is parsed."""
    message, way_out = {
        "too-deep": (
            "Keys or lists lie too deep inside one another",
            "No table of the language is nested more than four deep.",
        ),
        "too-many": (
            "The file has more keys and values than any project needs",
            "Split the project into several files.",
        ),
        "number-out-of-range": ("This value is far too long", "Write a shorter number."),
        "syntax": ("This is not TOML", _ANY_HELP),
    }[stop.reason]
    return Problem(
        "toml-syntax" if stop.reason == "syntax" else stop.reason,
        message,
        places.at(stop.offset),
        way_out,
    )

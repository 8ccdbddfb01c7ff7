"""Problems as text: place, what is wrong, the source line with a caret, what to do.

In: `Problem` values. Out: plain text without colour. What a file or a value holds is printed
harmlessly: control characters could otherwise move the cursor of the reader's terminal.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable
from pathlib import Path

from booklet.limits import Limits
from booklet.problem import Place, Problem
from booklet.read.spot import is_control

# Columns of a source line that are shown; a longer line is cut round the caret.
_WIDTH = 96
_TAB = "    "
_HIDDEN = "\N{REPLACEMENT CHARACTER}"


def why(error: OSError) -> str:
    """Why a file cannot be read or written, for a person who asked for a folder or a file."""
    if isinstance(error, (FileExistsError, NotADirectoryError)):
        return "a file stands where a folder is needed"
    return harmless(error.strerror or str(error))


def show(problems: Iterable[Problem], limits: Limits | None = None) -> str:
    """All problems, in the order given, each ending with a newline; each file is read once."""
    sources: dict[str, tuple[str, ...]] = {}
    texts = []
    for problem in problems:
        place = problem.place
        if place is not None and place.file not in sources:
            sources[place.file] = source_lines(Path(place.file), limits or Limits())
        texts.append(show_problem(problem, sources[place.file] if place is not None else ()))
    return "".join(texts)


def source_lines(path: Path, limits: Limits) -> tuple[str, ...]:
    """The lines of a file, whatever its bytes; none where it cannot be read."""
    try:
        if not path.is_file():
            return ()
        with path.open("rb") as file:
            content = file.read(limits.file_bytes)
    except (OSError, ValueError):
        return ()
    text = content.decode("utf-8", errors="replace").removeprefix("\ufeff")
    return tuple(text.replace("\r\n", "\n").split("\n"))


def show_problem(problem: Problem, lines: tuple[str, ...]) -> str:
    """One problem, with the line of the source that is blamed if there is one."""
    head = f"{problem.severity}: {problem.message} [{problem.code}]"
    place = problem.place
    if place is not None:
        head = f"{place.file}:{place.line}:{place.column}: {head}"
    shown = [harmless(head)]
    if place is not None and place.line <= len(lines):
        shown += _excerpt(place, lines[place.line - 1])
    if problem.help:
        shown.append(f"  help: {harmless(problem.help)}")
    return "\n".join(shown) + "\n"


def _excerpt(place: Place, line: str) -> list[str]:
    """The source line, and under it a caret at the column."""
    before, after = harmless(line[: place.column - 1]), harmless(line[place.column - 1 :])
    before, after = _from_right(before, _WIDTH * 2 // 3), _from_left(after, _WIDTH // 2)
    margin = f"{place.line:>5} | "
    gap = " " * (len(margin) - 2) + "| "
    return [f"{margin}{before}{after}".rstrip(), f"{gap}{' ' * display_width(before)}^"]


def _from_left(text: str, width: int) -> str:
    """The start of a text, as many letters as fit."""
    return text if len(text) <= width else text[:width] + "..."


def _from_right(text: str, width: int) -> str:
    """The end of a text, as many letters as fit."""
    return text if len(text) <= width else "..." + text[-width:]


def harmless(text: str) -> str:
    """A text with tabs as spaces and everything that steers a terminal replaced."""
    spaced = text.replace("\t", _TAB)
    return "".join(_HIDDEN if is_control(letter) else letter for letter in spaced)


def display_width(text: str) -> int:
    """How many columns of a terminal a text takes.

    Unicode Standard Annex 11: wide and fullwidth characters take two; combining marks and
    format characters (general categories Mn, Me, Cf) take none.
    """
    return sum(_letter_width(letter) for letter in text)


def _letter_width(letter: str) -> int:
    if unicodedata.category(letter) in {"Mn", "Me", "Cf"}:
        return 0
    return 2 if unicodedata.east_asian_width(letter) in {"W", "F"} else 1

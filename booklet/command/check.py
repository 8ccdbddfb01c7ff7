"""`booklet check`: prove what can be proved, write nothing.

In: project files. Out: problems on stderr, a summary or the JSON report on stdout, the exit status.
"""

from __future__ import annotations

import json
import pathlib
import sys
from collections.abc import Sequence
from typing import TYPE_CHECKING

from booklet.command.glyphs import missing_glyphs
from booklet.command.show import harmless, show
from booklet.problem import Problem
from booklet.report import report
from booklet.stages import Asked, Model, check_file

if TYPE_CHECKING:
    from booklet.draw.typeface import Faces

UNREADABLE = frozenset({"file-unreadable", "unknown-size", "option-unusable"})
"""Problems of the command line rather than of a project."""


def status(problems: Sequence[Problem], strict: bool) -> int:
    """0 done, 1 errors in the project, 2 a file that cannot be read."""
    if any(problem.code in UNREADABLE for problem in problems):
        return 2
    bad = {"error", "warning"} if strict else {"error"}
    return 1 if any(problem.severity in bad for problem in problems) else 0


def print_problems(problems: Sequence[Problem]) -> None:
    """Each problem with its place, source line and way out, to stderr."""
    sys.stderr.write(show(problems))


def check(files: Sequence[str], as_json: bool, strict: bool, asked: Asked) -> int:
    """Check each file; several reports are printed as a JSON array."""
    worst = 0
    reports = []
    for name in files:
        path = pathlib.Path(name)
        model, problems = check_file(path, asked)
        if model is not None:
            problems += missing_glyphs(model.project, path, _faces)
        print_problems(problems)
        worst = max(worst, status(problems, strict))
        if as_json:
            reports.append(report(model, problems))
        else:
            print(_summary(name, model, problems))
    if as_json:
        whole = reports[0] if len(reports) == 1 else reports
        print(json.dumps(whole, indent=1, ensure_ascii=False))
    return worst


def _faces() -> Faces:
    """The faces; only a text with unusual characters is worth loading them for a check."""
    from booklet.draw.typeface import load_faces

    return load_faces()


def _summary(name: str, model: Model | None, problems: Sequence[Problem]) -> str:
    counts = [
        f"{count} {word}{'' if count == 1 else 's'}"
        for word in ("error", "warning", "note")
        if (count := sum(problem.severity == word for problem in problems))
    ]
    words = ", ".join(counts) if counts else "nothing to complain of"
    sizes = ""
    if model is not None:
        printer = model.printer
        sizes = "".join(
            f"\n  {_of(one)}{p.name}: blank {printer.size(p.blank)}"
            for one in model.sizes
            for p in one.patterns
        )
    return f"{harmless(name)}: {words}{sizes}"


def _of(model: Model) -> str:
    return f"{harmless(model.size.name)}, " if model.size is not None else ""

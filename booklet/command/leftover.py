"""`booklet plan --leftover`: which pieces or projects come out of a piece of paper that is left.

In: a project file or a folder of them, and a size as one says it. Out: a table or JSON on stdout,
problems on stderr, the exit status.
"""

from __future__ import annotations

import json
import pathlib
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from booklet.command.check import print_problems, status
from booklet.command.columns import paragraph, table
from booklet.command.show import harmless
from booklet.limits import Limits
from booklet.problem import Problem
from booklet.report import problem_entry
from booklet.stages import Model, check_file
from booklet.stock.instruction import counted, plain_size
from booklet.stock.plan_value import Size
from booklet.stock.scrap import ScrapFit, is_of, read_scrap, scrap_fits, scrap_size


@dataclass(frozen=True)
class Found:
    """What comes out of the leftover for one project file."""

    file: str
    model: Model
    size: Size
    fits: tuple[ScrapFit, ...]
    whole: bool


def leftover(name: str, spoken: str, as_json: bool) -> int:
    """Tell what fits; a file with errors in a folder is named and left out."""
    scrap = read_scrap(spoken)
    if scrap is None:
        return _no_size(spoken)
    path = pathlib.Path(name)
    files = project_files(path) if path.is_dir() else [path]
    if not files:
        print(f"booklet: no project file in {harmless(name)}", file=sys.stderr)
        return 2
    worst = 0
    found: list[Found] = []
    problems: list[Problem] = []
    stocks: list[str] = []
    for file in files:
        model, own = check_file(file)
        code = status(own, strict=False)
        if code or model is None:
            worst = max(worst, code)
            print_problems([problem for problem in own if problem.severity == "error"])
            print(f"{harmless(str(file))}: left out, it has errors", file=sys.stderr)
            problems += own
            continue
        size = scrap_size(scrap, model.scope)
        if size is None:
            return _no_size(spoken)
        stocks += [stock.name for stock in model.project.stocks]
        if not any(is_of(stock, scrap.words) for stock in model.project.stocks):
            continue
        fits, whole = scrap_fits(scrap, size, model.project, model.patterns, model.mats)
        found.append(Found(str(file), model, size, fits, whole))
    if stocks and not found:
        words = " ".join(scrap.words)
        known = "; ".join(dict.fromkeys(stocks))
        print(f"booklet: no stock is called {words!r}; known are: {known}", file=sys.stderr)
        return 2
    if as_json:
        entries = {
            "problems": [problem_entry(problem) for problem in problems],
            "leftover": [_entry(one) for one in found],
        }
        print(json.dumps(entries, indent=1, ensure_ascii=False))
    elif found:
        print("\n".join(_lines(spoken, found)))
    elif not worst:
        print("  no stock is named, so nothing is cut from it")
    return worst


def project_files(folder: pathlib.Path) -> list[pathlib.Path]:
    """The .toml files in a folder and one level below, in order, hidden ones left out."""
    files = [*folder.glob("*.toml"), *folder.glob("*/*.toml")]
    shown = [f for f in files if not any(p.startswith(".") for p in f.relative_to(folder).parts)]
    return sorted(shown)[: Limits().tables]


def _no_size(spoken: str) -> int:
    print(
        f"booklet: {harmless(spoken)!r} is no leftover: say its two sides, then if you like the "
        'unit and the stock, as in "6 x 8 in card"',
        file=sys.stderr,
    )
    return 2


def _lines(spoken: str, found: Sequence[Found]) -> list[str]:
    lines = paragraph(f"What comes out of {spoken.strip()}", 0)
    titles = [one.model.project.project.title for one in found]
    for one in found:
        title = one.model.project.project.title
        # Drafts and copies of a project have its title too: then the file tells them apart.
        file = harmless("/".join(pathlib.Path(one.file).parts[-2:]))
        heading = title if titles.count(title) == 1 else f"{title} ({file})"
        lines += ["", *paragraph(heading if title else file, 0)]
        names = one.model.names
        rows = [
            (names[fit.id], plain_size(fit.size, one.model.printer), _answer(fit))
            for fit in one.fits
        ]
        lines += table(rows, wide=2) if rows else ["  nothing is cut from it"]
        if one.whole:
            lines += paragraph("All that one project takes of it fits at once.")
    return lines


def _answer(fit: ScrapFit) -> str:
    if not fit.way:
        return "no"
    mind = "; mind the grain" if fit.grain else ""
    return f"yes, {fit.way}: {counted(fit.count, 'piece')}{mind}"


def _entry(one: Found) -> dict[str, Any]:
    return {
        "file": one.file,
        "project": one.model.project.project.title,
        "size": [float(side) for side in one.size],
        "whole": one.whole,
        "fits": [
            {
                "piece": fit.id,
                "stock": fit.stock,
                "size": [float(side) for side in fit.size],
                "fits": bool(fit.way),
                "way": fit.way,
                "count": fit.count,
                "wanted": fit.wanted,
            }
            for fit in one.fits
        ],
    }

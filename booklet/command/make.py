"""`booklet make`: write the PDF of each project.

In: project files and options. Out: a PDF beside each file (or in a folder), its path on stdout,
the exit status. A project with errors leaves its earlier PDF as it was.
"""

from __future__ import annotations

import os
import pathlib
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime

from booklet.command.check import print_problems, status
from booklet.command.glyphs import missing_glyphs
from booklet.command.show import harmless
from booklet.draw.typeface import load_faces
from booklet.pages.grid import PAPERS
from booklet.pages.handout import handout
from booklet.pdf.write import write_pdf
from booklet.stages import check_file

EARLIEST = datetime(2000, 1, 1, tzinfo=UTC)
"""The date that a PDF carries when SOURCE_DATE_EPOCH is not set: the same input, the same bytes."""


@dataclass(frozen=True)
class Options:
    """What the words after `booklet make` ask for; None where the project decides.

    `out` is a folder; `plain` leaves out tags and archive metadata; with `strict` a warning counts
    as an error; `students` is for how many a class is planned.
    """

    paper: str | None = None
    out: str | None = None
    grey: bool = False
    plain: bool = False
    strict: bool = False
    students: int | None = None


def make(files: Sequence[str], options: Options) -> int:
    """Make each booklet; one that fails does not stop the next."""
    date = _date()
    if date is None:
        print("booklet: SOURCE_DATE_EPOCH is no count of seconds", file=sys.stderr)
        return 2
    worst = 0
    faces = load_faces()
    written: set[pathlib.Path] = set()
    for name in files:
        path = pathlib.Path(name)
        model, problems = check_file(path, options.students)
        if model is not None:
            problems += missing_glyphs(model.project, path, lambda: faces)
        print_problems(problems)
        code = status(problems, options.strict)
        worst = max(worst, code)
        if code or model is None or not model.patterns:
            print(f"{harmless(name)}: no booklet written", file=sys.stderr)
            worst = max(worst, 1)
            continue
        sheet = PAPERS[options.paper or model.project.look.paper]
        document = handout(model, sheet, faces)
        folder = pathlib.Path(options.out) if options.out else path.parent
        target = folder / f"{path.stem}-{sheet.name}.pdf"
        if target in written:
            print(f"booklet: {target} is another project's booklet already", file=sys.stderr)
            worst = 2
            continue
        try:
            folder.mkdir(parents=True, exist_ok=True)
            write_pdf(document, faces, target, date=date, grey=options.grey, plain=options.plain)
        except OSError as error:
            reason = error.strerror or str(error)
            print(f"booklet: {target} cannot be written: {reason}", file=sys.stderr)
            worst = 2
            continue
        written.add(target)
        print(f"{target} ({len(document.pages)} pages)")
    return worst


def _date() -> datetime | None:
    text = os.environ.get("SOURCE_DATE_EPOCH")
    if text is None:
        return EARLIEST
    if not (text.isascii() and text.isdigit()) or len(text) > 11:
        return None
    return datetime.fromtimestamp(int(text), UTC)

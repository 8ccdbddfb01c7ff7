"""`booklet make`: write the PDF of each project.

In: project files and options. Out: a PDF beside each file (or in a folder), its path on stdout,
the exit status. A project with errors leaves its earlier PDF as it was.
"""

from __future__ import annotations

import os
import pathlib
import re
import sys
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime

from booklet.command.check import print_problems, status
from booklet.command.glyphs import missing_glyphs
from booklet.command.show import harmless, why
from booklet.draw.typeface import Faces, load_faces
from booklet.pages.grid import PAPERS
from booklet.pages.handout import handout
from booklet.pdf.write import write_pdf
from booklet.stages import Asked, Model, check_file

EARLIEST = datetime(2000, 1, 1, tzinfo=UTC)
"""The date that a PDF carries when SOURCE_DATE_EPOCH is not set: the same input, the same bytes."""


@dataclass(frozen=True)
class Options:
    """What the words after `booklet make` ask for; None where the project decides.

    `out` is a folder; `plain` leaves out tags and archive metadata; with `strict` a warning counts
    as an error; `large` asks for large print, `fold` for a booklet to fold, of sheets `leaf` mm
    thick. `measured` is what the printer makes of 100 mm.
    """

    paper: str | None = None
    out: str | None = None
    grey: bool = False
    plain: bool = False
    strict: bool = False
    asked: Asked = field(default_factory=Asked)
    edition: str = "handout"
    large: bool = False
    fold: bool = False
    leaf: float = 0.1
    measured: float = 100.0


def make(files: Sequence[str], options: Options) -> int:
    """Make each booklet; one that fails does not stop the next."""
    date = date_given()
    if date is None:
        print("booklet: SOURCE_DATE_EPOCH is no count of seconds", file=sys.stderr)
        return 2
    worst = 0
    faces = load_faces()
    written: set[pathlib.Path] = set()
    for name in files:
        path = pathlib.Path(name)
        model, problems = check_file(path, options.asked)
        if model is not None:
            problems += missing_glyphs(model.project, path, lambda: faces)
        print_problems(problems)
        code = status(problems, options.strict)
        worst = max(worst, code)
        if code or model is None or not model.patterns:
            print(f"{harmless(name)}: no booklet written", file=sys.stderr)
            worst = max(worst, 1)
            continue
        folder = pathlib.Path(options.out) if options.out else path.parent
        target = target_of(path, model, folder, options)
        shown = harmless(str(target))
        if target in written or any(_is_one(target, other) for other in written):
            print(f"booklet: {shown} is another project's booklet already", file=sys.stderr)
            worst = 2
            continue
        try:
            folder.mkdir(parents=True, exist_ok=True)
            lines = write_edition(model, faces, target, options, date)
        except OSError as error:
            print(f"booklet: {shown} cannot be written: {why(error)}", file=sys.stderr)
            worst = 2
            continue
        written.add(target)
        print(*map(harmless, lines), sep="\n")
    return worst


def _is_one(target: pathlib.Path, other: pathlib.Path) -> bool:
    """Whether two names lead to one file: by a link, or on a disk that reads "A" as "a"."""
    try:
        return target.samefile(other)
    except OSError:
        return False


def target_of(
    path: pathlib.Path, model: Model, folder: pathlib.Path, options: Options
) -> pathlib.Path:
    """The file or folder that is written."""
    if options.edition == "pattern":
        return folder / f"{'-'.join([path.stem, *_chosen(options.asked)])}-pattern"
    kinds = {"binder": options.edition == "binder", "booklet": options.fold}
    kinds["large-print"] = options.large
    words = [path.stem, *_chosen(options.asked), *(kind for kind, asked in kinds.items() if asked)]
    return folder / f"{'-'.join(words)}-{options.paper or model.project.look.paper}.pdf"


def write_edition(
    model: Model, faces: Faces, target: pathlib.Path, options: Options, date: datetime
) -> list[str]:
    """Writes what is asked for; a line for each file. Raises OSError where it cannot be written."""
    sheet = PAPERS[options.paper or model.project.look.paper]
    if options.measured != sheet.measured:
        sheet = replace(sheet, measured=options.measured)
    grey = options.grey
    if options.edition == "pattern":
        from booklet.command.pattern import write_pattern

        return [str(path) for path in write_pattern(model, faces, target, sheet, date, options)]
    if options.fold:
        from booklet.command.fold import write_folded

        return write_folded(model, faces, target, sheet, date, options)
    if options.edition == "binder":
        from booklet.pages.binder import binder

        document = binder(model, sheet, faces)
    else:
        document = handout(model, sheet, faces, large=options.large)
    write_pdf(document, faces, target, date=date, grey=grey, plain=options.plain)
    return [f"{target} ({len(document.pages)} pages)"]


def _chosen(asked: Asked) -> list[str]:
    """What the command line chose, for the file's name."""
    ruler = asked.ruler and f"ruler-{re.sub(r'[^0-9a-z]+', '-', asked.ruler.lower()).strip('-')}"
    return [word for word in (asked.size, asked.units, ruler) if word]


def date_given() -> datetime | None:
    """The day of SOURCE_DATE_EPOCH, EARLIEST where it is not set, None where it is no count."""
    text = os.environ.get("SOURCE_DATE_EPOCH")
    if text is None:
        return EARLIEST
    if not (text.isascii() and text.isdigit()) or len(text) > 11:
        return None
    return datetime.fromtimestamp(int(text), UTC)

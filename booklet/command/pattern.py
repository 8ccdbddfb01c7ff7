"""`booklet make --for pattern`: a folder ready to sell, and the same as a zip.

In: a model and where to put it. Out: NAME-pattern/ and NAME-pattern.zip. Both are made in memory
and moved into place whole.
"""

from __future__ import annotations

import errno
import textwrap
from collections.abc import Mapping, Sequence
from datetime import datetime
from pathlib import Path

from booklet.command.make import Options
from booklet.draw.svg import svg
from booklet.draw.template import mat_template, template
from booklet.draw.typeface import Faces
from booklet.pages.frame import as_document
from booklet.pages.glance import glance
from booklet.pages.grid import PAPERS, Paper
from booklet.pages.pattern import NO_LICENCE, SoldFile, pattern, template_only
from booklet.pages.print_page import TITLE
from booklet.pages.sizes import separate
from booklet.pages.type import STYLES
from booklet.pdf.bundle import (
    CHECKSUMS,
    must_be_ours,
    with_checksums,
    write_folder,
    zip_bytes,
)
from booklet.pdf.canvas import pdf_bytes
from booklet.pdf.write import must_be_a_file, write_file
from booklet.read.spot import is_control
from booklet.stages import Model

README = "READ-ME.txt"


def write_pattern(
    model: Model, faces: Faces, folder: Path, paper: Paper, date: datetime, options: Options
) -> list[Path]:
    """Writes folder and zip; `paper` is the one that the pictures show. Raises OSError."""
    if any(is_control(letter) for letter in folder.name):
        # Neither the list of sums nor a zip has a way to write it that every reader knows.
        raise OSError(errno.EILSEQ, "its name holds what cannot be printed: rename the project")
    if folder.exists():
        must_be_ours(folder)
    stem = folder.name.removesuffix("-pattern")
    files = with_checksums(pattern_files(model, faces, stem, paper, date, options))
    archive = folder.with_name(folder.name + ".zip")
    # What can fail comes before the folder is replaced, so that folder and zip stay of one run.
    zipped = zip_bytes(files, folder.name, date)
    must_be_a_file(archive)
    write_folder(files, folder)
    write_file(zipped, archive)
    return [folder, archive]


def pattern_files(
    model: Model, faces: Faces, stem: str, paper: Paper, date: datetime, options: Options
) -> dict[str, bytes]:
    """Every file of the folder but the list of checksums, by its name there."""
    grey, plain = options.grey, options.plain
    listed = sold_files(model, stem)
    files: dict[str, bytes] = {README: read_me(model, listed).encode()}
    pages: dict[str, int] = {}
    for sheet in PAPERS.values():
        document = pattern(model, listed, sheet, faces)
        name = f"{stem}-{sheet.name}.pdf"
        files[name] = pdf_bytes(document, faces, date=date, grey=grey, plain=plain)
        alone = template_only(model, sheet, faces)
        name = f"{stem}-template-grey-{sheet.name}.pdf"
        files[name] = pdf_bytes(alone, faces, date=date, grey=True, plain=plain)
        pages[sheet.name] = len(document.pages)
        if sheet is paper:
            steps = [n for n, p in enumerate(document.pages, 1) if p.bookmark == "Steps"]
    files |= drawings(model, faces, grey)
    shown = files[f"{stem}-{paper.name}.pdf"]
    return files | _pictures(model, faces, shown, pages, steps, paper, date, grey)


def sold_files(model: Model, stem: str) -> list[SoldFile]:
    """What lies in the folder, for the licence page and the read-me text."""
    listed = [
        SoldFile(f"{stem}-letter.pdf", "the whole pattern, on Letter paper"),
        SoldFile(f"{stem}-a4.pdf", "the whole pattern, on A4 paper"),
        SoldFile(f"{stem}-template-grey-letter.pdf", "the template alone, in greys, on Letter"),
        SoldFile(f"{stem}-template-grey-a4.pdf", "the template alone, in greys, on A4"),
        SoldFile("svg/", "each piece in real units, with layers, for drawing programs"),
        SoldFile("pictures/", "the cover, the contents at a glance and the steps"),
        SoldFile(README, "these words as plain text"),
        SoldFile(CHECKSUMS, "SHA-256 sums: they show whether a file came over whole"),
    ]
    return listed


def read_me(model: Model, listed: Sequence[SoldFile]) -> str:
    """The read-me text, lines of at most 76 letters."""
    project = model.project.project
    head = [project.title, "=" * min(76, len(project.title))]
    if project.designer:
        head.append(f"Design: {project.designer}")
    if project.version:
        head.append(f"Version {project.version}")
    parts = ["\n".join(head)]
    if project.summary:
        parts.append(_filled(project.summary))
    rows = [_filled(f"{file.name}: {file.words}", "  ", "      ") for file in listed]
    parts.append("\n".join(("In this folder", *rows)))
    parts.append(
        _filled(
            f"To print: open the PDF of your paper size and turn to the page “{TITLE}”. Print "
            "that page at 100 % and measure its scale checks. If both are 100 mm long, print the "
            "template pages with the same settings."
        )
    )
    parts.append("Licence\n" + _filled(project.licence or NO_LICENCE, "  ", "  "))
    parts.append(
        _filled(f"To see whether every file came over whole: sha256sum --check {CHECKSUMS}")
    )
    return "\n\n".join(parts) + "\n"


def _filled(words: str, first: str = "", other: str = "") -> str:
    return textwrap.fill(words, 76, initial_indent=first, subsequent_indent=other)


def drawings(model: Model, faces: Faces, grey: bool) -> dict[str, bytes]:
    """Each piece and each mat as SVG; one that a later size has otherwise has its id behind."""
    accent = model.project.look.accent
    drawn = {}
    for index, one in enumerate(separate(model)):
        of = f"-{one.size.id.value}" if index and one.size is not None else ""
        glued = {join.tab for piece in one.patterns for join in piece.joins}
        for piece in one.patterns:
            drawing = template(piece, glued, one.printer, faces, measured=False)
            drawn[f"svg/{piece.id}{of}.svg"] = (drawing, piece.name)
        for mat in one.mats:
            drawn[f"svg/mat-{mat.id}{of}.svg"] = (mat_template(mat, one.printer, faces), mat.name)
    return {
        # Half a millimetre round it keeps the whole width of the outline in sight.
        name: svg(drawing, STYLES, title=title, accent=accent, grey=grey, margin=0.5).encode()
        for name, (drawing, title) in drawn.items()
    }


def _pictures(
    model: Model,
    faces: Faces,
    shown: bytes,
    pages: Mapping[str, int],
    steps: Sequence[int],
    paper: Paper,
    date: datetime,
    grey: bool,
) -> dict[str, bytes]:
    from booklet.pdf.picture import glance_picture, page_picture

    overview = glance(model, pages, paper, faces)
    document = as_document(model, [overview.page], "picture")
    data = pdf_bytes(document, faces, date=date, grey=grey, plain=True)
    pictures = {
        "pictures/1-cover.png": page_picture(shown, 1),
        "pictures/2-contents.png": glance_picture(data, overview, shown),
    }
    if steps:
        pictures["pictures/3-steps.png"] = page_picture(shown, steps[0])
    return pictures

"""`booklet make --booklet`: sheets to fold and staple, the templates and the teacher's pages.

In: a model and where to put it. Out: NAME-booklet-PAPER.pdf, NAME-booklet-PAPER-templates.pdf and,
where there is a class, NAME-booklet-PAPER-teacher.pdf. The templates keep their size and their own
sheets, printed on one side; so do the teacher's pages, which no student gets.
"""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from booklet.command.make import Options
from booklet.draw.typeface import Faces
from booklet.pages.grid import Paper
from booklet.pages.handout import folded, teacher_only
from booklet.pages.page import Document
from booklet.pages.pattern import template_only
from booklet.pdf.canvas import pages_and_tree, pdf_bytes
from booklet.pdf.impose import imposed
from booklet.pdf.section import Section, section_of
from booklet.pdf.write import must_be_a_file, write_file, write_pdf
from booklet.stages import Model


def write_folded(
    model: Model, faces: Faces, target: Path, paper: Paper, date: datetime, options: Options
) -> list[str]:
    """Writes the files; a line for each. Raises OSError."""
    reading = folded(model, paper, faces)
    sheets = imposed(_pages(reading, faces, date, options), reading, date, options.leaf)
    full_size = template_only(model, paper, faces, "handout", folding=True)
    apart = target.with_name(f"{target.stem}-templates.pdf")
    data = pdf_bytes(full_size, faces, date=date, grey=options.grey, plain=options.plain)
    own = target.with_name(f"{target.stem}-teacher.pdf")
    teacher = teacher_only(model, paper, faces)
    # What can fail comes before the first of them is replaced, so that all stay of one run.
    for place in (target, apart, *(() if teacher is None else (own,))):
        must_be_a_file(place)
    write_file(sheets, target)
    write_file(data, apart)
    count = len(reading.pages)
    lines = [
        f"{target} ({count} pages on {count // 4} sheets: print on both sides, flip on the short "
        "edge, fold)",
        f"{apart} ({len(full_size.pages)} pages: print on one side, at 100 %)",
    ]
    if teacher is not None:
        write_pdf(teacher, faces, own, date=date, grey=options.grey, plain=options.plain)
        lines.append(f"{own} ({len(teacher.pages)} pages for the teacher, not for students)")
    return lines


def _pages(reading: Document, faces: Faces, date: datetime, options: Options) -> Section:
    """The reading pages, with their tags unless they are plain."""
    if options.plain:
        return section_of(pdf_bytes(reading, faces, date=date, grey=options.grey, plain=True))
    return section_of(*pages_and_tree(reading, faces, date=date, grey=options.grey))

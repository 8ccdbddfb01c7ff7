"""`booklet forms`: the ready forms as a list in the terminal, or as a gallery in a PDF.

In: where the gallery goes, if one is wanted. Out: the list on stdout, or the PDF and its path; the
exit status.
"""

from __future__ import annotations

import pathlib
import re
import sys
import textwrap
from dataclasses import replace
from fractions import Fraction

from booklet.command.draft import Draft
from booklet.command.show import harmless, why
from booklet.command.sized import checked
from booklet.command.start import Wish, new_draft
from booklet.measure.rounding import fraction_text
from booklet.measure.units import UNITS
from booklet.read.form import INSIDE, Fragment, form_names, read_fragment

WIDTH = 96
_MIXED = re.compile(r"\b(?:([0-9]+) )?([0-9]+/[1-9][0-9]*)\b")


def forms(out: str | None, paper: str | None) -> int:
    """Print the list, or write the gallery; 0 done, 2 where it cannot be written."""
    if out is not None:
        return _write(pathlib.Path(out), paper or "letter")
    units = "mm" if paper == "a4" else "in"
    for name in form_names():
        print(_told(read_fragment(name), sample(name, units)))
    print(
        "booklet start NAME --form FORM --inside WxTxD writes a project; --set tab=1/2 sets more."
    )
    return 0


def sample(name: str, units: str) -> Draft:
    """A draft of the form at the size of its own examples, up to the ruler."""
    inputs = {one.name: one.default for one in read_fragment(name).inputs}
    wide, tall, deep = (f"up({inputs[size]})" for size in INSIDE)
    return new_draft(Wish(name, name, inside=f"{wide} x {tall} x {deep}", units=units))


def shown_inputs(fragment: Fragment, draft: Draft) -> list[tuple[str, str, str]]:
    """Name, words and the sample's value of each input."""
    rows = []
    for one in fragment.inputs:
        value = draft.words.get(one.name, one.default)
        if not one.choices:
            value = draft.values[one.name]
            value = value if value.endswith(tuple(UNITS)) else f"{value} {draft.units}"
        rows.append((one.name, one.says, value))
    return rows


def _told(fragment: Fragment, draft: Draft) -> str:
    """A form with its inputs, as lines of text."""
    lines = textwrap.wrap(f"{fragment.id}: {fragment.summary}", WIDTH, subsequent_indent="    ")
    rows = shown_inputs(fragment, draft)
    indent = max(len(name) for name, _, _ in rows) + 6
    for name, says, value in rows:
        head = f"    {name:<{indent - 6}}  "
        lines += textwrap.wrap(
            f"{says}: {value}", WIDTH, initial_indent=head, subsequent_indent=" " * indent
        )
    return "\n".join([*lines, ""])


def _write(target: pathlib.Path, paper: str) -> int:
    # The pages and the PDF are loaded only here: the list needs none of them.
    from booklet.command.make import date_given
    from booklet.draw.typeface import load_faces
    from booklet.pages.gallery import Entry, gallery
    from booklet.pages.grid import PAPERS
    from booklet.pdf.write import must_take_a_pdf, write_pdf

    date = date_given()
    if date is None:
        print("booklet: SOURCE_DATE_EPOCH is no count of seconds", file=sys.stderr)
        return 2
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        must_take_a_pdf(target)
    except OSError as error:
        return _failed(target, error)
    units = "mm" if paper == "a4" else "in"
    entries = []
    for name in form_names():
        fragment, draft = read_fragment(name), sample(name, units)
        draft = replace(draft, title=fragment.title)
        shown = shown_inputs(fragment, draft)
        inputs = tuple((one, says, _set(value)) for one, says, value in shown)
        entries.append(Entry(fragment.id, fragment.title, fragment.summary, inputs, checked(draft)))
    faces = load_faces()
    document = gallery(entries, PAPERS[paper], faces)
    try:
        write_pdf(document, faces, target, date=date)
    except OSError as error:
        return _failed(target, error)
    print(f"{harmless(str(target))} ({len(document.pages)} pages)")
    return 0


def _set(value: str) -> str:
    """A value with its fraction as it is set in print: 3 15/16 as one number."""
    return _MIXED.sub(lambda n: fraction_text(int(n[1] or 0) + Fraction(n[2])), value)


def _failed(target: pathlib.Path, error: OSError) -> int:
    print(f"booklet: {harmless(str(target))} cannot be written: {why(error)}", file=sys.stderr)
    return 2

"""`booklet stamp`: a personal copy of a pattern.

In: a PDF of booklet's, a name. Out: a copy beside it; the original stays as it was. Exit status 0
done, 2 the PDF cannot be read or stamped, the words cannot be printed, or nothing can be written.
"""

from __future__ import annotations

import datetime
import os
import re
import sys
from pathlib import Path

from booklet.command.make import date_given
from booklet.command.show import harmless, why
from booklet.draw.typeface import load_faces
from booklet.limits import Limits
from booklet.pdf.stamp import Copy, Refused, copy_of, printable, stamped
from booklet.pdf.write import write_file


def stamp(file: str, name: str, order: str | None, day: str | None, out: str | None) -> int:
    """Stamp one PDF; prints the path of the copy."""
    source = Path(file)
    try:
        if source.exists() and not source.is_file():
            return _told(f"{file} cannot be read: it is no ordinary file", 2)
        with source.open("rb") as opened:
            data = opened.read(Limits().pdf_bytes + 1)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        return _told(f"{file} cannot be read: {reason}", 2)
    if len(data) > Limits().pdf_bytes:
        return _told(f"{file} is too large to stamp", 2)
    try:
        date = _day(day)
        faces = load_faces()
        copy = Copy(
            printable(name, "the name", faces),
            printable(order, "the order number", faces) if order is not None else "",
            date,
        )
        target = Path(out) if out is not None else _beside(source, copy)
        held = _held(target, source, copy)
        if held is not None:
            return _told(held, 2)
        made = stamped(data, copy, faces)
    except Refused as reason:
        return _told(f"{file} is not stamped: {reason}", 2)
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        write_file(made, target)
    except OSError as error:
        return _told(f"{target} cannot be written: {why(error)}", 2)
    print(harmless(str(target)))
    return 0


def _told(words: str, code: int) -> int:
    print(f"booklet: {harmless(words)}", file=sys.stderr)
    return code


def _day(day: str | None) -> datetime.date:
    """The day given, else SOURCE_DATE_EPOCH's, else today."""
    if day is not None:
        try:
            return datetime.date.fromisoformat(day)
        except ValueError as error:
            raise Refused(f"{day} is no day: write it as 2027-03-06") from error
    given = date_given()
    if given is None:
        raise Refused("SOURCE_DATE_EPOCH is no count of seconds")
    return given.date() if "SOURCE_DATE_EPOCH" in os.environ else datetime.date.today()


def _beside(source: Path, copy: Copy) -> Path:
    """STEM-for-NAME-ORDER.pdf, letters and figures of any script, hyphens for the rest."""
    words = re.sub(r"\W+", "-", f"{copy.name} {copy.order}").strip("-")
    return source.with_name(f"{source.stem}-for-{words or 'copy'}.pdf")


def _held(target: Path, source: Path, copy: Copy) -> str | None:
    """Why nothing may be written at the target: the original, or another person's copy."""
    try:
        if not target.exists():
            return None
        if target.samefile(source):
            return f"{target} is the original: choose another name for the copy"
        if not target.is_file():
            return f"{target} is no ordinary file: choose another name for the copy"
        with target.open("rb") as opened:
            earlier = copy_of(opened.read(Limits().pdf_bytes))
    except OSError as error:
        return f"{target} cannot be written: {why(error)}"
    if earlier != (copy.name, copy.order):
        return f"{target} is there already and is not this person's copy: choose another --out"
    return None

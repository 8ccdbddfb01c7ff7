"""Files appear whole or not at all.

In: a document or bytes, and where they should go. Out: the file, written aside in the same folder,
flushed to the disk and moved into place. Whatever fails, the file that was there before stays.
"""

from __future__ import annotations

import contextlib
import errno
import os
import secrets
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import BinaryIO

from booklet.draw.typeface import Faces
from booklet.pages.page import Document
from booklet.pdf.canvas import pdf_bytes
from booklet.pdf.leftover import clear_leftovers, hold


def write_pdf(
    document: Document,
    faces: Faces,
    target: Path,
    *,
    date: datetime,
    grey: bool = False,
    plain: bool = False,
) -> None:
    """Writes the document to `target` as a PDF. Raises OSError where it cannot be written."""
    write_file(pdf_bytes(document, faces, date=date, grey=grey, plain=plain), target)


def write_file(data: bytes, target: Path, *, new: bool = False) -> None:
    """Writes `data` aside and moves it to `target`; a link is followed to its file.

    Raises OSError after removing what was written, the earlier file untouched; with `new`,
    FileExistsError where there is anything of that name.
    """
    with whole_file(target, new=new) as file:
        file.write(data)


@contextlib.contextmanager
def whole_file(target: Path, *, new: bool = False) -> Iterator[BinaryIO]:
    """A file beside `target` to write to; it is moved there when all of it is written.

    Raises OSError, or what the writer raises, after removing it, the earlier file untouched.
    """
    place = followed(target.parent) / target.name if new else followed(target)
    if not new:
        must_be_a_file(place)
    clear_leftovers(place.parent, ".booklet-*.part")
    aside = place.with_name(f".booklet-{secrets.token_hex(8)}.part")
    try:
        with aside.open("xb") as file:
            hold(file.fileno())
            yield file
            file.flush()
            os.fsync(file.fileno())
        if new:
            _give_name(aside, place)
        else:
            aside.replace(place)
    finally:
        with contextlib.suppress(OSError):
            aside.unlink()


def must_be_a_file(target: Path) -> None:
    """Raises OSError where something stands at the target that no file may replace."""
    place = followed(target)
    if place.exists() and not place.is_file():
        # A device would be replaced by a file; one cannot be written whole or not at all.
        raise OSError(errno.EINVAL, f"{target.name} is there and is no ordinary file")


def must_take_a_pdf(target: Path) -> None:
    """Raises OSError where a file stands that is no PDF by name or start, such as a project."""
    if target.suffix.lower() == ".pdf" or not target.is_file():
        return
    with target.open("rb") as file:
        if file.read(5) != b"%PDF-":
            raise OSError(errno.EINVAL, "it is there and is no PDF: choose another name")


def followed(path: Path) -> Path:
    """Where a path leads, its links followed. Raises OSError for a link that leads to itself."""
    try:
        place = path.resolve()
    except RuntimeError:
        # Before Python 3.13 a circle of links is no OSError.
        raise OSError(errno.ELOOP, os.strerror(errno.ELOOP)) from None
    if place.is_symlink():
        raise OSError(errno.ELOOP, os.strerror(errno.ELOOP))
    return place


def _give_name(aside: Path, place: Path) -> None:
    """Gives the file a name that nothing has; raises FileExistsError where something has it."""
    try:
        os.link(aside, place)
    except FileExistsError:
        raise
    except OSError:
        # A disk without second names: between look and move lies a moment.
        if os.path.lexists(place):
            raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST)) from None
        aside.replace(place)

"""Files appear whole or not at all.

In: a document or bytes, and where they should go. Out: the file, written aside in the same folder,
flushed to the disk and moved into place. Whatever fails, the file that was there before stays.
"""

from __future__ import annotations

import contextlib
import os
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import BinaryIO

from booklet.draw.typeface import Faces
from booklet.pages.page import Document
from booklet.pdf.canvas import pdf_bytes


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


def write_file(data: bytes, target: Path) -> None:
    """Writes `data` aside and moves it to `target`; a link is followed to its file.

    Raises OSError after removing what was written, the earlier file untouched.
    """
    with whole_file(target) as file:
        file.write(data)


@contextlib.contextmanager
def whole_file(target: Path) -> Iterator[BinaryIO]:
    """A file beside `target` to write to; it is moved there when all of it is written.

    Raises OSError, or what the writer raises, after removing it, the earlier file untouched.
    """
    place = target.resolve()
    aside = place.with_name(f".booklet-{os.getpid()}.part")
    try:
        with aside.open("xb") as file:
            yield file
            file.flush()
            os.fsync(file.fileno())
        aside.replace(place)
    except FileExistsError:
        # Another run's file, or a leftover: not ours to remove.
        raise
    except BaseException:
        with contextlib.suppress(OSError):
            aside.unlink()
        raise

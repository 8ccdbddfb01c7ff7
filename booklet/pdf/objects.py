"""A PDF file as numbered objects, written as they come.

In: texts and streams. Out: the file on a stream, with its table of places. What was written is not
kept in memory: only the place of each object is held until the end.
"""

from __future__ import annotations

import hashlib
import io
from typing import BinaryIO

from pypdf.generic import TextStringObject


class Objects:
    """Writes objects; a number may be taken before its object is written."""

    def __init__(self, file: BinaryIO) -> None:
        self._file = file
        self._at = 0
        self._digest = hashlib.md5(usedforsecurity=False)
        self._places: dict[int, int] = {}
        self._next = 1
        self._write(b"%PDF-1.7\n%\xe2\xe3\xcf\xd3\n")

    def new(self, many: int = 1) -> int:
        """The first of so many numbers in a row."""
        self._next += many
        return self._next - many

    def object(self, number: int, text: str) -> None:
        """Writes an object other than a stream."""
        self._places[number] = self._at
        self._write(f"{number} 0 obj\n{text}\nendobj\n".encode("latin-1"))

    def stream(self, number: int, head: bytes, data: bytes) -> None:
        """Writes a stream; `head` is its dictionary without brackets and length."""
        self._places[number] = self._at
        self._write(b"%d 0 obj\n<<%b/Length %d>>\nstream\n" % (number, head, len(data)))
        self._write(data)
        self._write(b"\nendstream\nendobj\n")

    def finish(self, catalogue: int, info: int) -> None:
        """The table of places and the trailer; every number taken must have its object."""
        start, count = self._at, self._next
        code = self._digest.hexdigest()
        self._write(f"xref\n0 {count}\n0000000000 65535 f \n".encode())
        for number in range(1, count):
            self._write(f"{self._places[number]:010d} 00000 n \n".encode())
        self._write(
            f"trailer\n<</Size {count} /Root {catalogue} 0 R /Info {info} 0 R "
            f"/ID [<{code}> <{code}>]>>\nstartxref\n{start}\n%%EOF\n".encode()
        )

    def _write(self, data: bytes) -> None:
        self._file.write(data)
        self._digest.update(data)
        self._at += len(data)


def text_string(words: str) -> str:
    """A text string (7.9.2.2), escaped, each byte as the character of its number."""
    stream = io.BytesIO()
    TextStringObject(words).write_to_stream(stream)
    return stream.getvalue().decode("latin-1")

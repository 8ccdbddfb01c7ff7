"""A folder of files that appears whole or not at all, its checksums, and the same as a zip.

In: files by name, `/` between folders. Out: the folder, built aside and moved into place; the
bytes of a zip that depend on files and date alone.
"""

from __future__ import annotations

import contextlib
import glob
import hashlib
import io
import os
import secrets
import shutil
import zipfile
from collections.abc import Mapping
from datetime import UTC, datetime
from pathlib import Path
from typing import Final

from booklet.pdf.leftover import clear_leftovers, hold
from booklet.pdf.write import followed

CHECKSUMS: Final = "CHECKSUMS.txt"
"""The list of SHA-256 sums, as `sha256sum --check` reads it."""
_LIST_BYTES: Final = 1_000_000


class NotOurs(OSError):
    """A folder holds files that no earlier run made; it is left alone."""


def with_checksums(files: Mapping[str, bytes]) -> dict[str, bytes]:
    """The files and a list of their sums."""
    sums = {name: hashlib.sha256(data).hexdigest() for name, data in sorted(files.items())}
    lines = "".join(f"{digest}  {name}\n" for name, digest in sums.items())
    return {**files, CHECKSUMS: lines.encode()}


def zip_bytes(files: Mapping[str, bytes], top: str, date: datetime) -> bytes:
    """The files in one zip below a folder `top`; the same arguments give the same bytes."""
    stamp = date.astimezone(UTC)
    # A zip counts years from 1980 in seven bits (its format description, 4.4.6, from memory).
    year = min(max(1980, stamp.year), 2107)
    when = (year, stamp.month, stamp.day, stamp.hour, stamp.minute, stamp.second)
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, data in sorted(files.items()):
            entry = zipfile.ZipInfo(f"{top}/{name}", when)
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.create_system = 3
            entry.external_attr = 0o644 << 16
            archive.writestr(entry, data)
    return stream.getvalue()


def write_folder(files: Mapping[str, bytes], folder: Path) -> None:
    """Puts a folder with exactly these files in the place of the earlier one.

    Raises NotOurs where the earlier folder holds other files, OSError where something cannot be
    written; then the earlier folder is as it was. A run that was killed between the two moves
    left the earlier folder aside: the next one takes it back first.
    """
    place = followed(folder)
    earlier = place.with_name(f".{place.name}.earlier")
    if earlier.is_dir() and not place.exists():
        earlier.rename(place)
    if place.exists():
        must_be_ours(place)
    clear_leftovers(place.parent, f".{glob.escape(place.name)}-*.part")
    aside = place.with_name(f".{place.name}-{secrets.token_hex(8)}.part")
    aside.mkdir()
    held = os.open(aside, os.O_RDONLY) if os.name == "posix" else None
    if held is not None:
        hold(held)
    try:
        for name, data in files.items():
            _write(data, aside / name)
        if earlier.is_dir():
            shutil.rmtree(earlier)
        if place.exists():
            place.rename(earlier)
        aside.rename(place)
    except BaseException:
        if earlier.is_dir() and not place.exists():
            earlier.rename(place)
        shutil.rmtree(aside, ignore_errors=True)
        raise
    finally:
        if held is not None:
            os.close(held)
    with contextlib.suppress(OSError):
        if earlier.is_dir():
            shutil.rmtree(earlier)


def _write(data: bytes, target: Path) -> None:
    target.parent.mkdir(parents=True, exist_ok=True)
    with target.open("xb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def must_be_ours(folder: Path) -> None:
    """Raises OSError unless every file in the folder is named in its list of sums."""
    if not folder.is_dir():
        raise NotADirectoryError(20, "there is a file of that name")
    held = {
        path.relative_to(folder).as_posix()
        for path in folder.rglob("*")
        if path.is_symlink() or not path.is_dir()
    }
    listed = {CHECKSUMS}
    if CHECKSUMS in held and (folder / CHECKSUMS).is_file():
        with (folder / CHECKSUMS).open("rb") as file:
            lines = file.read(_LIST_BYTES).decode("utf-8", "replace").splitlines()
        listed |= {line[66:] for line in lines}
    strange = sorted(held - listed)
    if strange:
        raise NotOurs(f"it holds {strange[0]}, which booklet did not make; move it away first")

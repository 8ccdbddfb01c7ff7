"""Picture files that a project names.

In: a spot and a path as written. Out: the path and the picture's size in pixels, once the file is
known to lie in the project's folder, to be a picture, and to be small enough. Pillow is loaded only
when a picture is named.
"""

from __future__ import annotations

import stat
import warnings
from pathlib import Path

from booklet.problem import Written
from booklet.read.spot import Spot, shown
from booklet.read.text import name

# Formats that photos come in; others of Pillow's start programs or are rarely tested.
FORMATS = ("JPEG", "PNG", "WEBP", "TIFF", "GIF", "BMP")
# Tag and values of a picture that a camera stored lying on its side: TIFF 6.0, "Orientation", 5-8.
_ORIENTATION = 0x0112
_SIDEWAYS = (5, 6, 7, 8)
_LIES_BESIDE = "Put the picture into the project's folder and write its name."


Pixels = tuple[int, int]


def picture(spot: Spot, raw: object) -> tuple[Written[str], Pixels] | None:
    """The path of a picture from the project's folder, and its width and height as it is seen."""
    written = name(spot, raw)
    if written is None:
        return None
    path = _inside(spot, written.value)
    if path is None or not _is_file(spot, path, written.value):
        return None
    pixels = _pixels(spot, path, written.value)
    return None if pixels is None else (written, pixels)


def _inside(spot: Spot, written: str) -> Path | None:
    """The real path, links followed, if it lies in the project's folder."""
    try:
        folder = spot.reading.folder.resolve()
        path = (folder / written).resolve()
    except (OSError, RuntimeError, ValueError):
        # A circle of links (RuntimeError before Python 3.13), or a path too long to look up.
        spot.report("picture-missing", f"{shown(written)} cannot be looked up", _LIES_BESIDE)
        return None
    if not path.is_relative_to(folder) or Path(written).is_absolute():
        spot.report(
            "picture-outside",
            f"{spot.label} = {shown(written)} lies outside the project's folder",
            _LIES_BESIDE,
        )
        return None
    return path


def _is_file(spot: Spot, path: Path, written: str) -> bool:
    """Whether there is an ordinary file of a bearable size."""
    try:
        status = path.stat()
    except (OSError, ValueError):
        spot.report("picture-missing", f"There is no file {shown(written)}", _LIES_BESIDE)
        return False
    if not stat.S_ISREG(status.st_mode):
        spot.report("picture-missing", f"{shown(written)} is no ordinary file", _LIES_BESIDE)
        return False
    bound = spot.limits.picture_bytes
    if status.st_size > bound:
        spot.report(
            "picture-too-large",
            f"{shown(written)} has {status.st_size} bytes, more than {bound}",
            "Save a smaller copy of the picture.",
        )
        return False
    return True


def _pixels(spot: Spot, path: Path, written: str) -> Pixels | None:
    """Width and height of a picture that can be opened and has a bearable number of pixels."""
    from PIL import Image  # costs more than the rest of the read stage, so only when needed

    read, limits = spot.reading.pixels, spot.limits
    if path in read:
        return read[path]  # where it could not be read, that is told already
    before = sum(wide * high for wide, high in read.values())
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # the bound below is stricter than Pillow's warning
            with Image.open(path, formats=FORMATS) as image:
                width, height = image.size
                pixels = width * height
                if pixels <= limits.picture_pixels and before + pixels <= limits.all_pixels:
                    read[path] = width, height
                    image.draft("RGB", (64, 64))  # a JPEG is then read at an eighth, which is fast
                    image.load()
                if image.getexif().get(_ORIENTATION) in _SIDEWAYS:
                    width, height = height, width
    except Image.DecompressionBombError:
        pixels = limits.picture_pixels + 1
    except Exception as error:  # Pillow's readers raise many kinds for a broken file
        spot.report(
            "picture-unreadable",
            f"{shown(written)} is not a picture that can be read ({type(error).__name__})",
            "Save it as JPEG or PNG.",
        )
        return None
    if pixels > limits.picture_pixels:
        words = f"{shown(written)} has more than {limits.picture_pixels} pixels"
        spot.report("picture-too-large", words, "Save a smaller copy of the picture.")
        return None
    if before + pixels > limits.all_pixels:
        words = f"With {shown(written)} the pictures have more than {limits.all_pixels} pixels"
        spot.report("picture-too-large", words, "Save smaller copies of the pictures.")
        return None
    read[path] = width, height
    return width, height

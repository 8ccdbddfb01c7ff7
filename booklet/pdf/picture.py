"""Pages as pictures: what a pattern is offered with.

In: the bytes of a PDF of ours. Out: PNG files. The renderer (pypdfium2) reads what we wrote, so a
picture shows the printed page and no other drawing of it. It is loaded only when pictures are made.
"""

from __future__ import annotations

import io
from collections.abc import Iterable, Sequence
from typing import Final

import pypdfium2  # type: ignore[import-untyped]
from PIL import Image, ImageDraw

from booklet.pages.glance import Glance

SHORT_SIDE: Final = 2000
"""Pixels of a picture's shorter side: what stays sharp where patterns are offered."""
EDGE: Final = (170, 170, 170)


def page_images(data: bytes, numbers: Iterable[int], width: int) -> list[Image.Image]:
    """The pages of those numbers (1 first), each `width` pixels wide."""
    with pypdfium2.PdfDocument(data) as pdf:
        images = []
        for number in numbers:
            page = pdf[number - 1]
            # A little larger, then cut: rounding must never leave a column short.
            image = page.render(scale=(width + 0.5) / page.get_width()).to_pil()
            images.append(image.convert("RGB").crop((0, 0, width, image.height)))
        return images


def page_picture(data: bytes, number: int) -> bytes:
    """A page as a PNG file, its shorter side SHORT_SIDE pixels or a little more."""
    with pypdfium2.PdfDocument(data) as pdf:
        width, height = pdf[number - 1].get_size()
    pixels = SHORT_SIDE if width <= height else round(SHORT_SIDE * width / height)
    return png(page_images(data, (number,), pixels)[0])


def glance_picture(overview: bytes, glance: Glance, data: bytes) -> bytes:
    """The overview as a PNG file: its words from `overview`, the small pages from `data`."""
    page = glance.page
    wide = round(SHORT_SIDE * page.width / page.height)
    whole = page_images(overview, (1,), wide)[0]
    k = wide / page.width
    widths = {round(cell.width * k) for cell in glance.cells}
    pen = ImageDraw.Draw(whole)
    for width in widths:
        cells = [cell for cell in glance.cells if round(cell.width * k) == width]
        small = _shrunk(data, [cell.number for cell in cells], width)
        for cell, image in zip(cells, small, strict=True):
            x, y = round(cell.x * k), round((page.height - cell.y - cell.height) * k)
            whole.paste(image, (x, y))
            pen.rectangle((x - 1, y - 1, x + image.width, y + image.height), outline=EDGE)
    return png(whole)


def _shrunk(data: bytes, numbers: Sequence[int], width: int) -> list[Image.Image]:
    """Pages drawn at twice the width and made small: thin lines stay visible."""
    return [
        image.resize((width, round(image.height * width / image.width)), Image.Resampling.BOX)
        for image in page_images(data, numbers, 2 * width)
    ]


def png(image: Image.Image) -> bytes:
    """The picture as a PNG file; in greys where it has no colour."""
    bands = image.split()
    if all(band.tobytes() == bands[0].tobytes() for band in bands[1:]):
        image = bands[0]
    stream = io.BytesIO()
    image.save(stream, "PNG", optimize=False, compress_level=6)
    return stream.getvalue()

"""Photos on their way into a PDF: upright, sRGB or grey, on white, no more pixels than print takes.

In: a picture file and its size in print. Out: a JPEG, and the picture drawn on the canvas. Colours
follow the profile in the file; a picture without one is taken for sRGB, as cameras and screens do.
"""

from __future__ import annotations

import hashlib
import io
import warnings
from pathlib import Path
from typing import Any, Final

import numpy as np
from PIL import Image, ImageCms, ImageOps
from reportlab.pdfbase.pdfdoc import PDFImageXObject
from reportlab.pdfgen.canvas import Canvas

from booklet.read.photo import PRINT_PPI
from booklet.read.pictures import FORMATS

QUALITY: Final = 90
"""JPEG quality at which no step shows in print. Common practice, no source."""

_PLAIN: Final = {"L", "RGB", "CMYK"}
"""The kinds of pixels that a colour profile is read for, 8 bits each."""


def draw_photo(
    canvas: Canvas,
    file: Path,
    at: tuple[float, float],
    size: tuple[float, float],
    zoom: float,
    grey: bool,
) -> None:
    """The picture with its lower left corner at `at`, both in points before the page's zoom.

    Raises OSError where the file cannot be read any more.
    """
    data = print_ready(file, (size[0] * zoom / 72, size[1] * zoom / 72), grey)
    name = _stored(canvas, data)
    canvas.saveState()
    canvas.translate(*at)
    canvas.scale(*size)
    canvas._code.append(f"/{name} Do")  # type: ignore[attr-defined]
    canvas.restoreState()


def _stored(canvas: Canvas, data: bytes) -> str:
    """The name of the JPEG in the document, into which it is put unless it is there already.

    By itself the library would unpack it, and spell it in ASCII, which takes half a second.
    """
    any_canvas: Any = canvas
    document = any_canvas._doc
    name = hashlib.blake2b(data, digest_size=16).hexdigest()
    registered: str = document.getXObjectName(name)
    if registered not in document.idToObject:
        with Image.open(io.BytesIO(data)) as image:
            space = "DeviceGray" if image.mode == "L" else "DeviceRGB"
            width, height = image.size
        stored = PDFImageXObject(name)
        vars(stored).update(
            width=width,
            height=height,
            bitsPerComponent=8,
            colorSpace=space,
            streamContent=data,
            _filters=("DCTDecode",),
        )
        any_canvas._setXObjects(stored)
        document.Reference(stored, registered)
        document.addForm(name, stored)
    any_canvas._currentPageHasImages = 1
    any_canvas._formsinuse.append(name)
    return registered


def print_ready(file: Path, inches: tuple[float, float], grey: bool) -> bytes:
    """The picture as a JPEG of at most PRINT_PPI for its size in inches; never enlarged."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # its size was bounded when it was read
        try:
            with Image.open(file, formats=FORMATS) as image:
                wanted = tuple(max(1, round(side * PRINT_PPI)) for side in inches)
                image.draft(None, (max(wanted), max(wanted)))
                picture = _in_srgb(ImageOps.exif_transpose(image))
                if picture.width > wanted[0]:
                    picture = picture.resize((wanted[0], wanted[1]), Image.Resampling.LANCZOS)
        except OSError:
            raise
        except Exception as error:  # Pillow's readers raise many kinds for a broken file
            raise OSError(f"the picture {file.name} cannot be read any more") from error
    if grey:
        picture = in_grey(picture)
    stored = io.BytesIO()
    # Not optimized: for pictures with much grain the writer's buffer is then too small.
    picture.save(stored, "JPEG", quality=QUALITY, subsampling=0)
    return stored.getvalue()


def _in_srgb(image: Image.Image) -> Image.Image:
    """The picture in 8-bit sRGB, its transparent parts on white paper."""
    profile = image.info.get("icc_profile")
    if image.mode.startswith(("I", "F")):
        image = _eight_bits(image)
    alpha = None
    if image.mode in ("RGBA", "LA", "PA", "La", "RGBa") or "transparency" in image.info:
        image = image.convert("RGBA")
        alpha = image.getchannel("A")
        image = image.convert("RGB")
    elif image.mode not in _PLAIN:
        image = image.convert("RGB")
    picture = _by_profile(image, profile) if profile else image.convert("RGB")
    if alpha is None:
        return picture
    paper = Image.new("RGB", picture.size, "white")
    paper.paste(picture, mask=alpha)
    return paper


def _eight_bits(image: Image.Image) -> Image.Image:
    """Pixels of more than 8 bits brought to 8: 16 bits run to 65535, fractions to 1, 255 or on."""
    values = np.asarray(image, dtype=np.float64)
    brightest = float(np.nanmax(values, initial=0))
    most = next((top for top in (1.0, 255.0) if brightest <= top), brightest)
    if image.mode.startswith("I"):
        most = 65535.0
    levels = np.clip(np.nan_to_num(values) / most * 255, 0, 255)
    return Image.fromarray(levels.round().astype(np.uint8), "L")


def _by_profile(image: Image.Image, profile: bytes) -> Image.Image:
    """Colours as the embedded profile means them; as they are where it is not for such pixels."""
    try:
        source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        target = ImageCms.createProfile("sRGB")
        made = ImageCms.profileToProfile(image, source, target, outputMode="RGB")
    except (ImageCms.PyCMSError, OSError, ValueError):
        made = None
    return image.convert("RGB") if made is None else made


def in_grey(image: Image.Image) -> Image.Image:
    """Each pixel as the neutral grey of the same relative luminance, as `draw.paint.greyed`."""
    share = np.arange(256) / 255
    linear = np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4)
    red, green, blue = (linear[np.asarray(band)] for band in image.convert("RGB").split())
    light = 0.2126 * red + 0.7152 * green + 0.0722 * blue
    level = np.where(light <= 0.0031308, light * 12.92, 1.055 * light ** (1 / 2.4) - 0.055)
    return Image.fromarray((np.clip(level, 0, 1) * 255).round().astype(np.uint8), "L")

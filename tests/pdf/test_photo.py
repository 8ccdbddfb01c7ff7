"""Photos in a booklet: read back from the PDF by other libraries.

Colours are compared after a JPEG, so by a few levels of 255.
"""

from __future__ import annotations

import io
from pathlib import Path
from typing import Any

import numpy as np
import pikepdf
import pytest
from PIL import Image, ImageCms

from booklet.command.line import main
from booklet.draw.paint import greyed
from booklet.pages.handout import handout
from booklet.read.photo import COVER_BOX, STEP_BOX
from tests.readback import MM

PROJECT = """[project]
title = "Tag"
units = "mm"

[[piece]]
id = "tag"
columns = [40]
rows = [30]
map = ["tag"]

[[step]]
title = "Cut it"
say = "Cut along the line."
cut = ["tag"]
photo = "shot"

[look]
cover = "shot"
cover_alt = "A tag with (brackets)."
"""
RED, BLUE = (200, 40, 30), (20, 60, 180)


@pytest.fixture
def project(tmp_path: Path) -> Path:
    """A project with one photo on its cover and in its step; the test saves it as `shot`."""
    path = tmp_path / "tag.toml"
    path.write_text(PROJECT, "utf-8")
    return path


def halves(size: tuple[int, int], mode: str = "RGB") -> Image.Image:
    """A picture red on the left and blue on the right."""
    image = Image.new("RGB", size, BLUE)
    image.paste(RED, (0, 0, size[0] // 2, size[1]))
    return image.convert(mode)


def photos(project: Path, *words: str) -> list[tuple[Image.Image, float, float]]:
    """Each photo of the booklet with its width and height in mm, by page."""
    assert main(["make", str(project), *words]) == 0
    found = []
    with pikepdf.open(project.with_name("tag-letter.pdf")) as pdf:
        for page in pdf.pages:
            images: Any = page.obj.Resources.get("/XObject", {})
            for name, stored in images.items():
                if stored.Subtype != "/Image":
                    continue
                image = pikepdf.PdfImage(stored)
                assert image.filters == ["/DCTDecode"]
                found.append((image.as_pil_image(), *_size(page, str(name))))
    return found


def _size(page: Any, name: str) -> tuple[float, float]:
    """The size at which a page draws an image, from the matrix before it."""
    matrix = (0.0, 0.0)
    instructions: Any = pikepdf.parse_content_stream(page)
    for operands, operator in instructions:
        if str(operator) == "cm" and float(operands[0]) != 1:
            matrix = float(operands[0]) * MM, float(operands[3]) * MM
        if str(operator) == "Do" and str(operands[0]) == name:
            return matrix
    raise AssertionError("the image is not drawn")


def colours(image: Image.Image) -> tuple[Any, Any]:
    """The mean colours of the left and the right part."""
    values = np.asarray(image.convert("RGB"), dtype=float)
    width = values.shape[1]
    return (
        values[:, : width * 2 // 5].mean(axis=(0, 1)),
        values[:, width * 3 // 5 :].mean(axis=(0, 1)),
    )


def alike(seen: Any, wanted: tuple[int, ...], within: float = 4) -> bool:
    """Whether two colours differ by a few levels at most."""
    return bool(np.abs(np.asarray(seen) - np.asarray(wanted)).max() <= within)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP", "TIFF"])
def test_every_format_is_printed_sharp_and_no_larger(project: Path, kind: str) -> None:
    """4:3 fills both boxes; 300 pixels an inch of print and no more, whatever the file has."""
    halves((2400, 1800)).save(project.with_name("shot"), kind, quality=95)
    cover, step = photos(project)
    assert cover[1:] == pytest.approx((COVER_BOX[1] / 3 * 4, COVER_BOX[1]), abs=0.1)
    assert step[1:] == pytest.approx(STEP_BOX, abs=0.1)
    for image, width, height in (cover, step):
        assert image.width / width * 25.4 == pytest.approx(300, abs=0.5)
        assert image.height / height * 25.4 == pytest.approx(300, abs=0.5)
        left, right = colours(image)
        assert alike(left, RED) and alike(right, BLUE)


def test_a_picture_with_few_pixels_is_not_blown_up(project: Path) -> None:
    """It keeps the pixels that it has."""
    halves((640, 480)).save(project.with_name("shot"), "PNG")
    _, (image, width, _) = photos(project)
    assert image.size == (640, 480)
    assert width == pytest.approx(STEP_BOX[0], abs=0.1)


@pytest.mark.parametrize("turn", range(1, 9))
def test_a_camera_may_lie_on_its_side(project: Path, turn: int) -> None:
    """The orientation tag (TIFF 6.0, "Orientation", read in Pillow's own terms) is followed."""
    upright = halves((800, 600))
    back: dict[int, Image.Transpose] = {
        2: Image.Transpose.FLIP_LEFT_RIGHT,
        3: Image.Transpose.ROTATE_180,
        4: Image.Transpose.FLIP_TOP_BOTTOM,
        5: Image.Transpose.TRANSPOSE,
        6: Image.Transpose.ROTATE_90,
        7: Image.Transpose.TRANSVERSE,
        8: Image.Transpose.ROTATE_270,
    }
    stored = upright.transpose(back[turn]) if turn in back else upright
    exif = Image.Exif()
    exif[0x0112] = turn
    stored.save(project.with_name("shot"), "JPEG", quality=95, exif=exif)
    image, width, height = photos(project)[1]
    assert width > height and image.width > image.height
    left, right = colours(image)
    assert alike(left, RED) and alike(right, BLUE)


def test_colours_follow_the_profile_in_the_file(project: Path) -> None:
    """A profile whose red and blue are exchanged turns them back."""
    srgb = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    swapped = srgb.replace(b"rXYZ", b"tmpX").replace(b"bXYZ", b"rXYZ").replace(b"tmpX", b"bXYZ")
    assert swapped != srgb
    halves((800, 600)).save(project.with_name("shot"), "PNG", icc_profile=swapped)
    left, right = colours(photos(project)[1][0])
    assert alike(left, RED[::-1], 6) and alike(right, BLUE[::-1], 6)


@pytest.mark.parametrize("profile", [b"", b"nonsense", b"\0" * 4000])
def test_a_broken_profile_is_passed_over(project: Path, profile: bytes) -> None:
    """The pixels are taken as they are."""
    halves((800, 600)).save(project.with_name("shot"), "PNG", icc_profile=profile)
    left, right = colours(photos(project)[1][0])
    assert alike(left, RED) and alike(right, BLUE)


def test_what_is_transparent_is_white(project: Path) -> None:
    """Half of it, wholly; a palette with a transparent colour too."""
    image = halves((800, 600), "RGBA")
    image.paste((0, 0, 0, 0), (400, 0, 800, 600))
    image.save(project.with_name("shot"), "PNG")
    left, right = colours(photos(project)[1][0])
    assert alike(left, RED) and alike(right, (255, 255, 255))
    palette = halves((800, 600)).quantize(2)
    palette.save(project.with_name("shot"), "PNG", transparency=palette.getpixel((700, 300)))
    left, right = colours(photos(project)[1][0])
    assert alike(left, RED, 12) and alike(right, (255, 255, 255))


@pytest.mark.parametrize("mode", ["L", "CMYK", "1", "LA", "YCbCr", "I;16", "F"])
def test_every_kind_of_pixel_is_taken(project: Path, mode: str) -> None:
    """Also of scans: one bit, sixteen bits, ink colours."""
    image = halves((800, 600)).convert("L")
    if mode == "I;16":
        image = Image.fromarray(np.asarray(image).astype(np.uint16) * 257)
        assert image.mode == "I;16"
    else:
        image = image.convert(mode)
    image.save(project.with_name("shot"), "PNG" if mode in ("L", "1", "LA", "I;16") else "TIFF")
    left, right = colours(photos(project)[1][0])
    grey = np.asarray(halves((2, 1)).convert("L"), dtype=float)[0]
    if mode != "1":
        assert alike(left, (grey[0],) * 3, 12) and alike(right, (grey[1],) * 3, 12)


def test_grey_keeps_the_luminance(project: Path) -> None:
    """The same grey as a drawing of that colour gets; one channel in the file."""
    halves((800, 600)).save(project.with_name("shot"), "PNG")
    image = photos(project, "--grey")[1][0]
    assert image.mode == "L"
    for seen, colour in zip(colours(image), (RED, BLUE), strict=True):
        level = greyed((colour[0] / 255, colour[1] / 255, colour[2] / 255))[0] * 255
        assert alike(seen, (round(level),) * 3)


def test_words_stand_for_the_photos(project: Path) -> None:
    """The project's, or the step's; read from the structure tree."""
    halves((800, 600)).save(project.with_name("shot"), "PNG")
    photos(project)
    with pikepdf.open(project.with_name("tag-letter.pdf")) as pdf:
        alts = [
            str(entry.Alt)
            for entry in pdf.objects
            if isinstance(entry, pikepdf.Dictionary) and entry.get("/S") == "/Figure"
        ]
    assert "A tag with (brackets)." in alts
    assert "Photo: Cut it. Cut along the line." in alts


def test_the_same_photos_give_the_same_bytes(project: Path) -> None:
    """Two runs, one file; and one picture on two pages at one size is stored once each."""
    halves((800, 600)).save(project.with_name("shot"), "PNG")
    photos(project)
    first = project.with_name("tag-letter.pdf").read_bytes()
    photos(project)
    assert project.with_name("tag-letter.pdf").read_bytes() == first


def test_a_coarse_photo_is_warned_of(project: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Below 150 pixels an inch of print: 472 for 80 mm; at 473 there is nothing to say."""
    halves((472, 354)).save(project.with_name("shot"), "PNG")
    assert main(["check", str(project)]) == 0
    assert capsys.readouterr().err.count("[photo-coarse]") == 2
    assert main(["check", "--strict", str(project)]) == 1
    halves((473, 355)).save(project.with_name("shot"), "PNG")
    capsys.readouterr()
    assert main(["check", str(project)]) == 0
    assert capsys.readouterr().err.count("photo-coarse") == 1, "on the cover only"


def test_a_photo_that_vanishes_is_a_sentence(
    project: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Between check and print: status 2, no PDF, no traceback."""

    def vanishing(*given: Any, **named: Any) -> Any:
        project.with_name("shot").write_bytes(b"\x89PNG\r\n\x1a\n broken")
        return handout(*given, **named)

    halves((800, 600)).save(project.with_name("shot"), "PNG")
    monkeypatch.setattr("booklet.command.make.handout", vanishing)
    assert main(["make", str(project)]) == 2
    assert "Traceback" not in capsys.readouterr().err
    assert not list(project.parent.glob("*.pdf"))


def test_metadata_of_a_photo_stays_behind(project: Path) -> None:
    """Where it was taken is nobody's business: the stored JPEG has no EXIF."""
    exif = Image.Exif()
    exif[0x010E] = "taken at home"
    halves((800, 600)).save(project.with_name("shot"), "JPEG", exif=exif)
    image = photos(project)[1][0]
    stored = io.BytesIO()
    image.save(stored, "PNG")
    assert not image.getexif()
    assert b"taken at home" not in project.with_name("tag-letter.pdf").read_bytes()


def test_a_picture_full_of_grain_is_stored(project: Path) -> None:
    """The hardest picture for a JPEG writer: noise."""
    noise = np.random.default_rng(1).integers(0, 256, (600, 800, 3), dtype=np.uint8)
    Image.fromarray(noise).save(project.with_name("shot"), "PNG")
    assert photos(project)[1][0].size == (800, 600)


@pytest.mark.parametrize("edition", [["--large-print"], ["--for", "binder"], ["--booklet"]])
def test_other_editions_have_the_photos_too(project: Path, edition: list[str]) -> None:
    """In large print with as many pixels an inch as elsewhere."""
    halves((3000, 2250)).save(project.with_name("shot"), "PNG")
    assert main(["make", str(project), *edition]) == 0
    pdf = next(path for path in project.parent.glob("*.pdf") if "template" not in path.name)
    with pikepdf.open(pdf) as read:
        sizes = [
            pikepdf.PdfImage(entry).width
            for entry in read.objects
            if isinstance(entry, pikepdf.Stream) and entry.get("/Subtype") == "/Image"
        ]
    assert sizes
    if "--large-print" in edition:
        assert max(sizes) > 1000

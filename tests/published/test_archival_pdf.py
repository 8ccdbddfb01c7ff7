"""PDF/A-2u (ISO 19005-2), clause by clause, on files of every kind, of the demo projects.

Source of the clauses: the machine-checkable rules PDFA-2B.xml and PDFA-2U.xml, published with a
free validator's rule files; clause numbers are theirs. Read back with pikepdf and byte by byte.
"""

from __future__ import annotations

import io
import re

import pikepdf
from PIL import Image, ImageCms

from booklet.pdf.colour_profile import srgb_profile
from tests.made import Made
from tests.readback import operations


def test_6_1_2_the_header_is_followed_by_bytes_above_127(made: Made) -> None:
    """Clause 6.1.2: %PDF-1.n with n from 0 to 7, then a comment of four bytes above 127."""
    first, second = made.path.read_bytes().split(b"\n", 2)[:2]
    assert re.fullmatch(rb"%PDF-1\.[0-7]", first)
    assert second[:1] == b"%" and all(byte > 127 for byte in second[1:5])


def test_6_1_3_the_trailer_has_an_id_and_nothing_is_encrypted(made: Made) -> None:
    """Clause 6.1.3: ID present, Encrypt absent, nothing after the end of the file."""
    assert len(made.pdf.trailer.ID) == 2
    assert "/Encrypt" not in made.pdf.trailer
    assert made.path.read_bytes().rstrip(b"\r\n").endswith(b"%%EOF")


def test_6_1_7_streams_are_as_long_as_they_say(made: Made) -> None:
    """Clause 6.1.7.1: Length counts the bytes up to the line end before endstream; no LZW."""
    data = made.path.read_bytes()
    found = 0
    for match in re.finditer(rb"/Length (\d+)\b[^>]*>>\nstream\n", data):
        end = match.end() + int(match[1])
        assert data[end : end + 10] == b"\nendstream"
        found += 1
    assert found == data.count(b"\nendstream")
    assert b"/LZWDecode" not in data


def test_6_1_13_the_limits_of_readers_are_kept(made: Made) -> None:
    """Clause 6.1.13: page boxes from 3 to 14,400 units, q nested at most 28 deep, short strings."""
    for page in made.pdf.pages:
        sides = [float(value) for value in page.MediaBox[2:]]
        assert all(3 <= side <= 14_400 for side in sides)
    for drawn in made.drawn():
        depth = deepest = 0
        for operands, operator in operations(drawn):
            depth += {"q": 1, "Q": -1}.get(operator, 0)
            deepest = max(deepest, depth)
            assert all(len(bytes(o)) < 32_768 for o in operands if isinstance(o, pikepdf.String))
        assert depth == 0 and deepest <= 28


def test_6_2_3_colours_have_an_output_intent(made: Made) -> None:
    """Clause 6.2.3: one GTS_PDFA1 intent, whose profile has three components."""
    (intent,) = made.pdf.Root.OutputIntents
    assert intent.S == "/GTS_PDFA1"
    assert int(intent.DestOutputProfile.N) == 3
    profile = ImageCms.ImageCmsProfile(io.BytesIO(intent.DestOutputProfile.read_bytes()))
    assert profile.profile.xcolor_space == "RGB "


def test_6_2_8_images_are_not_smoothed(made: Made) -> None:
    """Clause 6.2.8: Interpolate is absent or false."""
    for page in made.pdf.pages:
        assert all(not image.get("/Interpolate", False) for image in page.get_images().values())


def test_6_2_11_fonts_are_embedded_symbolic_and_as_wide_as_they_say(made: Made) -> None:
    """Clauses 6.2.11.4 to 6.2.11.6: embedded; a symbolic TrueType font has no Encoding; widths."""
    for font in made.fonts():
        assert font.Subtype == "/TrueType"
        assert int(font.FontDescriptor.Flags) & 4 and not int(font.FontDescriptor.Flags) & 32
        assert "/Encoding" not in font
        wanted = int(font.LastChar) - int(font.FirstChar) + 1
        assert len(font.Widths) == wanted


def test_6_2_11_7_every_code_has_a_character(made: Made) -> None:
    """Clause 6.2.11.7.2 (level U): ToUnicode maps no code to 0, U+FEFF or U+FFFE."""
    for font in made.fonts():
        words = font.ToUnicode.read_bytes()
        assert not re.search(rb"<[0-9a-fA-F]{2}> <(0000|FEFF|FFFE)>", words)


def test_6_5_nothing_runs(made: Made) -> None:
    """Clause 6.5: no scripts, launches, films or sounds."""
    data = made.path.read_bytes()
    for word in (b"/JavaScript", b"/JS", b"/Launch", b"/Movie", b"/Sound", b"/OpenAction", b"/AA"):
        assert not re.search(word + rb"\b", data)


def test_6_6_2_the_metadata_name_the_standard(made: Made) -> None:
    """Clause 6.6.2 and 6.6.4: XMP in UTF-8, part 2, conformance U; it agrees with the trailer."""
    assert "/Filter" not in made.pdf.Root.Metadata
    made.pdf.Root.Metadata.read_bytes().decode("utf-8")
    xmp = made.xmp
    assert (xmp["pdfaid:part"], xmp["pdfaid:conformance"]) == ("2", "U")
    assert xmp["dc:title"] == str(made.pdf.docinfo["/Title"])
    assert xmp["pdf:Producer"] == str(made.pdf.docinfo["/Producer"])
    date = re.sub("[-:T]", "", str(xmp["xmp:CreateDate"]))
    assert str(made.pdf.docinfo["/CreationDate"]) == f"D:{date}"


def test_6_6_2_3_the_schema_of_the_other_standard_is_described(made: Made) -> None:
    """Clause 6.6.2.3: pdfuaid is declared as an extension schema."""
    packet = made.pdf.Root.Metadata.read_bytes().decode("utf-8")
    assert "<pdfaSchema:namespaceURI>http://www.aiim.org/pdfua/ns/id/<" in packet
    assert "<pdfaProperty:name>part<" in packet


def test_the_profile_is_that_of_a_general_colour_library() -> None:
    """White, primaries and curve agree with the sRGB profile that LittleCMS makes (Pillow)."""
    ours = ImageCms.ImageCmsProfile(io.BytesIO(srgb_profile()))
    theirs = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB"))
    for name in ("red_primary", "green_primary", "blue_primary"):
        mine, other = getattr(ours.profile, name), getattr(theirs.profile, name)
        assert max(abs(a - b) for a, b in zip(mine[1], other[1], strict=True)) < 0.001
    to_lab = [
        ImageCms.buildTransform(p, ImageCms.createProfile("LAB"), "RGB", "LAB")
        for p in (ours, theirs)
    ]
    patch = Image.new("RGB", (4, 1))
    patch.putdata([(255, 255, 255), (47, 111, 115), (200, 30, 30), (0, 0, 0)])
    mine, other = ((ImageCms.applyTransform(patch, t) or patch).tobytes() for t in to_lab)
    assert mine == other


def test_6_9_layers_have_a_named_configuration_that_lists_them_all(made: Made) -> None:
    """Clauses 6.9 and 6.5.1: the configuration has a Name, Order lists every group, no AS."""
    if "/OCProperties" not in made.pdf.Root:  # no full-size template, so no layer
        assert not any("/Properties" in drawn.Resources for drawn in made.drawn())
        return
    optional = made.pdf.Root.OCProperties
    assert "/Configs" not in optional
    assert str(optional.D.Name) and "/AS" not in optional.D
    listed = {group.objgen for group in optional.D.Order}
    assert listed == {group.objgen for group in optional.OCGs}

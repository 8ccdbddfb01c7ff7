"""Pieces as SVG, opened by another library: real units, groups, lengths, words."""

from __future__ import annotations

import io
import json
import xml.etree.ElementTree as ET
from itertools import pairwise
from pathlib import Path

import pytest
import svgpathtools  # type: ignore[import-untyped]

from booklet.command.line import main
from booklet.draw.label import LABEL
from booklet.draw.mark import Area, Clip, Drawing, Label, Stroke
from booklet.draw.svg import svg
from booklet.draw.template import template
from booklet.draw.typeface import Faces, load_faces
from booklet.flat.arcs import circle
from booklet.flat.path import rectangle, segment
from booklet.stages import check_file

SVG = "{http://www.w3.org/2000/svg}"
STYLES = {LABEL.name: LABEL}


@pytest.fixture(scope="module")
def faces() -> Faces:
    """The faces, loaded once."""
    return load_faces()


def piece_svgs(project: Path, faces: Faces) -> dict[str, str]:
    """Each piece of a project as SVG, by its id."""
    model, _ = check_file(project)
    assert model is not None
    glued = {join.tab for pattern in model.patterns for join in pattern.joins}
    return {
        p.id: svg(template(p, glued, model.printer, faces, measured=False), STYLES, title=p.name)
        for p in model.patterns
    }


def test_a_piece_has_the_lengths_of_the_model(
    demo: Path, faces: Faces, capsys: pytest.CaptureFixture[str]
) -> None:
    """Size, cuts and scores agree with the report within 0.02 mm, one unit being one mm."""
    assert main(["check", "--json", str(demo)]) == 0
    reported = {piece["id"]: piece for piece in json.loads(capsys.readouterr().out)["pieces"]}
    for name, text in piece_svgs(demo, faces).items():
        piece = reported[name]
        root = ET.fromstring(text)
        width, height = (root.attrib[side] for side in ("width", "height"))
        assert width.endswith("mm") and height.endswith("mm")
        size = [float(width[:-2]), float(height[:-2])]
        assert size == pytest.approx(piece["blank"], abs=0.001)
        assert [float(v) for v in root.attrib["viewBox"].split()] == [0, 0, *size]
        scores = layer(root, "score")
        wanted = [(*score["from"], *score["to"]) for score in piece["scores"]]
        assert len(scores) == len(wanted)
        for path, score in zip(scores, wanted, strict=True):
            ends = [path.start.real, size[1] - path.start.imag]
            ends += [path.end.real, size[1] - path.end.imag]
            assert ends == pytest.approx(score, abs=0.02)
        cut = sum(path.length() for path in layer(root, "cut"))
        told = sum(
            abs(complex(*a) - complex(*b)) for line in piece["cuts"] for a, b in pairwise(line)
        )
        # The report stands in for arcs by chords; a chord 0.02 mm off is shorter by little.
        assert told <= cut + 0.01 and cut == pytest.approx(told, rel=0.002)


def layer(root: ET.Element, name: str) -> list[svgpathtools.Path]:
    """The paths of one group, as the other library reads them."""
    groups = [group for group in root.findall(f"{SVG}g") if group.attrib["id"] == name]
    paths = [path for group in groups for path in group.findall(f"{SVG}path")]
    return [svgpathtools.parse_path(path.attrib["d"]) for path in paths]


def test_a_file_opens_whole_in_the_other_library(demo: Path, faces: Faces) -> None:
    """All paths are found; groups are the template's layers and no others."""
    for text in piece_svgs(demo, faces).values():
        root = ET.fromstring(text)
        ids = [group.attrib["id"] for group in root.findall(f"{SVG}g")]
        assert set(ids) <= {"cut", "score", "glue", "labels"} and "cut" in ids
        paths, _ = svgpathtools.svgstr2paths(text)
        assert len(paths) == len(list(root.iter(f"{SVG}path")))


def test_a_circle_keeps_its_radius() -> None:
    """A hole of 20 mm radius measures 2 pi r round, about its centre."""
    hole = Stroke(circle((30.0, 40.0), 20.0), "cut", "cut")
    text = svg(Drawing((hole,), (0, 0, 60, 90), ""), STYLES, title="hole")
    paths, _ = svgpathtools.svg2paths(io.StringIO(text))
    assert paths[0].length() == pytest.approx(2 * 3.141592653589793 * 20, abs=0.02)
    x0, x1, y0, y1 = paths[0].bbox()
    assert (x0, x1, y0, y1) == pytest.approx((10, 50, 30, 70), abs=0.02)


def test_words_are_escaped_and_kept() -> None:
    """Markup, quotes and fractions come back as they were; forbidden characters are left out."""
    words = 'a <b> & "c" ½ 日本 \x0b\ud800end'
    marks = (Label((5, 5), words, LABEL.name, "start", 90.0),)
    text = svg(Drawing(marks, (0, 0, 50, 50), "<alt>"), STYLES, title="</title><script>")
    root = ET.fromstring(text.encode("utf-8"))
    label = next(root.iter(f"{SVG}text"))
    assert label.text == 'a <b> & "c" ½ 日本 end'
    assert label.attrib["transform"] == "rotate(-90 5 45)"
    assert root.findtext(f"{SVG}title") == "</title><script>"
    assert not list(root.iter("script"))


def test_clips_and_areas_are_written() -> None:
    """What a clip holds is drawn inside it, filled and stroked."""
    inside = (Area(rectangle(0, 0, 9, 9), "#aabbcc"), Stroke(segment((0, 0), (9, 9)), "accent"))
    drawing = Drawing((Clip(rectangle(1, 1, 3, 3), inside),), (0, 0, 9, 9), "")
    root = ET.fromstring(svg(drawing, STYLES, title="", accent="#123456", margin=1.0))
    assert len(list(root.iter(f"{SVG}clipPath"))) == 1
    fills = [path.attrib.get("fill") for path in root.iter(f"{SVG}path")]
    assert "#aabbcc" in fills
    strokes = [path.attrib.get("stroke") for path in root.iter(f"{SVG}path")]
    assert "#123456" in strokes and root.attrib["width"] == "11mm"

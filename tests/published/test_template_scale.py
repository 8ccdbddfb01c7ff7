"""Every template is printed at 1:1, read back from the PDF by other libraries.

Sources: a PDF unit is 1/72 in (ISO 32000-1); an inch is 25.4 mm (NIST SP 811). Printers leave 6 mm
at each edge white (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

import pypdfium2  # type: ignore[import-untyped]
import pytest
from shapely.affinity import affine_transform, translate
from shapely.geometry import LineString, MultiLineString, Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from booklet.command.line import main
from booklet.flat.path import Path as Outline
from booklet.flat.pattern import MatLayer, Pattern
from booklet.stages import Model, check_file
from tests.conftest import DEMOS
from tests.made import Workshop
from tests.readback import Point, ReadPage, ReadStroke, read_pages

RIGHT = sorted((Path(__file__).resolve().parents[1] / "cases" / "right").glob("*.toml"))
MATS = ("Template of the mat", "Templates of the mats")
WITHIN = 0.02
BAR = 4 * 25.4
QUARTER_TURN = (0, 1, -1, 0, 0, 0)
"""A quarter turn clockwise as shapely writes it: (x, y) goes to (y, -x)."""
CUT, VALLEY, MOUNTAIN = (0.35, 0), (0.18, 2), (0.18, 4)
"""Width in mm and number of dashes and gaps: cuts solid, valleys dashed, mountains dash-dot."""
GHOST = (0.6, 0.9)
KEY = 14.0
"""Length in mm of the samples in the line key."""


@dataclass(frozen=True)
class Booklet:
    """A demo on a paper: the model, the file, its pages read back and its bookmarks."""

    model: Model
    path: Path
    pages: list[ReadPage]
    marks: list[tuple[str, int]]

    def template(self, of: Pattern | MatLayer) -> list[ReadPage]:
        """The page of a template, or its tiles from A1 on; nothing where there is none."""
        title = f"Template: {of.name.lower()}"
        starts = [i for i, (name, _) in enumerate(self.marks) if name.startswith(title)]
        if not starts:
            return []
        start = starts[0]
        tiles = []
        for name, page in self.marks[start + 1 :]:
            if not name.startswith("Tile "):
                break
            tiles.append(self.pages[page])
        return tiles or [self.pages[self.marks[start][1]]]

    def templates(self) -> Iterator[ReadPage]:
        """All pages that have something at full size, mats too."""
        for pattern in self.model.patterns:
            yield from self.template(pattern)
        for mat in self.model.mats:
            yield from self.template(mat)
        yield from (self.pages[n] for name, n in self.marks if name in MATS)


@pytest.fixture(
    scope="module",
    params=[
        *((demo, paper) for demo in DEMOS for paper in ("letter", "a4")),
        *((case, "letter") for case in RIGHT),
    ],
    ids=lambda pair: f"{pair[0].stem}-{pair[1]}",
)
def booklet(
    request: pytest.FixtureRequest, workshop: Workshop, tmp_path_factory: pytest.TempPathFactory
) -> Booklet:
    """Each demo on each paper, made and read back once."""
    demo, paper = request.param
    if demo in DEMOS:
        (path,) = workshop.files(demo.stem, "handout", paper)
    else:
        folder = tmp_path_factory.mktemp("pdf")
        assert main(["make", str(demo), "--paper", paper, "--out", str(folder)]) == 0
        (path,) = folder.glob("*.pdf")
    model, _ = check_file(demo)
    assert model is not None
    pdf = pypdfium2.PdfDocument(path)
    marks = [
        (mark.get_title(), dest.get_index())
        for mark in pdf.get_toc()
        if (dest := mark.get_dest()) is not None
    ]
    return Booklet(model, path, read_pages(path), marks)


def test_every_line_of_the_template_is_where_the_model_has_it(booklet: Booklet) -> None:
    """Cuts, valleys and mountains lie within 0.02 mm, whole or put together from tiles."""
    for pattern in booklet.model.patterns:
        windows = put_together(booklet.template(pattern))
        wanted = {
            CUT: [_curve(path) for path in (*pattern.cuts, *pattern.slits)],
            VALLEY: [_curve(s.path) for s in pattern.scores if s.angle >= 0],
            MOUNTAIN: [_curve(s.path) for s in pattern.scores if s.angle < 0],
        }
        shown = {style: unary_union([w.lines(style) for w in windows]) for style in wanted}
        assert any(
            all(_same(place(_union(wanted[style])), shown[style]) for style in wanted)
            for place in _placements(_union(wanted[CUT]), shown[CUT])
        ), pattern.id


def test_tiles_share_crosses_and_together_show_everything(booklet: Booklet) -> None:
    """Tiles exist where the template is larger than a page, and each pair of neighbours meets."""
    for pattern in booklet.model.patterns:
        tiles = booklet.template(pattern)
        size = sorted(float(side) for side in pattern.blank)
        page = sorted((tiles[0].width, tiles[0].height))
        assert (len(tiles) > 1) >= (size[0] > page[0] or size[1] > page[1])
        for window in put_together(tiles):
            assert len(tiles) == 1 or len(window.crosses) >= 2


def test_mats_are_at_full_size(booklet: Booklet) -> None:
    """Each mat has its outline on a page or on tiles, upright or turned, within 0.02 mm."""
    names = [n for name, n in booklet.marks if name in MATS]
    drawn = [
        _cornered(Polygon(stroke.points))
        for number in names
        for stroke in booklet.pages[number].strokes
        if len(stroke.points) > 3 and _style(stroke) == CUT
    ]
    for mat in booklet.model.mats:
        if tiles := booklet.template(mat):
            shown = unary_union([window.lines(CUT) for window in put_together(tiles)])
            wanted = mat.shape.boundary
            assert any(_same(place(wanted), shown) for place in _placements(wanted, shown)), mat.id
            continue
        shapes = mat.shape, affine_transform(mat.shape, QUARTER_TURN)
        assert any(
            _cornered(shape).boundary.hausdorff_distance(outline.boundary) < WITHIN
            for shape in shapes
            for outline in drawn
        ), mat.id
        x0, y0, x1, y1 = mat.shape.bounds
        assert (x1 - x0, y1 - y0) == pytest.approx([float(s) for s in mat.size], abs=WITHIN)


def test_scale_checks_are_four_inches_and_ten_centimetres(booklet: Booklet) -> None:
    """On both axes of each template page: a bar of 101.6 mm with a tick at 100 mm."""
    for page in booklet.templates():
        bars = [s for s in page.strokes if len(s.points) == 2 and not s.dash]
        level = [s for s in bars if s.near(s.points[0], _moved(s.points[0], BAR, 0))]
        upright = [s for s in bars if s.near(s.points[0], _moved(s.points[0], 0, BAR))]
        (x, y), (u, v) = level[0].points[0], upright[0].points[0]
        for across in (0, 25.4, 50.8, 76.2, BAR):
            page.stroke((x + across, y), (x + across, y + 2.4))
            page.stroke((u, v + across), (u - 2.4, v + across))
        for across in range(0, 101, 10):
            page.stroke((x + across, y), (x + across, y - 2.4))
            page.stroke((u, v + across), (u + 2.4, v + across))


def test_printers_margins_are_free_of_ink(booklet: Booklet) -> None:
    """Rendered, no page has ink within 6 mm of an edge."""
    scale = 4 * 25.4 / 72  # four dots to the millimetre
    for number, page in enumerate(pypdfium2.PdfDocument(booklet.path)):
        image = page.render(scale=scale, grayscale=True).to_pil()
        ink = image.point(lambda level: 255 if level < 250 else 0).getbbox()
        assert ink is not None
        sides = (ink[0], ink[1], image.width - ink[2], image.height - ink[3])
        assert min(sides) / 4 >= 6.0, f"page {number + 1}"


@dataclass(frozen=True)
class Window:
    """What a reader sees of a template on one page, moved to where it lies in the whole."""

    page: ReadPage
    frame: tuple[float, float, float, float] | None
    shift: Point = (0.0, 0.0)

    @property
    def crosses(self) -> list[Point]:
        """Middles of the alignment crosses inside the frame, on the page."""
        assert self.frame is not None
        x0, y0, x1, y1 = self.frame
        level = [s.points for s in self.page.strokes if _style(s) == (0.18, 0)]
        middles = [
            ((a[0] + b[0]) / 2, a[1])
            for a, b in (points for points in level if len(points) == 2)
            if abs(abs(a[0] - b[0]) - 6) < WITHIN and abs(a[1] - b[1]) < WITHIN
        ]
        return sorted((x, y) for x, y in middles if x0 < x < x1 and y0 < y < y1)

    def lines(self, style: tuple[float, int]) -> BaseGeometry:
        """All lines of a style inside the frame, the samples of the line key left out."""
        strokes = [s for s in self.page.strokes if _style(s) == style]
        found = _union(
            [_line(s) for s in strokes if len(s.points) > 2 or abs(_line(s).length - KEY) > WITHIN]
        )
        if self.frame is not None:
            found = found.intersection(box(*self.frame))
        return translate(found, *self.shift)


def put_together(pages: list[ReadPage]) -> list[Window]:
    """The tiles side by side, each moved so that its crosses meet those of its neighbour."""
    if len(pages) == 1:
        return [Window(pages[0], None)]
    windows = [Window(page, _frame(page)) for page in pages]
    heads = [
        next(
            w.text
            for w in page.words
            if len(w.text) >= 3
            and w.text[-1] == "."
            and w.text[0].isupper()
            and w.text[1:-1].isdigit()
        )
        for page in pages
    ]
    names = [(head[0], int(head[1:-1])) for head in heads]
    placed = {names[0]: windows[0]}
    for name, window in list(zip(names, windows, strict=True))[1:]:
        row, column = name
        beside = (row, column - 1) if column > 1 else (chr(ord(row) - 1), column)
        placed[name] = _joined(placed[beside], window, "x" if column > 1 else "y")
    return list(placed.values())


def _joined(first: Window, second: Window, axis: str) -> Window:
    """The second window moved onto the first by the crosses that both show."""
    assert first.frame is not None and second.frame is not None
    if axis == "x":
        ours = [c for c in first.crosses if c[0] > first.frame[2] - 10]
        theirs = [c for c in second.crosses if c[0] < second.frame[0] + 10]
    else:
        ours = [c for c in first.crosses if c[1] < first.frame[1] + 10]
        theirs = [c for c in second.crosses if c[1] > second.frame[3] - 10]
    assert len(ours) == len(theirs) >= 2
    gaps = [(a[0] - b[0], a[1] - b[1]) for a, b in zip(ours, theirs, strict=True)]
    for one, two in pairwise(gaps):
        assert one == pytest.approx(two, abs=WITHIN)
    shift = first.shift[0] + gaps[0][0], first.shift[1] + gaps[0][1]
    return Window(second.page, second.frame, shift)


def _frame(page: ReadPage) -> tuple[float, float, float, float]:
    """The dotted border of a tile."""
    (border,) = [
        s for s in page.strokes if s.dash == pytest.approx(GHOST, abs=1e-3) and len(s.points) > 3
    ]
    found: tuple[float, float, float, float] = Polygon(border.points).bounds
    return found


def _style(stroke: ReadStroke) -> tuple[float, int]:
    return round(stroke.width, 2), len(stroke.dash) if stroke.dash != pytest.approx(GHOST) else -1


def _line(stroke: ReadStroke) -> LineString:
    """A stroke as read, its curves in small steps."""
    points, bends = [stroke.points[0]], list(stroke.bends)
    for command, end in zip(stroke.commands[1:], stroke.points[1:], strict=True):
        points += _steps(points[-1], *bends.pop(0), end) if command == "c" else [end]
    return LineString(points)


def _curve(path: Outline) -> LineString:
    """A path of the model, its curves in the same small steps."""
    points: list[Point] = []
    for command in path.commands:
        if command[0] == "C":
            points += _steps(points[-1], command[1], command[2], command[3])
        elif command[0] == "Z":
            points.append(points[0])
        else:
            points.append(command[1])
    return LineString(points)


def _steps(a: Point, b: Point, c: Point, d: Point) -> list[Point]:
    """Points on a cubic Bézier curve (its definition in Bernstein form)."""
    weights = [
        ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3)
        for t in (k / 32 for k in range(1, 33))
    ]
    return [
        (
            sum(w * p[0] for w, p in zip(row, (a, b, c, d), strict=True)),
            sum(w * p[1] for w, p in zip(row, (a, b, c, d), strict=True)),
        )
        for row in weights
    ]


def _union(lines: list[LineString]) -> BaseGeometry:
    return unary_union(MultiLineString(lines))


def _placements(
    wanted: BaseGeometry, shown: BaseGeometry
) -> Iterator[Callable[[BaseGeometry], BaseGeometry]]:
    """Ways to lay the model on the page: upright or turned, by the lower left corners."""
    for matrix in ((1, 0, 0, 1, 0, 0), QUARTER_TURN):
        bounds = affine_transform(wanted, matrix).bounds
        dx, dy = shown.bounds[0] - bounds[0], shown.bounds[1] - bounds[1]
        yield lambda shape, m=matrix, x=dx, y=dy: translate(  # type: ignore[misc]
            affine_transform(shape, m), x, y
        )


def _same(wanted: BaseGeometry, shown: BaseGeometry) -> bool:
    """Whether both are the same lines within 0.02 mm, with nothing missing and nothing more."""
    if wanted.is_empty or shown.is_empty:
        return wanted.is_empty and shown.is_empty
    return bool(shown.buffer(WITHIN).covers(wanted) and wanted.buffer(WITHIN).covers(shown))


def _cornered(shape: Polygon) -> Polygon:
    return translate(shape, -shape.bounds[0], -shape.bounds[1])


def _moved(point: Point, dx: float, dy: float) -> Point:
    return point[0] + dx, point[1] + dy

"""Solid pictures: what is painted, how lines and names stand, and arrows that tell the fold."""

from __future__ import annotations

import itertools
import math
from itertools import pairwise

import numpy as np
import pytest
from shapely.geometry import LineString, Polygon, box

from booklet.draw.arrow import HEAD, FoldArrow, SlideArrow, TurnOver, draw_arrow
from booklet.draw.callout import ASIDE, GAP, IN, OFF, Callout, callouts
from booklet.draw.closer import Segments, reaches, segments
from booklet.draw.glue import Hatch
from booklet.draw.label import CAP, LABEL, LINE
from booklet.draw.mark import Area, Drawing, Label, Mark, Stroke
from booklet.draw.paint import luminance, paint
from booklet.draw.panel_name import Name, points_of
from booklet.draw.skin import SKINS, coloured, shade
from booklet.draw.solid import Ghost, Scene, draw_scene, noted, see_scene
from booklet.draw.typeface import Faces, load_faces
from booklet.flat.path import Path
from booklet.fold.best_view import VIEWPOINTS
from booklet.fold.face import Face, Hinge, Point3, turned_about, unit
from booklet.fold.view import FLAT, placed

FIGURE = (0.0, 0.0, 40.0, 40.0)


@pytest.fixture(scope="module")
def letters() -> Faces:
    """The faces, loaded once."""
    return load_faces()


def card(name: str = "card", x: float = 0.0, z: float = 0.0) -> Face:
    """A level card of 40 by 30 mm, inside up."""
    return Face(name, ((x, 0, z), (x + 40, 0, z), (x + 40, 30, z), (x, 30, z)))


def strokes(drawing: Drawing, style: str) -> list[Stroke]:
    """The strokes of one style."""
    return [mark for mark in drawing.marks if isinstance(mark, Stroke) and mark.style == style]


def painted(mark: Area) -> float:
    """The area of a fill, holes taken out."""
    loops: list[list[tuple[float, float]]] = []
    for command in mark.path.commands:
        if command[0] == "M":
            loops.append([command[1]])
        elif command[0] == "L":
            loops[-1].append(command[1])
    first, *holes = loops
    return float(Polygon(first, holes).area)


def test_only_what_is_seen_is_painted_and_at_scale(letters: Faces) -> None:
    """Two cards, one half over the other, at half scale: each visible mm² is painted once."""
    drawing = draw_scene(Scene((card(), card("over", 20, 1))), FLAT, 0.5, "two cards", letters)
    fills = [painted(mark) for mark in drawing.marks if isinstance(mark, Area)]
    assert fills == pytest.approx([20 * 30 / 4, 40 * 30 / 4])
    assert drawing.alt == "two cards"
    assert drawing.box == pytest.approx((-0.35, -0.35, 30.35, 15.35), abs=0.02)


def test_lines_weigh_what_they_mean(letters: Faces) -> None:
    """One heavy ring round the figure, a hairline for a fold, dashes for one still to be made."""
    faces = (card(), card("next", 40), card("last", 80))
    hinges = (Hinge("card", "next"), Hinge("next", "last", "valley"))
    drawing = draw_scene(Scene(faces, hinges), FLAT, 1.0, "a strip", letters)
    assert [len(strokes(drawing, s)) for s in ("heavy", "hair", "valley", "outline")] == [
        1,
        1,
        1,
        0,
    ]
    edge = draw_scene(Scene((card(), card("over", 20, 1))), FLAT, 1.0, "", letters)
    assert [len(strokes(edge, s)) for s in ("heavy", "hair", "outline")] == [1, 0, 1]


def test_a_mat_shows_on_its_panel_with_thin_edges_and_dots(letters: Faces) -> None:
    """A mat is a face just above its panel; its border is a hairline, its paper has a pattern."""
    mat = Face("mat", ((2, 2, 0), (38, 2, 0), (38, 28, 0), (2, 28, 0)), front="mat").raised(0.1)
    drawing = draw_scene(Scene((card(), mat)), FLAT, 1.0, "a mat", letters)
    assert len(strokes(drawing, "hair")) == 1
    fills = [mark for mark in drawing.marks if isinstance(mark, Area)]
    assert painted(fills[0]) == pytest.approx(40 * 30 - 36 * 26)
    assert fills[-1].fill == "shade4"


@pytest.mark.parametrize("colour", [None, "#a9b78d", "#101030", "#ffee00", "#ffffff"])
def test_inside_and_outside_differ_on_a_grey_printer(colour: str | None) -> None:
    """At any angle to the light the inside is lighter than the outside, by luminance (WCAG 2.2)."""
    skins = coloured(colour)
    normals = [
        unit((math.cos(t) * math.sin(s), math.sin(t) * math.sin(s), math.cos(s)))
        for t, s in itertools.product([k * math.pi / 6 for k in range(12)], (0, 0.5, 1.0, 1.5))
    ]
    levels = {
        name: [luminance(paint(shade(skins[name], normal), "#000000")) for normal in normals]
        for name in ("inside", "outside")
    }
    assert min(levels["inside"]) > max(levels["outside"]) + 0.08
    assert skins["mat"] == SKINS["mat"]


def test_glue_is_hatched_only_where_it_is_seen(letters: Faces) -> None:
    """Hatching stops at the card that covers it, and is left out on the far side."""
    faces = (card(), card("over", 20, 1))
    drawing = draw_scene(Scene(faces, hatches=(Hatch("card"),)), FLAT, 1.0, "glue", letters)
    (lines,) = strokes(drawing, "hatch")
    assert all(x <= 20.001 for x, _ in points_of(lines.path))
    below = Scene(faces, hatches=(Hatch("card", side="back"),))
    assert strokes(draw_scene(below, FLAT, 1.0, "glue", letters), "hatch") == []


def test_a_ghost_is_dotted_where_no_paper_lies_before_it(letters: Faces) -> None:
    """Of an outline half under the card, the free half is dotted."""
    ghost = Ghost(((20, 5, -1), (60, 5, -1), (60, 25, -1), (20, 25, -1)))
    drawing = draw_scene(Scene((card(),), ghosts=(ghost,)), FLAT, 1.0, "before", letters)
    dotted = sum(LineString(points_of(mark.path)).length for mark in strokes(drawing, "before"))
    assert dotted == pytest.approx(20 + 20 + 20, abs=0.1)


def test_a_fold_arrow_follows_the_paper(letters: Faces) -> None:
    """Every point of the curve lies on the projected circle, and its tip where the paper lands."""
    hinge: tuple[Point3, Point3] = ((0, 0, 0), (0, 30, 0))
    arrow = FoldArrow((40, 15, 0), hinge, -90)
    assert turned_about(arrow.start, *arrow.hinge, arrow.angle) == pytest.approx((0, 15, 40))
    view = placed(0, 0)
    drawn = draw_arrow(arrow, view, 0.5, FIGURE)
    assert drawn is not None
    shaft = next(mark for mark in drawn.marks if isinstance(mark, Stroke))
    radii = [math.hypot(x, y) for x, y in points_of(shaft.path)]
    assert radii == pytest.approx([20.0] * len(radii), abs=0.02)
    head = drawn.marks[-1]
    assert isinstance(head, Area)
    assert points_of(head.path)[0] == pytest.approx((0, 20))


def test_a_small_tabs_arrow_starts_on_the_tab() -> None:
    """A tab 4 mm wide: the curve is longer than its way, but begins at its free edge."""
    hinge: tuple[Point3, Point3] = ((0, 0, 0), (0, 30, 0))
    arrow = FoldArrow((2, 15, 0), hinge, -90, reach=2.0)
    drawn = draw_arrow(arrow, placed(0, 0), 1.0, FIGURE)
    assert drawn is not None
    assert math.dist(drawn.line[0], (4, 0)) < 0.5
    assert LineString(drawn.line).length >= 8.9


def test_an_arrow_seen_in_its_own_plane_is_bent(letters: Faces) -> None:
    """From above a fold's path is a straight line; it is drawn as a curve all the same."""
    drawn = draw_arrow(FoldArrow((40, 15, 0), ((0, 0, 0), (0, 30, 0)), -120), FLAT, 1.0, FIGURE)
    assert drawn is not None
    shaft = next(mark for mark in drawn.marks if isinstance(mark, Stroke))
    assert max(y for _, y in points_of(shaft.path)) > 20


def test_heads_tell_valley_from_mountain() -> None:
    """Yoshizawa-Randlett (from memory): valley solid and two-sided, mountain hollow, one-sided."""
    hinge: tuple[Point3, Point3] = ((0, 0, 0), (0, 30, 0))
    valley = draw_arrow(FoldArrow((40, 15, 0), hinge, -90), FLAT, 1.0, FIGURE)
    mountain = draw_arrow(FoldArrow((40, 15, 0), hinge, 90, "mountain"), FLAT, 1.0, FIGURE)
    assert valley is not None
    assert mountain is not None
    solid, hollow = valley.marks[-1], mountain.marks[-2]
    assert isinstance(solid, Area)
    assert isinstance(hollow, Area)
    assert (solid.fill, len(points_of(solid.path))) == ("ink", 4)
    assert (hollow.fill, len(points_of(hollow.path))) == ("white", 3)


def test_turning_over_is_a_curve_that_crosses_itself_outside_the_figure() -> None:
    """The loop is the sign for turning over; it keeps clear of the picture."""
    for way in ("sideways", "upward"):
        drawn = draw_arrow(TurnOver(way), FLAT, 1.0, FIGURE)
        assert drawn is not None
        shaft = next(mark for mark in drawn.marks if isinstance(mark, Stroke))
        assert not LineString(points_of(shaft.path)).is_simple
        assert not drawn.room.intersects(box(*FIGURE))


def test_the_sign_for_turning_over_keeps_off_the_paper_with_its_head() -> None:
    """Where no corner of the picture is free it stands over it, arrow head and white included."""
    for high in (20.0, 30.0):
        flat = Face("card", ((0, 0, 0), (40, 0, 0), (40, high, 0), (0, high, 0)))
        notes = noted(see_scene(Scene((flat,), arrows=(TurnOver(),)), FLAT), 1.0, load_faces())
        sign = notes.arrows[0].room
        assert not sign.intersects(box(0, 0, 40, high))
        assert sign.distance(box(0, 0, 40, high)) < 2  # and near it


def test_a_head_points_along_its_way_even_where_that_is_seen_nearly_edge_on() -> None:
    """A flap laid over: its thin ellipse would end in a hook, and the head point aside."""
    for view, turn in itertools.product(VIEWPOINTS, range(0, 360, 15)):
        along = math.cos(math.radians(turn)), math.sin(math.radians(turn))
        hinge = ((0.0, 0.0, 0.0), (along[0], along[1], 0.0))
        arrow = FoldArrow((20 * along[1], -20 * along[0], 0.0), hinge, 180)
        drawn = draw_arrow(arrow, view, 0.6, FIGURE)
        assert drawn is not None
        tip, _, neck, _ = drawn.head
        assert math.dist(tip, neck) > 0.8 * HEAD, (view, turn)


def test_no_motion_no_arrow() -> None:
    """A motion too short to draw gives nothing, and no hinge no error."""
    assert draw_arrow(SlideArrow((0, 0, 0), (0, 0, 9)), FLAT, 1.0, FIGURE) is None
    assert draw_arrow(FoldArrow((5, 0, 0), ((0, 0, 0), (0, 9, 0)), 0), FLAT, 1.0, FIGURE) is None
    assert draw_arrow(FoldArrow((0, 0, 0), ((0, 0, 0), (0, 0, 0)), 90), FLAT, 1.0, FIGURE) is None


def _leaders(marks: list[Mark]) -> list[LineString]:
    return [LineString(points_of(mark.path)) for mark in marks if isinstance(mark, Stroke)]


def test_callouts_neither_cross_nor_overlap() -> None:
    """Names crowded round one spot spread over both sides with leaders that keep apart."""
    spots = [(20 + 9 * math.cos(k * 2.4), 20 + 1.2 * k * math.sin(k * 2.4)) for k in range(14)]
    marks = callouts([Callout(f"panel {k}", spot) for k, spot in enumerate(spots)], FIGURE)
    for first, second in itertools.combinations(_leaders(marks), 2):
        assert not first.intersects(second)
    labels = [mark for mark in marks if isinstance(mark, Label)]
    assert len(labels) == 14
    for one, other in itertools.combinations(labels, 2):
        assert one.anchor != other.anchor or abs(one.at[1] - other.at[1]) > CAP * 1.5


def test_a_leader_that_meets_an_arrow_ends_elsewhere_on_its_panel() -> None:
    """With an arrow straight before it the leader takes another point of the panel."""
    x0, y0, x1, y1 = FIGURE
    middle, low = (x0 * 0.6 + x1 * 0.4, (y0 + y1) / 2), (x0 * 0.6 + x1 * 0.4, y0 + 2)
    arrow = LineString([(x0 - 1, middle[1] - 2), (x0 - 1, middle[1] + 2)]).buffer(0.5)
    straight = _leaders(callouts([Callout("flap", middle)], FIGURE))[0]
    assert straight.intersects(arrow)
    [elsewhere] = _leaders(callouts([Callout("flap", middle, (low,))], FIGURE, [arrow]))
    assert not elsewhere.intersects(arrow)
    assert elsewhere.coords[-1] == low


def test_names_stand_on_their_panels_or_beside_the_picture(letters: Faces) -> None:
    """A name that fits lies in its panel; on dark paper or without room it gets a leader."""
    small = Face("small", ((0, 40, 0), (4, 40, 0), (4, 44, 0), (0, 44, 0)))
    dark = Face("dark", ((0, 50, 0), (0, 90, 0), (40, 90, 0), (40, 50, 0)))
    names = tuple(Name(n, n) for n in ("card", "small", "dark", "nowhere"))
    drawing = draw_scene(Scene((card(), small, dark), names=names), FLAT, 1.0, "names", letters)
    labels = {mark.text: mark for mark in drawing.marks if isinstance(mark, Label)}
    assert set(labels) == {"card", "small", "dark"}
    assert labels["card"].anchor == "middle"
    assert labels["dark"].anchor != "middle" != labels["small"].anchor
    x0, y0, x1, y1 = drawing.box
    for label in labels.values():
        width = letters.width(label.text, LABEL)
        assert x0 <= label.at[0] - width * {"start": 0, "middle": 0.5, "end": 1}[label.anchor]
        assert label.at[0] + width * {"start": 1, "middle": 0.5, "end": 0}[label.anchor] <= x1
        assert y0 <= label.at[1] <= y1


def test_an_empty_scene_is_an_empty_drawing(letters: Faces) -> None:
    """No faces, no marks, and a scale that is none is refused."""
    assert draw_scene(Scene(()), FLAT, 1.0, "nothing", letters).marks == ()
    for scale in (0.0, -1.0, math.nan, math.inf):
        with pytest.raises(ValueError, match="scale"):
            draw_scene(Scene(()), FLAT, scale, "nothing", letters)


def test_the_same_scene_gives_the_same_drawing(letters: Faces) -> None:
    """Drawings are values: equal input, equal output, marks and all."""
    scene = Scene((card(), card("over", 20, 1)), names=(Name("card", "card"),))
    one, other = (draw_scene(scene, placed(25, 40), 0.7, "x", letters) for _ in range(2))
    assert one == other
    assert isinstance(one.marks[0], Area)
    assert isinstance(one.marks[0].path, Path)


def test_long_words_of_a_callout_stand_on_two_lines_clear_of_the_next() -> None:
    """Words take room from the picture: long ones are set in two lines, balanced."""
    spots = [(30.0, 20.0), (31.0, 20.5), (32.0, 21.0)]
    items = [Callout("bottom left dust flap 90°", spot) for spot in spots]
    marks = callouts([*items, Callout("lid 90°", (33.0, 20.0))], FIGURE)
    labels = [mark for mark in marks if isinstance(mark, Label)]
    assert sorted({mark.text for mark in labels}) == ["bottom left", "dust flap 90°", "lid 90°"]
    for anchor in ("start", "end"):
        heights = sorted(mark.at[1] for mark in labels if mark.anchor == anchor)
        assert all(b - a >= LINE - 1e-6 for a, b in pairwise(heights))


def test_an_angle_goes_under_the_name_of_its_panel() -> None:
    """Names stay whole where that takes little more room."""
    said = ("lid 90°", "left side 90°", "seam tab", "page 4 180°")
    lines = [Callout(words, (0.0, 0.0)).lines for words in said]
    assert lines == [("lid 90°",), ("left side", "90°"), ("seam tab",), ("page 4", "180°")]


def test_words_beside_an_empty_corner_move_in() -> None:
    """All of a column, as far as each of its words stays clear of the picture's lines."""
    x0, y0, x1, y1 = FIGURE
    middle = (x0 + x1) / 2
    # A triangle: wide at its foot, its peak in the middle of its top.
    ink = segments([[(x0, y0), (x1, y0), (middle, y1), (x0, y0)]])
    high, low = (middle - 1.0, y1 - 4.0), (x0 + 3.0, y0 + 1.0)
    half = LINE / 2 + ASIDE

    def column(*spots: tuple[float, float], lines: Segments | None = ink) -> list[Label]:
        marks = callouts([Callout("flap", spot) for spot in spots], FIGURE, (), lines)
        return [mark for mark in marks if isinstance(mark, Label) and mark.anchor == "end"]

    (far,) = column(high, lines=None)
    (near,) = column(high)
    assert far.at[0] == pytest.approx(x0 - OFF - GAP)
    assert near.at[0] > far.at[0] + 5.0
    # Half a line below the word the slanted side is nearest.
    side = x0 + (near.at[1] + CAP / 2 - half - y0) / (y1 - y0) * (middle - x0)
    assert near.at[0] == pytest.approx(min(side, x0 + IN * (x1 - x0)) - OFF - GAP)
    # A word at the foot keeps its whole column out.
    assert {round(label.at[0], 6) for label in column(high, low)} == {round(far.at[0], 6)}


def test_lines_reach_so_far_between_two_heights() -> None:
    """Slanted ones are cut off there, level ones count whole, others not at all."""
    ink = segments(
        [[(0.0, 0.0), (10.0, 10.0)], [(-5.0, 4.0), (2.0, 4.0)], [(30.0, 20.0), (40.0, 20.0)]]
    )
    found = reaches(ink, np.array([[2.0, 3.0], [3.5, 8.0], [12.0, 19.0]]))
    assert found.tolist() == [[2.0, 3.0], [-5.0, 8.0], [math.inf, -math.inf]]
    empty = reaches(segments([]), np.array([[0.0, 1.0]]))
    assert empty.tolist() == [[math.inf, -math.inf]]

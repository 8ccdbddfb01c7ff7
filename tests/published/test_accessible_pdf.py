"""PDF/UA-1 (ISO 14289-1:2014), clause by clause, on files of every kind, of the demo projects.

Source of the clauses: the machine-checkable rules PDFUA-1.xml, published with a free validator's
rule files; clause numbers are theirs. Read back with pikepdf.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from itertools import pairwise
from pathlib import Path

import pikepdf

from booklet.draw.typeface import load_faces
from booklet.pages.page import Document, Element, Line, Page, Role
from booklet.pages.type import STYLES
from booklet.pdf.write import write_pdf
from tests.made import Made
from tests.readback import operations

Item = pikepdf.Object


def elements(node: Item, parent: str = "") -> Iterator[tuple[Item, str]]:
    """Every structure element below a node, with its parent's type, in reading order."""
    kids = node.get("/K", pikepdf.Array())
    for kid in kids if isinstance(kids, pikepdf.Array) else [kids]:
        if isinstance(kid, pikepdf.Dictionary) and "/S" in kid:
            yield kid, parent
            yield from elements(kid, str(kid.S))


def all_elements(made: Made) -> list[tuple[Item, str]]:
    """The whole tree."""
    return list(elements(made.pdf.Root.StructTreeRoot))


def test_5_the_metadata_name_the_standard(made: Made) -> None:
    """Clause 5: pdfuaid:part is 1."""
    assert str(made.xmp["pdfuaid:part"]) == "1"


def test_6_2_the_file_says_that_it_is_marked(made: Made) -> None:
    """Clause 6.2: MarkInfo has Marked true, and Suspects is not true (7.1)."""
    marks = made.pdf.Root.MarkInfo
    assert bool(marks.Marked)
    assert not marks.get("/Suspects", False)


def test_7_1_all_content_is_tagged_or_an_artifact(made: Made) -> None:
    """Clause 7.1-3: nothing is painted outside marked content, and no mark lies in an artifact."""
    painting = {"S", "s", "f", "F", "f*", "B", "B*", "b", "b*", "Tj", "TJ", "'", '"', "Do", "sh"}
    for drawn in made.drawn():
        forms = drawn.Resources.get("/XObject", {})
        held: list[str] = []
        for operands, operator in operations(drawn):
            word = operator
            if word in ("BMC", "BDC"):
                held.append(str(operands[0]))
                if word == "BDC" and "/MCID" in str(operands[1]):
                    assert "/Artifact" not in held
            elif word == "EMC":
                held.pop()
            elif word == "Do" and "/StructParents" in forms.get(str(operands[0]), {}):
                assert held == []  # the marks are in the form's own drawing
            elif word in painting:
                assert held, f"{word} outside marked content"
        assert held == []


def test_7_20_a_form_with_marks_is_shown_once(made: Made) -> None:
    """Clause 7.20-2: a form XObject that holds marked content is referenced from one place."""
    keys: list[int] = []
    for drawn in made.drawn():
        forms = drawn.Resources.get("/XObject", {})
        shown = [str(operands[0]) for operands, _ in operations(drawn, "Do")]
        marked = [forms[name] for name in shown if "/StructParents" in forms[name]]
        keys += [int(form.StructParents) for form in marked]
    assert len(keys) == len(set(keys))


def test_7_1_every_mark_has_its_place_in_the_tree_once(made: Made) -> None:
    """ISO 32000-1, 14.7.4.4: the parent tree leads from each mark to the element that holds it."""
    root = made.pdf.Root.StructTreeRoot
    numbers = list(root.ParentTree.Nums)
    owners = {int(numbers[k]): numbers[k + 1] for k in range(0, len(numbers), 2)}
    held: dict[tuple[int, int], tuple[int, int]] = {}
    for item, _ in all_elements(made):
        for kid in item.get("/K", []):
            if isinstance(kid, pikepdf.Dictionary):
                if kid.get("/Type") != "/MCR":
                    continue
                assert kid.Pg.objgen == item.Pg.objgen
                shown = {form.objgen for form in kid.Pg.Resources.XObject.values()}
                assert kid.Stm.objgen in shown
                key = (int(kid.Stm.StructParents), int(kid.MCID))
            else:
                key = (int(item.Pg.StructParents), int(kid))
            assert key not in held
            held[key] = item.objgen
    written = {
        (page, mark): item.objgen for page, row in owners.items() for mark, item in enumerate(row)
    }
    assert written == held
    for drawn in made.drawn():
        marks = [
            int(operands[1]["/MCID"])
            for operands, operator in operations(drawn, "BDC")
            if operator == "BDC"
            and isinstance(operands[1], pikepdf.Dictionary)
            and "/MCID" in operands[1]
        ]
        holder = drawn.obj if isinstance(drawn, pikepdf.Page) else drawn
        owned = owners[int(holder.StructParents)] if "/StructParents" in holder else []
        assert marks == list(range(len(owned)))


def test_7_1_the_title_is_shown(made: Made) -> None:
    """Clauses 7.1-9 and 7.1-10: dc:title is there, and the window shows it."""
    assert str(made.xmp["dc:title"]) == made.title
    assert bool(made.pdf.Root.ViewerPreferences.DisplayDocTitle)


def test_7_2_the_language_of_all_text_is_given(made: Made) -> None:
    """Clause 7.2: the catalogue has a language."""
    assert str(made.pdf.Root.Lang)


def test_7_2_lists_and_tables_are_nested_as_they_must(made: Made) -> None:
    """Clause 7.2: LI only in L, LBody in LI, TR in Table, TH and TD in TR, rows equally long."""
    wanted = {"/LI": "/L", "/LBody": "/LI", "/TR": "/Table", "/TH": "/TR", "/TD": "/TR"}
    for item, parent in all_elements(made):
        kind = str(item.S)
        if kind in wanted:
            assert parent == wanted[kind]
        if kind == "/Table":
            lengths = {len(row.K) for row in item.K}
            assert len(lengths) == 1


def test_7_3_every_figure_has_words(made: Made) -> None:
    """Clause 7.3: a Figure has Alt or ActualText."""
    figures = [item for item, _ in all_elements(made) if item.S == "/Figure"]
    assert figures
    for figure in figures:
        assert len(str(figure.Alt)) > 3


def test_7_4_2_headings_begin_at_one_and_skip_none(made: Made) -> None:
    """Clause 7.4.2."""
    levels = [int(str(item.S)[2:]) for item, _ in all_elements(made) if str(item.S)[:2] == "/H"]
    assert levels[0] == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))


def test_7_5_header_cells_have_a_scope(made: Made) -> None:
    """Clause 7.5."""
    heads = [item for item, _ in all_elements(made) if item.S == "/TH"]
    assert all(str(head.A.Scope) in ("/Column", "/Row", "/Both") for head in heads)


def test_7_18_3_pages_with_notes_are_read_in_their_structure(made: Made) -> None:
    """Clause 7.18.3: a page with annotations has Tabs S (ours have it always)."""
    assert all(str(page.obj.Tabs) == "/S" for page in made.pdf.pages)


def test_7_21_fonts_are_embedded_with_unicode_maps(made: Made) -> None:
    """Clauses 7.21.4.1 and 7.21.7: embedded, mapped to Unicode."""
    for font in made.fonts():
        assert "/FontFile2" in font.FontDescriptor
        assert "/ToUnicode" in font


def test_7_21_8_no_text_shows_the_missing_glyph(made: Made) -> None:
    """Clause 7.21.8: no code of a string lies outside the font's own range."""
    for drawn in made.drawn():
        fonts = drawn.Resources.get("/Font", {})
        ranges = {str(k): (int(f.FirstChar), int(f.LastChar)) for k, f in fonts.items()}
        font = ""
        for operands, operator in operations(drawn, "Tf Tj"):
            if operator == "Tf":
                font = str(operands[0])
            else:
                first, last = ranges[font]
                assert all(first <= code <= last for code in bytes(operands[0]))


def test_a_fraction_reads_as_a_fraction(tmp_path: Path) -> None:
    """A fraction set from small figures carries the words "1/16" (ISO 32000-1, 14.9.4)."""
    line = Line(20, 200, "5¹⁄₁₆ in and ³⁄₃₂ in", STYLES["text"])
    page = Page(210, 297, (Element(Role("paragraph"), (line,)),))
    document = Document("Box", "Paper Room", "A box", "en", "#2f6f73", (page,))
    target = tmp_path / "box.pdf"
    write_pdf(document, load_faces(), target, date=datetime(2027, 3, 6, tzinfo=UTC))
    with pikepdf.open(target) as pdf:
        spoken = [
            str(operands[1]["/ActualText"])
            for operands, operator in operations(pdf.pages[0], "BDC")
            if operator == "BDC" and str(operands[0]) == "/Span"
        ]
    assert spoken == [" 1/16", "3/32"]

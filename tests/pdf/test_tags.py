"""The structure tree: elements in reading order become headings, lists, tables and figures."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from booklet.pages.page import Kind, Role
from booklet.pdf.tags import Node, Tagged, heading_levels, structure


def tree(*roles: Role) -> list[str]:
    """The structure of one page with these roles, as nested words."""
    tagged = [Tagged(0, mark, role, None) for mark, role in enumerate(roles)]
    return [_words(child) for child in structure(tagged).children]


def _words(node: Node) -> str:
    inner = " ".join(_words(child) for child in node.children)
    return f"{node.kind}({inner})" if inner else node.kind


def cell(table: str, row: str, kind: Kind = "table_cell") -> Role:
    """A cell of a table's row."""
    return Role(kind, group=(table, row))


def item(group: str) -> Role:
    """An item of a list."""
    return Role("list_item", group=(group,))


def test_neighbouring_items_of_a_group_share_a_list() -> None:
    """Another group, or words between, begin a new list."""
    assert tree(item("a"), item("a"), item("b"), Role("paragraph"), item("b")) == [
        "L(LI(LBody) LI(LBody))",
        "L(LI(LBody))",
        "P",
        "L(LI(LBody))",
    ]


def test_cells_stand_in_rows_of_their_table() -> None:
    """A row ends where the group changes; a header after cells begins another table."""
    head, first = cell("t", "head", "table_header"), cell("t", "0")
    assert tree(head, head, first, first, cell("t", "1"), head, cell("u", "0")) == [
        "Table(TR(TH TH) TR(TD TD) TR(TD))",
        "Table(TR(TH))",
        "Table(TR(TD))",
    ]


def test_headings_stand_below_the_title() -> None:
    """With a title the page headings are the second level; without one they are the first."""
    heads = [Role("heading", 1), Role("heading", 2), Role("paragraph"), Role("heading", 1)]
    assert list(heading_levels([Role("title", 1), *heads])) == [1, 2, 3, 0, 2]
    assert list(heading_levels(heads)) == [1, 2, 0, 1]


@given(st.lists(st.builds(Role, st.sampled_from(["heading", "paragraph"]), st.integers(1, 9))))
def test_no_heading_level_is_skipped_on_the_way_down(roles: list[Role]) -> None:
    """ISO 14289-1:2014, 7.4.2, as the rule file named in tests/published states it."""
    levels = [level for level in heading_levels(roles) if level]
    steps = [after - before for before, after in zip([0, *levels], levels, strict=False)]
    assert all(step <= 1 for step in steps)
    assert not levels or levels[0] == 1

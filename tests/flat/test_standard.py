"""The table of standard contents and its look-up."""

from __future__ import annotations

import pytest

from booklet.flat.standard import nearest_names, standard_row, standard_size, standard_sizes


@pytest.mark.parametrize("name", ["id-1", "ID-1", "id_1", "Id 1", "bank card", "gift_card"])
def test_a_size_is_found_in_any_spelling(name: str) -> None:
    """Capitals, blanks and underscores make no difference, and further names lead to the row."""
    assert standard_size(name) == standard_size("id-1") is not None


def test_an_unknown_name_gives_none_and_the_nearest() -> None:
    """A slip of a letter finds its row; nonsense finds nothing."""
    assert standard_size("tealigt") is None
    assert nearest_names("tealigt")[0] == "tealight"
    assert nearest_names("qqqqqqqqq") == ()
    assert standard_row("qqqqqqqqq") is None


def test_every_row_has_a_size_above_zero_a_source_and_a_check() -> None:
    """No figure without its origin."""
    for row in standard_sizes().values():
        assert all(side > 0 for side in row.size), row.id
        assert row.source and row.name, row.id
        assert row.check in ("read", "memory", "practice"), row.id
        assert row.check != "practice" or "common practice, no source" in row.source, row.id
        assert row.check != "memory" or "from memory" in row.source, row.id


def test_no_name_leads_to_two_rows() -> None:
    """Ids and further names are unique over the whole table."""
    rows = standard_sizes().values()
    names = [name for row in rows for name in (row.id, *row.also)]
    assert len(names) == len(set(names))

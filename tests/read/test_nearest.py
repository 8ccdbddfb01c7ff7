"""The nearest known name."""

from __future__ import annotations

from booklet.read.nearest import did_you_mean, nearest


def test_a_slip_of_the_pen_is_recognised() -> None:
    """Swapped, missing and extra letters, and capitals."""
    known = ("columns", "rows", "count")
    assert nearest("colums", known) == "columns"
    assert nearest("Rows", known) == "rows"
    assert nearest("zzzz", known) is None


def test_without_a_near_name_the_known_ones_are_listed() -> None:
    """A few known names help, where none is near; a fallback where there are none at all."""
    assert did_you_mean("zzzz", ("b", "a")) == "Known here: a, b."
    assert did_you_mean("zzzz", (), "Add one.") == "Add one."
    assert did_you_mean("zzzz", [f"n{n}" for n in range(99)]).endswith(", ....")
